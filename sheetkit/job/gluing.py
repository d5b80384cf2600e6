"""Everything about gluing one job up: stages, press, water, moisture, movement, and the woods that need care."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sheetkit.job.glue_ups import GlueToMix, Pressing, Stages, area_of, glue_to_mix, pressing_of, stages_of
from sheetkit.job.glue_water import GlueWater, glue_water, layer_kinds
from sheetkit.job.layers import PanelToMake
from sheetkit.job.needs import Need, RoughSize
from sheetkit.job.planning import WorkPlan
from sheetkit.job.wood_movement import Air, PanelMoves, air_of, panel_moves
from sheetkit.job.woods import JobWood, boards_of, grains_of, job_woods, start_moistures
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board, Panel
from sheetkit.tables.rows_pieces import Bowl
from sheetkit.trade.cautions import Caution, cautions
from sheetkit.trade.glue import glue_lines, glue_share_pct
from sheetkit.trade.readiness import (
    Lot,
    MoistureFinding,
    bleeding_lines,
    earliest_machining,
    moisture_findings,
    surface_is_stale,
)

NO_WATER = 1.0
"""Share of solids of a glue without water."""


@dataclass(frozen=True, slots=True)
class PanelGluing:
    """One panel to glue up; sizes and masses are those of one copy.

    Attributes:
        panel: the panel
        row: its row on Panels, None where the workbook has none
        boards: the boards its slices come from
        width_as_glued_mm: width before trimming; None where it is not known
        lines: glue lines
        glue_share_pct: glue as a share of the panel's thickness
        mix: glue for all lines; None where the panel's size is not known
        mix_of_one_line: glue for one line, likewise
        stages: the glue-ups
        pressing: force and clamps; None where the size is not known
        water: what the glue's water does
        dry: the same panel with a glue without water
        moves: how it moves between shop and place
        moisture: boards that stand against gluing
        bleeding: lines where staining dust meets a pale wood
        stale: its surfaces are older than the glue likes
        machine_from: day before which it should not be machined; None where no day of gluing is given
        machine_from_dry: the same with a glue without water
    """

    panel: PanelToMake
    row: Panel | None
    boards: tuple[Board, ...]
    width_as_glued_mm: float | None
    lines: int
    glue_share_pct: float
    mix: GlueToMix | None
    mix_of_one_line: GlueToMix | None
    stages: Stages
    pressing: Pressing | None
    water: GlueWater
    dry: GlueWater
    moves: PanelMoves
    moisture: tuple[MoistureFinding, ...]
    bleeding: tuple[tuple[int, int], ...]
    stale: bool
    machine_from: date | None
    machine_from_dry: date | None


@dataclass(frozen=True, slots=True)
class Gluing:
    """Everything about gluing one job up.

    Attributes:
        woods: the job's woods, by label
        air: moisture that shop and place keep wood at
        panels: panel by panel
        cautions: for this job's own woods, thicknesses and glue
    """

    woods: Mapping[str, JobWood]
    air: Air
    panels: tuple[PanelGluing, ...]
    cautions: tuple[Caution, ...]


def gluing_of(
    panels: Sequence[PanelToMake], needs: Sequence[Need], plan: WorkPlan, rough: Mapping[str, RoughSize], inputs: Inputs
) -> Gluing:
    """Work out the gluing of every panel that has layers.

    Args:
        panels: the panels, layer by layer
        needs: what they need, with the slices that serve
        plan: what is still to be sawn
        rough: rough size of each panel, by name
        inputs: the maker's rows and settings
    """
    woods = job_woods(inputs)
    air = air_of(inputs.job, inputs.shop)
    rows = {row.panel: row for row in inputs.panels}
    found = tuple(
        _panel(
            panel, rows.get(panel.name), boards_of(panel, needs, plan, inputs), rough[panel.name], woods, air, inputs
        )
        for panel in panels
        if panel.layers
    )
    return Gluing(woods, air, found, _cautions(found, needs, woods, inputs))


def _panel(
    panel: PanelToMake,
    row: Panel | None,
    boards: Sequence[Board],
    rough: RoughSize,
    woods: Mapping[str, JobWood],
    air: Air,
    inputs: Inputs,
) -> PanelGluing:
    shop = inputs.shop
    kinds = layer_kinds(panel, grains_of(boards), start_moistures(boards), air.shop_pct)
    water, dry = (
        glue_water(panel, kinds, rough, woods, shop, solids) for solids in (1.0 - shop.glue_water_pct / 100.0, NO_WATER)
    )
    layers, area = [woods[layer.species].match for layer in panel.layers], area_of(rough)
    lines = glue_lines(len(panel.layers))
    lots = [Lot(board.board, board.species, board.moisture_pct) for board in boards]
    age, glued = (row.surface_age_s, row.glued) if row is not None else (None, None)
    return PanelGluing(
        panel=panel,
        row=row,
        boards=tuple(boards),
        width_as_glued_mm=rough.width_mm,
        lines=lines,
        glue_share_pct=glue_share_pct([layer.finished_mm for layer in panel.layers], shop.glue_line_mm),
        mix=None if area is None else glue_to_mix(area, lines, shop),
        mix_of_one_line=None if area is None else glue_to_mix(area, 1, shop),
        stages=stages_of(len(panel.layers), shop),
        pressing=pressing_of(rough, shop),
        water=water,
        dry=dry,
        moves=panel_moves(kinds, panel.width_mm, woods, air, _bowls_of(panel, inputs)),
        moisture=moisture_findings(lots, shop.wettest_pct, shop.driest_pct, shop.moisture_apart_pct),
        bleeding=bleeding_lines([match.dark_dust for match in layers], [match.pale for match in layers]),
        stale=age is not None and surface_is_stale(age / 60.0, shop.surface_limit_s / 60.0),
        machine_from=None if glued is None else earliest_machining(glued, water.rest_days),
        machine_from_dry=None if glued is None else earliest_machining(glued, dry.rest_days),
    )


def _bowls_of(panel: PanelToMake, inputs: Inputs) -> list[Bowl]:
    only = len(inputs.panels) < 2
    return [bowl for bowl in inputs.bowls if bowl.panel == panel.name or (bowl.panel is None and only)]


def _cautions(
    panels: Sequence[PanelGluing], needs: Sequence[Need], woods: Mapping[str, JobWood], inputs: Inputs
) -> tuple[Caution, ...]:
    used = dict.fromkeys(layer.species for item in panels for layer in item.panel.layers)
    glued = [item for item in panels if item.lines]
    return cautions(
        [woods[label].match for label in used],
        thinnest_mm=min((need.sawn_mm for need in needs), default=None),
        water_based=inputs.shop.glue_water_pct > 0.0 if glued else None,
        force_n=max((item.pressing.force_n for item in glued if item.pressing is not None), default=None),
        turned=bool(inputs.bowls),
        rest_days=max((item.water.rest_days for item in glued if item.water.layers.water_gsm), default=None),
    )
