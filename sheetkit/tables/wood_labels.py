"""Gives one wood one label throughout a workbook, however it is spelt."""

from dataclasses import replace

from sheetkit.tables.inputs import Inputs
from sheetkit.tables.words import species_key


def same_wood_same_label(inputs: Inputs) -> None:
    """Rows whose woods have the same key get the label that is met first, Stock before Targets."""
    labels: dict[str, str] = {}

    def label(text: str) -> str:
        return labels.setdefault(species_key(text), text)

    inputs.boards[:] = [replace(row, species=label(row.species)) for row in inputs.boards]
    inputs.targets[:] = [replace(row, species=label(row.species)) for row in inputs.targets]
    inputs.species[:] = [replace(row, species=label(row.species)) for row in inputs.species]
