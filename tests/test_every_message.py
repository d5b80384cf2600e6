"""Every message has a test that compares it: its fixed words stand, as they are, in a string of the tests.

What is looked through: functions that raise an error class, make a finding or print through the command line, the
functions and constants of their module that these take words from, and whatever is called found, wanted, fix, because,
reason, why or guess. A run of two words and more is looked for; single words and names are not.
"""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from sheetkit import errors

HERE = Path(__file__).parent
PACKAGE = HERE.parent / "sheetkit"
RAISED = {name for name, value in vars(errors).items() if isinstance(value, type) and issubclass(value, Exception)}
MADE = RAISED | {"CellProblem", "Line"}
PASSED_ON = {"CannotWorkOut", "_Hostile", "CannotBeMadeError"}
"""Classes whose one text becomes a part of a message."""
PRINTED = {"echo", "UsageError"}
NAMED = {"found", "wanted", "fix", "because", "reason", "why", "guess"}
"""Arguments and variables whose texts become a part of a message."""
NO_MESSAGE = {"_CHOICES", "_YES", "_NO", "_NOTE_WORD", "_USUAL_PLACES"}
"""Constants that hold what is looked for, not what is said."""
ON_SHEETS = {"errors.py", "trade/control.py", "trade/plan_wishes.py"}
"""Modules whose words stand on result sheets, as those of the layer report do, and the one that only holds classes."""
NOT_REACHED = {"XML without content": "the parser refuses an empty part before"}
WORDS = re.compile(r"[A-Za-z]{2,}[,;:.)]* +[(A-Za-z]+")
Function = ast.FunctionDef | ast.AsyncFunctionDef


def called(call: ast.Call) -> str:
    return getattr(call.func, "id", "") or getattr(call.func, "attr", "")


def makes_a_message(node: ast.AST, factories: set[str]) -> bool:
    if not isinstance(node, ast.Call):
        return False
    name, parts = called(node), len(node.args) + len(node.keywords)
    collected = name in {"add", "at"} and "findings" in ast.unparse(node.func) and parts >= 4
    return collected or name in MADE | PASSED_ON | PRINTED | factories


def gives(function: Function, names: set[str]) -> bool:
    return function.returns is not None and bool(names & set(re.findall(r"\w+", ast.unparse(function.returns))))


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


def said(node: ast.AST) -> Iterator[ast.AST]:
    """A node and those under it: no docstrings, no help of the commands, and nothing that is only compared."""
    yield node
    for name, value in ast.iter_fields(node):
        children = value if isinstance(value, list) else [value]
        if isinstance(node, ast.Call) and called(node) == "Line" and name == "args":
            children = children[1:]
        for child in children:
            bare = isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant)
            if isinstance(child, ast.AST) and not (bare or name == "decorator_list" or isinstance(child, ast.Compare)):
                yield from said(child)


def texts(node: ast.AST) -> Iterator[str]:
    """The fixed words under a node, parted where a value goes."""
    for each in said(node):
        if isinstance(each, ast.Constant) and isinstance(each.value, str):
            yield from each.value.split("{}")


def assigned(node: ast.AST) -> set[str]:
    targets = getattr(node, "targets", None) or [getattr(node, "target", None)]
    return {getattr(each, "id", "") or getattr(each, "attr", "") for each in targets}


def named_texts(module: ast.Module) -> Iterator[str]:
    for node in ast.walk(module):
        keyword = isinstance(node, ast.keyword) and node.arg in NAMED
        variable = isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None and assigned(node) & NAMED
        if keyword or variable:
            yield from texts(node.value)


def functions_that_say(module: ast.Module) -> list[Function]:
    """Those that make a message, and those of the module from which they have words."""
    known = {node.name: node for node in ast.walk(module) if isinstance(node, Function)}
    factories = {name for name, function in known.items() if gives(function, MADE)} | {"encrypted"}
    waiting = [
        name
        for name, function in known.items()
        if name in factories or any(makes_a_message(node, factories) for node in ast.walk(function))
    ]
    met: set[str] = set()
    while waiting:
        name = waiting.pop()
        met.add(name)
        calls = {called(node) for node in ast.walk(known[name]) if isinstance(node, ast.Call)}
        waiting += [other for other in calls & known.keys() - met if gives(known[other], {"str"})]
    return [known[name] for name in met]


def said_in(path: Path) -> set[str]:
    """The fixed words of the messages that a module makes."""
    module = tree(path)
    functions = functions_that_say(module)
    used = {node.id for each in functions for node in said(each) if isinstance(node, ast.Name)} - NO_MESSAGE
    constants = [node for node in module.body if isinstance(node, ast.Assign | ast.AnnAssign) and assigned(node) & used]
    found = [text for each in (*functions, *constants) for text in texts(each)]
    return {text.strip() for text in (*found, *named_texts(module)) if WORDS.search(text)}


@cache
def strings_of_the_tests() -> str:
    """Every string of the tests, one under another, a pattern also as the text that it stands for."""
    strings = []
    for path in sorted(HERE.rglob("*.py")):
        for node in ast.walk(tree(path)) if path != Path(__file__) else ():
            if isinstance(node, ast.JoinedStr):
                parts = (each.value if isinstance(each, ast.Constant) else "\0" for each in node.values)
                strings.append("".join(map(str, parts)))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                strings.append(node.value)
    return "\n".join([*strings, *(re.sub(r"\\(.)", r"\1", text) for text in strings if "\\" in text)])


def untested(path: Path) -> list[str]:
    return sorted(text for text in said_in(path) - NOT_REACHED.keys() if text not in strings_of_the_tests())


MODULES = [
    path
    for path in sorted(PACKAGE.rglob("*.py"))
    if path.relative_to(PACKAGE).as_posix() not in ON_SHEETS and path.parent.name != "report" and said_in(path)
]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_the_words_of_each_message_stand_in_a_test(path):
    assert untested(path) == []


def test_words_that_no_test_holds_are_found(tmp_path):
    path = tmp_path / "module.py"
    path.write_text(
        'FIX = "mend it in a way that nobody compares"\n\n'
        "def refuse(found):\n"
        '    """Words that are not said."""\n'
        '    if found == "words that are only compared":\n'
        '        raise FileProblem(found, f"{found} as nobody has ever found it", "one number", FIX)\n'
    )
    assert untested(path) == ["as nobody has ever found it", "mend it in a way that nobody compares"]


@pytest.mark.parametrize("path", sorted(HERE.rglob("test_*.py")), ids=lambda path: path.relative_to(HERE).as_posix())
def test_no_test_asks_for_a_part_of_a_refusal(path):
    """A pattern for the message of an error class runs from its beginning to its end."""
    parts = [
        ast.unparse(node)
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call) and called(node) == "raises" and node.args and ast.unparse(node.args[0]) in RAISED
        for word in node.keywords
        if word.arg == "match" and not re.fullmatch(r"r?f?(['\"])\^.*\$\1", ast.unparse(word.value))
    ]
    assert parts == []
