"""What the wood and the glue give reason to point out, each at the cell where it can be mended."""

from collections.abc import Iterator

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.gluing import Gluing, PanelGluing
from sheetkit.job.wording import counted
from sheetkit.tables.columns import Column
from sheetkit.tables.headings import DIMENSION
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.schema import SHOP
from sheetkit.tables.value import written
from sheetkit.trade.adhesive import USUAL, Range
from sheetkit.trade.readiness import MoistureFinding
from sheetkit.trade.species import may_be_the_same
from sheetkit.units import find_unit

SHEET_FIRST = "follow the adhesive's data sheet"
_SETTING_OF = {
    "spread_gsm": "spread_gsm",
    "density_g_ml": "glue_density_g_ml",
    "assembly_time_s": "assembly_s",
    "pressure_kpa": "pressure_kpa",
    "clamp_time_s": "clamp_time_s",
    "wettest_pct": "wettest_pct",
    "driest_pct": "driest_pct",
    "surface_age_s": "surface_limit_s",
    "line_mm": "glue_line_mm",
}
"""Setting on Shop for each figure of an adhesive that has a usual range in the same unit."""


def findings_wood(gluing: Gluing, inputs: Inputs) -> list[CellProblem]:
    """Every finding about wood and glue."""
    found = [
        *_without_figures(gluing, inputs),
        *_two_names(gluing, inputs),
        *_oily(gluing, inputs),
        *_unusual(inputs),
        *(finding for item in gluing.panels for finding in _of_panel(item, inputs)),
    ]
    return list(dict.fromkeys(found))


def _without_figures(gluing: Gluing, inputs: Inputs) -> Iterator[CellProblem]:
    """A wood whose movement or density is neither published nor given asks for the maker's own."""
    for label, wood in gluing.woods.items():
        target = next((row for row in inputs.targets if row.species == label), None)
        if target is None:
            continue
        for asked in wood.figures.asks:
            found, _, hint = asked.partition(";")
            yield CellProblem(
                target.place.sheet, target.place.cell("species"), found.strip(),
                "its movement and density, to work out how far it swells and moves",
                f"{hint.strip()}; all else is worked out without", Harm.NOTED,
            )  # fmt: skip


def _two_names(gluing: Gluing, inputs: Inputs) -> Iterator[CellProblem]:
    """A bare name such as maple beside a fuller one: perhaps one wood, that is planned as two."""
    labels = {wood.match.key: label for label, wood in gluing.woods.items()}
    for bare, full in may_be_the_same(wood.match for wood in gluing.woods.values()):
        named = [row.place for row in inputs.targets if row.species == labels[bare]]
        named += [row.place for row in inputs.boards if row.species == labels[bare]]
        yield CellProblem(
            named[0].sheet, named[0].cell("species"),
            f"{labels[bare]}, which may be the {labels[full]} named elsewhere",
            "one name for one wood",
            f"if it is {labels[full]}, type that here as well; until then the two are planned apart", Harm.DOUBTFUL,
        )  # fmt: skip


def _oily(gluing: Gluing, inputs: Inputs) -> Iterator[CellProblem]:
    for label, wood in gluing.woods.items():
        target = next((row for row in inputs.targets if row.species == label), None)
        if target is not None and wood.match.oily:
            yield CellProblem(
                target.place.sheet, target.place.cell("species"), f"{label}, whose oil can keep glue from holding",
                "a test joint that breaks in the wood and not in the glue",
                f"glue soon after surfacing, break a test joint first, and {SHEET_FIRST}", Harm.NOTED,
            )  # fmt: skip


def _unusual(inputs: Inputs) -> Iterator[CellProblem]:
    """Settings of the maker's own outside what is usual; they are used as given all the same."""
    columns = {column.field: column for column in SHOP.columns}
    for figure, setting in _SETTING_OF.items():
        place = inputs.setting_places.get(f"Shop.{setting}")
        usual, value = USUAL[figure], getattr(inputs.shop, setting)
        if place is None or usual.low <= value <= usual.high:
            continue
        column = columns[setting]
        low, high = (_said(end, column, inputs, digits=3) for end in (usual.low, usual.high))
        yield CellProblem(
            place.sheet, place.cell(setting), f"{column.heading} of {_said(value, column, inputs)}",
            f"usually {low} to {high} ({_source(usual)})",
            "nothing if the adhesive's data sheet says so; else type the figure that it gives", Harm.NOTED,
        )  # fmt: skip


def _said(value: float, column: Column, inputs: Inputs, digits: int = 4) -> str:
    label = column.unit_inch if inputs.unit == "in" else column.unit_metric
    unit = find_unit(label, DIMENSION[column.kind]) if label else None
    if unit is None:
        return f"{value:g}"
    return written(unit.to_base(float(f"{unit.from_base(value):.{digits}g}")), unit)


def _source(usual: Range) -> str:
    return usual.source.partition(":")[0]


def _of_panel(item: PanelGluing, inputs: Inputs) -> Iterator[CellProblem]:
    for found in item.moisture:
        yield from _moisture(found, item, inputs)
    yield from _too_slow(item, inputs)
    yield from _stale(item, inputs)
    yield from _too_weak(item, inputs)


def _moisture(found: MoistureFinding, item: PanelGluing, inputs: Inputs) -> Iterator[CellProblem]:
    shop = inputs.shop
    wanted = {
        "too wet": f"at most {shop.wettest_pct:g} % moisture for gluing",
        "too dry": f"at least {shop.driest_pct:g} % moisture for gluing",
        "too different": f"boards of one panel within {shop.moisture_apart_pct:g} points of each other",
    }
    if found.kind not in wanted:
        return
    board = next(board for board in item.boards if board.board == found.lots[0])
    yield CellProblem(
        board.place.sheet, board.place.cell("moisture_pct"), found.text, wanted[found.kind],
        "let the wood settle in the shop and measure again, or change the limits on Shop if the data sheet says so",
        Harm.DOUBTFUL,
    )  # fmt: skip


def _too_slow(item: PanelGluing, inputs: Inputs) -> Iterator[CellProblem]:
    if not item.lines or item.stages.times:
        return
    sheet, cell = _setting_cell("assembly_s", inputs)
    needed = inputs.shop.line_s + inputs.shop.closing_s
    yield CellProblem(
        sheet, cell, f"an assembly time of {item.stages.limit_s:.4g} s at the shop's temperature",
        f"at least {needed:.4g} s, one layer and the closing",
        "take a slower glue, or spread and close faster", Harm.DOUBTFUL,
    )  # fmt: skip


def _stale(item: PanelGluing, inputs: Inputs) -> Iterator[CellProblem]:
    if item.stale and item.row is not None and item.row.surface_age_s is not None:
        limit = inputs.shop.surface_limit_s / 60.0
        yield CellProblem(
            item.row.place.sheet, item.row.place.cell("surface_age_s"),
            f"faces {item.row.surface_age_s / 60.0:.4g} min old when glued", f"at most {limit:.4g} min",
            f"surface the faces again just before gluing, or change Oldest surface on Shop; {SHEET_FIRST}",
            Harm.DOUBTFUL,
        )  # fmt: skip


def _too_weak(item: PanelGluing, inputs: Inputs) -> Iterator[CellProblem]:
    """Clamps that the maker has counted and that cannot give the pressure asked for."""
    press = item.pressing
    if inputs.shop.clamps and item.lines and press is not None and press.short_kpa > 0.0:
        sheet, cell = _setting_cell("clamps", inputs)
        share = 100.0 * press.given_kpa / press.asked_kpa
        yield CellProblem(
            sheet, cell,
            f"{counted(press.used, 'clamp')} for panel {item.panel.name}, {share:.0f} % of the pressure wanted",
            f"{counted(press.needed, 'clamp')} of that force",
            f"use more or stronger clamps or a press, or lower Glue pressure if the glue allows it: {SHEET_FIRST}",
            Harm.DOUBTFUL,
        )  # fmt: skip


def _setting_cell(setting: str, inputs: Inputs) -> tuple[str, str]:
    place = inputs.setting_places.get(f"Shop.{setting}")
    return (place.sheet, place.cell(setting)) if place is not None else (inputs.sheets.get("Shop", "Shop"), "")
