"""Every public calculation documents its arguments, their units and where the formula comes from; its example runs."""

import builtins
import doctest
import importlib
import inspect
import pkgutil
import re
import sys
import typing
from collections.abc import Callable, Iterator

import pytest

import sheetkit.trade

UNIT = re.compile(r"\[[^\[\]]+\]")


def modules() -> list[str]:
    return [found.name for found in pkgutil.walk_packages(sheetkit.trade.__path__, "sheetkit.trade.")]


def public(name: str) -> Iterator[tuple[str, object]]:
    module = importlib.import_module(name)
    for label, value in vars(module).items():
        if not label.startswith("_") and getattr(value, "__module__", None) == name:
            yield label, value


def functions() -> list[Callable[..., object]]:
    return [value for name in modules() for _, value in public(name) if inspect.isfunction(value)]


def records() -> list[type]:
    return [
        value
        for name in modules()
        for _, value in public(name)
        if inspect.isclass(value) and hasattr(value, "__dataclass_fields__")
    ]


def section(documentation: str, heading: str) -> dict[str, str]:
    """The entries under ``Args:`` or ``Attributes:``, name to text."""
    _, _, rest = documentation.partition(f"\n{heading}:\n")
    body = re.split(r"\n(?=\S)", rest, maxsplit=1)[0]
    return {
        name: " ".join(text.split()) for name, text in re.findall(r"^    (\w+): (.*(?:\n {8,}.*)*)", body, re.MULTILINE)
    }


def is_number(annotation: object) -> bool:
    """Whether a value of this type holds numbers somewhere, plain or in a list, a pair or an option."""
    if annotation in (int, float):
        return True
    if typing.get_origin(annotation) is Callable:
        return False
    return any(is_number(part) for part in typing.get_args(annotation))


class ImportedForTypesOnly(dict[str, object]):
    """Stands in for names that a module imports only while types are checked."""

    def __missing__(self, name: str) -> object:
        if hasattr(builtins, name):
            raise KeyError(name)
        return object


def hints_of(value: object) -> dict[str, object]:
    names = vars(sys.modules[value.__module__])  # type: ignore[attr-defined]
    return typing.get_type_hints(value, localns=ImportedForTypesOnly(names))


def named(value: object) -> str:
    return f"{value.__module__.removeprefix('sheetkit.trade.')}.{value.__qualname__}"  # type: ignore[attr-defined]


@pytest.mark.parametrize("function", functions(), ids=named)
def test_a_calculation_documents_exactly_its_arguments_each_number_with_its_unit(function):
    documented = section(inspect.getdoc(function) or "", "Args")
    hints = hints_of(function)
    arguments = [name for name in inspect.signature(function).parameters if not name.startswith("_")]
    assert list(documented) == arguments
    assert [name for name in arguments if is_number(hints[name]) and not UNIT.search(documented[name])] == []


@pytest.mark.parametrize("function", functions(), ids=named)
def test_a_calculation_names_its_source(function):
    assert re.search(r"^Source: \S.{9,}", inspect.getdoc(function) or "", re.MULTILINE)


@pytest.mark.parametrize("record", records(), ids=named)
def test_a_record_documents_exactly_its_fields_each_number_with_its_unit(record):
    documented = section(inspect.getdoc(record) or "", "Attributes")
    hints = hints_of(record)
    fields = [name for name in record.__dataclass_fields__ if not name.startswith("_")]
    assert list(documented) == fields
    assert [name for name in fields if is_number(hints[name]) and not UNIT.search(documented[name])] == []


@pytest.mark.parametrize("name", modules())
def test_the_examples_in_the_docstrings_run(name):
    outcome = doctest.testmod(importlib.import_module(name))
    assert outcome.failed == 0


def test_there_is_something_to_check():
    assert len(functions()) > 20
    assert len(modules()) > 3
