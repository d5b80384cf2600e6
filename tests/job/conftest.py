"""Jobs built from plain inch values, so that a test shows only what it is about."""

import dataclasses

import pytest

from sheetkit.tables.columns import columns_of
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board, Measurement, Panel, Place, Repeat, SpeciesValues, Target
from sheetkit.tables.rows_pieces import Bowl
from sheetkit.tables.settings import Job, Shop
from sheetkit.tables.value import default_value

INCH = 25.4


def settings(settings_class, **values):
    """Settings as a workbook gives them that says only these."""
    defaults = {column.field: default_value(column) for column in columns_of(settings_class)}
    return settings_class(**(defaults | values))


def empty(row_class, **values):
    """A row with every field empty but those given."""
    blank = {field.name: None for field in dataclasses.fields(row_class)}
    return row_class(**(blank | values))


class JobMaker:
    """Builds Inputs; lengths in inches."""

    def __init__(self):
        shop = dict(
            dial_division=0.001, dial_turn=0.050, kerf_allowance=0.050, offset=0.0, truing=0.0, held=0.250,
            thinnest_slice=0.008, sanding=0.0, crosscut_kerf=0.0, caliper=0.0005, glue_line=0.003,
        )  # fmt: skip
        self.shop = {f"{name}_mm": value * INCH for name, value in shop.items()}
        self.job = {"tolerance_mm": 0.002 * INCH, "spares_pct": 0.0, "end_trim_mm": 0.0, "edge_trim_mm": 0.0}
        self.boards, self.panels, self.targets, self.slices = [], [], [], []
        self.species, self.bowls, self.repeats = [], [], []

    def _place(self, sheet, rows):
        return Place(sheet, len(rows) + 3)

    def board(self, name, species, thickness, length=None, width=None, price=None, use="yes", **more):
        sizes = {"length_mm": length and length * INCH, "width_mm": width and width * INCH}
        self.boards.append(
            empty(Board, place=self._place("Stock", self.boards), board=name, species=species,
                  thickness_mm=thickness * INCH, price=price, use=use, **sizes, **more)
        )  # fmt: skip
        return self

    def panel(self, name, length=None, width=None, repeats=1, mirror=False, copies=1, **more):
        sizes = {"length_mm": length and length * INCH, "width_mm": width and width * INCH}
        place = self._place("Panels", self.panels)
        self.panels.append(
            empty(Panel, place=place, panel=name, repeats=repeats, mirror=mirror, copies=copies, **sizes, **more)
        )
        return self

    def layer(self, species, thickness, plies=1, tolerance=None, panel=None):
        self.targets.append(
            empty(Target, place=self._place("Targets", self.targets), panel=panel, species=species, plies=plies,
                  thickness_mm=thickness * INCH, tolerance_mm=tolerance and tolerance * INCH)
        )  # fmt: skip
        return self

    def slice(self, name, set_to, *readings, board=None, use=True, pressed=1, blade=None, **corners):
        self.slices.append(
            empty(Measurement, place=self._place("Measurements", self.slices), slice=name, board=board, use=use,
                  set_mm=None if set_to is None else set_to * INCH, pressed=pressed, blade=blade,
                  **{f"{corner}_mm": reading * INCH for corner, reading in corners.items()},
                  readings_mm=tuple(reading * INCH for reading in readings))
        )  # fmt: skip
        return self

    def repeat(self, name, *readings, person=None, tool=None):
        self.repeats.append(
            empty(Repeat, place=self._place("Repeats", self.repeats), slice=name, person=person, tool=tool,
                  readings_mm=tuple(reading * INCH for reading in readings))
        )  # fmt: skip
        return self

    def own(self, species, **figures):
        """The maker's own values for a wood."""
        place = self._place("Species", self.species)
        self.species.append(empty(SpeciesValues, place=place, species=species, **figures))
        return self

    def bowl(self, name, rim, turn=0.0, panel=None):
        place = self._place("Bowls", self.bowls)
        self.bowls.append(
            empty(Bowl, place=place, piece=name, panel=panel, quantity=1, rim_diameter_mm=rim * INCH,
                  foot_diameter_mm=rim * INCH / 2, wall_mm=0.25 * INCH, turn_deg=turn)
        )  # fmt: skip
        return self

    def inputs(self):
        return Inputs(
            job=settings(Job, **self.job), shop=settings(Shop, **self.shop), unit="in",
            boards=self.boards, panels=self.panels, targets=self.targets, measurements=self.slices,
            species=self.species, bowls=self.bowls, repeats=self.repeats,
        )  # fmt: skip


@pytest.fixture
def job():
    return JobMaker()
