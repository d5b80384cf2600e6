"""Every name of the package is reached from a command or from what the README shows.

A sum that only tests use proves nothing about the program, however well it is checked. The walk follows names through
the syntax trees: from an entry point to what its body names, across imports, attributes of imported modules, and texts
that name a function beside its module. A name that is met anywhere in a body counts, so the walk errs on the kind side.
"""

import ast
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "sheetkit"
HELD = ("trade", "units", "tables", "reading", "job", "report", "graft", "blank")
"""Layers of which every name must be reached; the others are entry points, or are walked through."""

COMMANDS = ("sheetkit", "sheetkit.__main__", "sheetkit.cli", "sheetkit.blank.__main__")
"""Modules whose every name is an entry point: the package itself, its commands, and the maker of templates."""

SHOWN_IN_THE_README = {
    ("sheetkit.graft", "graft_into"),
    *(
        ("sheetkit.report.model", name)
        for name in (
            *("Area", "Chart", "ChartKind", "Look", "Picture", "ReportCell", "ReportSheet", "Series", "Table"),
        )
    ),
}
"""What the README offers to those who put sheets of their own into a workbook."""

Name = tuple[str, str]
"""A module and a name at its top."""


@dataclass
class Module:
    """One module: what it defines at its top, what it imports, and what runs when it is imported."""

    tree: ast.Module
    defined: dict[str, list[ast.stmt]] = field(default_factory=dict)
    imported: dict[str, Name] = field(default_factory=dict)
    modules: dict[str, str] = field(default_factory=dict)
    at_import: list[ast.stmt] = field(default_factory=list)


def read(package: Path) -> dict[str, Module]:
    """Every module of a package by its dotted name."""
    found = {}
    for path in sorted(package.rglob("*.py")):
        parts = (package.name, *path.relative_to(package).with_suffix("").parts)
        dotted = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[dotted] = _module(ast.parse(path.read_text("utf-8")))
    for module in found.values():
        for alias, (origin, name) in list(module.imported.items()):
            if f"{origin}.{name}" in found:
                module.modules[alias] = f"{origin}.{name}"
    return found


def _module(tree: ast.Module) -> Module:
    module = Module(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            module.imported |= {alias.asname or alias.name: (node.module, alias.name) for alias in node.names}
    for statement in tree.body:
        names = list(_names_defined(statement))
        for name in names:
            module.defined.setdefault(name, []).append(statement)
        if not names and not isinstance(statement, ast.Import | ast.ImportFrom):
            module.at_import.append(statement)
    return module


def _names_defined(statement: ast.stmt) -> Iterator[str]:
    if isinstance(statement, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        yield statement.name
    elif isinstance(statement, ast.Assign | ast.AnnAssign):
        targets = statement.targets if isinstance(statement, ast.Assign) else [statement.target]
        yield from (each.id for target in targets for each in ast.walk(target) if isinstance(each, ast.Name))


def named_in(statement: ast.stmt, module: Module, package: dict[str, Module]) -> Iterator[Name | str]:
    """What a statement names: top names of other modules as pairs, those of its own as plain texts."""
    texts = [
        node.value for node in ast.walk(statement) if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]
    for node in ast.walk(statement):
        if isinstance(node, ast.Name):
            yield node.id
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in module.modules:
            yield module.modules[node.value.id], node.attr
    yield from texts  # an annotation in quotes
    for other in {text for text in texts if text in package}:
        yield from ((other, text) for text in texts if text in package[other].defined)


def reached(package: dict[str, Module], entries: set[Name]) -> set[Name]:
    """Every name that the entry points lead to."""
    seen: set[Name] = set()
    waiting = [*entries]
    for dotted, module in package.items():
        waiting += [name for each in module.at_import for name in _resolved(each, dotted, package)]
    while waiting:
        dotted, name = at = waiting.pop()
        if at in seen or dotted not in package:
            continue
        seen.add(at)
        module = package[dotted]
        if name in module.imported:
            waiting.append(module.imported[name])
        for statement in module.defined.get(name, []):
            waiting += _resolved(statement, dotted, package)
    return seen


def _resolved(statement: ast.stmt, dotted: str, package: dict[str, Module]) -> Iterator[Name]:
    module = package[dotted]
    for named in named_in(statement, module, package):
        if not isinstance(named, str):
            yield named
        elif named in module.defined:
            yield dotted, named
        elif named in module.imported:
            yield module.imported[named]


def every_name(package: dict[str, Module], dotted: str) -> set[Name]:
    module = package[dotted]
    return {(dotted, name) for name in (*module.defined, *module.imported)}


def unused(package: dict[str, Module], entries: set[Name], layers: tuple[str, ...]) -> list[str]:
    """Names of these layers that no entry point leads to."""
    seen = reached(package, entries)
    return sorted(
        f"{dotted}.{name}"
        for dotted, module in package.items()
        if dotted.split(".")[1:2] and dotted.split(".")[1] in layers
        for name in module.defined
        if (dotted, name) not in seen and name != "__all__"
    )


def test_every_name_is_reached_from_a_command():
    package = read(PACKAGE)
    entries = SHOWN_IN_THE_README | {name for dotted in COMMANDS for name in every_name(package, dotted)}
    assert unused(package, entries, HELD) == []


FILES = {
    "__init__.py": "",
    "cli.py": """
from small.trade import sums
from small.trade.more import kept

def main():
    sums.used()
    kept()
""",
    "trade/__init__.py": "",
    "trade/sums.py": """
STEP = 1

def used():
    return _helper()

def _helper():
    return STEP

def forgotten():
    return also_forgotten()

def also_forgotten():
    return 2
""",
    "trade/more.py": """
from importlib import import_module

BY_ENDING = {"x": ("small.trade.late", "called")}

def kept():
    module, name = BY_ENDING["x"]
    return getattr(import_module(module), name)()

LEFT = 3
""",
    "trade/late.py": """
def called():
    return 1

def not_called():
    return 2
""",
}


@pytest.fixture
def small(tmp_path):
    """A package of which we know what is used."""
    for name, text in FILES.items():
        path = tmp_path / "small" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    return read(tmp_path / "small")


def test_the_walk_finds_what_nothing_uses_and_nothing_else(small):
    assert unused(small, every_name(small, "small.cli"), ("trade",)) == [
        "small.trade.late.not_called",
        "small.trade.more.LEFT",
        "small.trade.sums.also_forgotten",
        "small.trade.sums.forgotten",
    ]
