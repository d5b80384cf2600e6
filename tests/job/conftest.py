"""Jobs built from plain inch values, so that a test shows only what it is about."""

import dataclasses

import pytest

from sheetkit.tables.columns import columns_of
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board, Measurement, Panel, Place, Repeat, SpeciesValues, Target
from sheetkit.tables.rows_pieces import Bowl, CutStep, Handle, ProfilePoint
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


def piece(row_class, place, more, **values):
    """A row with its defaults; `more` holds lengths in inches by field without unit, and other fields as they are."""
    fields = {field.name for field in dataclasses.fields(row_class)}
    lengths = {f"{name}_mm": value * INCH for name, value in more.items() if f"{name}_mm" in fields}
    others = {name: value for name, value in more.items() if name in fields}
    defaults = {column.field: default_value(column) for column in columns_of(row_class)}
    return row_class(place=place, **(defaults | values | lengths | others))


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
        self.handles, self.steps, self.points = [], [], []

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

    def bowl(self, name, rim, turn=0.0, panel=None, foot=None, wall=0.25, **more):
        """A bowl; further lengths by the name of their field without its unit, in inches."""
        self.bowls.append(
            piece(Bowl, self._place("Bowls", self.bowls), more, piece=name, panel=panel, turn_deg=turn,
                  rim_diameter_mm=rim * INCH, foot_diameter_mm=(foot or rim / 2) * INCH, wall_mm=wall * INCH)
        )  # fmt: skip
        return self

    def handle(self, name, length, width, thickness, angle=0.0, tilt=0.0, panel=None, **more):
        """A handle; further lengths by the name of their field without its unit, in inches."""
        self.handles.append(
            piece(Handle, self._place("Handles", self.handles), more, piece=name, panel=panel, angle_deg=angle,
                  tilt_deg=tilt, length_mm=length * INCH, width_mm=width * INCH, thickness_mm=thickness * INCH)
        )  # fmt: skip
        return self

    def step(self, name, strip, angle=90.0, panel=None, **more):
        """A round of cutting and gluing; further lengths as above."""
        self.steps.append(
            piece(CutStep, self._place("Steps", self.steps), more, piece=name, panel=panel, angle_deg=angle,
                  strip_mm=strip * INCH)
        )  # fmt: skip
        return self

    def point(self, name, height, radius):
        """A point of a bowl's outside."""
        self.points.append(
            piece(ProfilePoint, self._place("Profiles", self.points), {}, piece=name, height_mm=height * INCH,
                  radius_mm=radius * INCH)
        )  # fmt: skip
        return self

    def inputs(self):
        return Inputs(
            job=settings(Job, **self.job), shop=settings(Shop, **self.shop), unit="in",
            boards=self.boards, panels=self.panels, targets=self.targets, measurements=self.slices,
            species=self.species, bowls=self.bowls, repeats=self.repeats,
            handles=self.handles, steps=self.steps, profiles=self.points,
        )  # fmt: skip


@pytest.fixture
def job():
    return JobMaker()
