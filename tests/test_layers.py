"""The layers of the package import one way only."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "sheetkit"
ORDER = [
    "errors",
    "units",
    "trade",
    "reading",
    "tables",
    "job",
    "report",
    "graft",
    "blank",
    "page",
    "pipeline",
    "watch",
    "button",
    "launchers",
    "cli",
]
ONLY_FOR_TRADE = {"errors", "units", "trade"}
ENTRY_POINTS = {"__init__", "__main__"}


def layer_of(path: Path) -> str:
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


def imported_layers(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names.add(node.module)
            names.update(f"{node.module}.{alias.name}" for alias in node.names)
    return {name.split(".")[1] for name in names if name.startswith("sheetkit.")} & set(ORDER)


MODULES = sorted(path for path in PACKAGE.rglob("*.py") if layer_of(path) not in ENTRY_POINTS)


def test_every_module_belongs_to_a_known_layer():
    strange = {layer_of(path) for path in MODULES} - set(ORDER) - {"templates"}
    assert not strange


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_module_imports_only_from_its_own_layer_and_those_below(path):
    layer = layer_of(path)
    allowed = ONLY_FOR_TRADE if layer == "trade" else set(ORDER[: ORDER.index(layer) + 1])
    assert imported_layers(path) <= allowed


def test_no_module_uses_relative_imports_to_get_round_the_rule():
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            assert not (isinstance(node, ast.ImportFrom) and node.level), path
