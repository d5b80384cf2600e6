"""Gives one wood one label throughout a workbook, however it is spelt."""

from collections.abc import Mapping
from dataclasses import replace

from sheetkit.errors import Harm
from sheetkit.tables.findings import Findings
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.words import species_key
from sheetkit.trade.species import without_last_number


def same_wood_same_label(inputs: Inputs, findings: Findings) -> None:
    """Rows whose woods have the same key get the label that is met first, Stock before Targets.

    Boards that are numbered, as gorblewood 1 and gorblewood 2, serve a layer of gorblewood where no board is called
    that; it is said.
    """
    served = _numbered_boards(inputs, findings)
    labels: dict[str, str] = {}

    def label(text: str) -> str:
        wood = served.get(species_key(text), text)
        return labels.setdefault(species_key(wood), wood)

    inputs.boards[:] = [replace(row, species=label(row.species)) for row in inputs.boards]
    inputs.targets[:] = [replace(row, species=label(row.species)) for row in inputs.targets]
    inputs.species[:] = [replace(row, species=label(row.species)) for row in inputs.species]


def _numbered_boards(inputs: Inputs, findings: Findings) -> Mapping[str, str]:
    """The wood that is meant, by the key of the numbered name that some boards have."""
    on_stock = {species_key(row.species): row.species for row in inputs.boards}
    wanted = {species_key(row.species) for row in inputs.targets}
    numbered: dict[str, dict[str, str]] = {}
    for key, name in on_stock.items():
        plain = without_last_number(name)
        if plain is not None and key not in wanted:
            numbered.setdefault(species_key(plain), {})[key] = name
    served: dict[str, str] = {}
    for row in inputs.targets:
        key = species_key(row.species)
        boards = numbered.pop(key, {}) if key not in on_stock else {}
        if not boards:
            continue
        served |= dict.fromkeys(boards, row.species)
        findings.add(
            row.place.sheet,
            row.place.cell("species"),
            f"{row.species}, read as {' and '.join(boards.values())} of Stock because no board is called {row.species}",
            "one name for one wood",
            "nothing if they are one wood; else type the name as it stands on Stock",
            Harm.GUESSED,
        )
    return served
