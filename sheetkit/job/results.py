"""All the answers of one refresh, in the order in which they were found."""

from collections.abc import Mapping
from dataclasses import dataclass

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.boards import BoardState, board_states
from sheetkit.job.checking import CheckedSlice, check_slices
from sheetkit.job.costing import Costing, costing_of
from sheetkit.job.findings import findings, never_freed, short_of_stock
from sheetkit.job.findings_readings import findings_readings
from sheetkit.job.findings_wood import findings_wood
from sheetkit.job.gauging import Gauging, gauging
from sheetkit.job.glue_lines import GlueLines, glue_lines_of
from sheetkit.job.gluing import Gluing, gluing_of
from sheetkit.job.kerfs import BoardKerf, board_kerfs
from sheetkit.job.layers import PanelToMake, panels_to_make
from sheetkit.job.laying import Laying, lay_panels
from sheetkit.job.learning import Learned, learn_offsets
from sheetkit.job.measure import Measure
from sheetkit.job.measured import SawnSlice, sawn_slices
from sheetkit.job.needs import Need, RoughSize, layers_of_slice, needs_of, rough_sizes, share_out
from sheetkit.job.pieces import Pieces, pieces_of
from sheetkit.job.planning import WorkPlan, settings_of, work_plan
from sheetkit.job.pools import hand_out, pass_on_surplus, pools_of
from sheetkit.job.process import Run, runs
from sheetkit.job.shapes import Form, forms
from sheetkit.job.spares import decide_spares
from sheetkit.job.stacks import StackOutlook, as_laid, stack_outlooks
from sheetkit.tables.inputs import Inputs


@dataclass(frozen=True, slots=True)
class Results:
    """What the engine found.

    Attributes:
        panels: the panels, layer by layer
        rough: rough size of each panel by name
        needs: what the panels need of each wood and thickness
        slices: every slice in the order of sawing
        learned: the offsets
        checks: every slice judged, in the order of sawing
        states: what is left of each board, by name
        layers: layers that a slice gives, by board name and panel name
        plan: what to saw
        stacks: thickness of each panel as planned and as sliced so far
        laying: which slice lies in which layer; None while no measured slice may be used
        glue_lines: what panels already glued teach about the glue line
        gluing: glue-ups, press, water, moisture and movement of each panel
        gauge: what is known of the caliper
        kerfs: true kerf of each board that was sawn
        runs: how steady the sawing is, by wood and layer thickness
        forms: tapers and bow over all slices
        pieces: handles, boards and bowls made from the panels
        costing: cost and time
        shortages: what the rack cannot give, with what to buy
        problems: every finding, the reader's and the engine's
    """

    panels: list[PanelToMake]
    rough: Mapping[str, RoughSize]
    needs: list[Need]
    slices: list[SawnSlice]
    learned: Learned
    checks: list[CheckedSlice]
    states: Mapping[str, BoardState]
    layers: Mapping[tuple[str, str], int]
    plan: WorkPlan
    stacks: list[StackOutlook]
    laying: Laying | None
    glue_lines: GlueLines
    gluing: Gluing
    gauge: Gauging
    kerfs: list[BoardKerf]
    runs: list[Run]
    forms: list[Form]
    pieces: Pieces
    costing: Costing
    shortages: list[CellProblem]
    problems: list[CellProblem]

    @property
    def short(self) -> list[Need]:
        """Needs for which the stock does not give every layer, spares left aside."""
        made = self.plan.cuts.made
        planned = [need for need in self.needs if need.key not in self.plan.unmoved]
        return [need for need in planned if need.have + made.get(need.key, 0) < need.layers]

    @property
    def stopped(self) -> list[CellProblem]:
        """What stops the job."""
        return [problem for problem in self.problems if problem.harm is Harm.STOPS_JOB]


def compute(inputs: Inputs) -> Results:
    """Work everything out: panels, offsets, verdicts, boards, plan, stacks."""
    panels = panels_to_make(inputs)
    rough = rough_sizes(panels, inputs)
    needs = needs_of(panels, inputs)
    slices = sawn_slices(inputs)
    learned = learn_offsets(slices, inputs)
    gauge = gauging(needs, inputs)
    checks = check_slices(slices, needs, learned, gauge, inputs)
    states = board_states(slices, learned, inputs)
    layers = {
        (board.board, panel.name): layers_of_slice(board, rough[panel.name], inputs)
        for board in inputs.boards
        for panel in panels
    }
    share_out([(item.slice, item.need) for item in checks if item.serves and item.need], needs, layers)
    settings = settings_of(needs, learned, inputs)
    pools = pools_of(needs, layers, inputs)
    decide_spares(pools, settings, checks, learned, inputs)
    pass_on_surplus(needs, layers, inputs)
    plan = hand_out(work_plan(needs, states, layers, settings, learned, inputs), pools)
    laying = lay_panels(panels, needs, inputs)
    stacks = [as_laid(stack, laying) for stack in stack_outlooks(panels, needs, settings, learned, inputs)]
    glue_lines = glue_lines_of(panels, needs, laying, gauge, inputs)
    gluing = gluing_of(panels, needs, plan, rough, inputs)
    kerfs = board_kerfs(slices, states, gauge, inputs)
    steadiness = runs(checks, learned, states, {panel.name: panel.copies for panel in panels}, inputs)
    pieces = pieces_of(panels, laying, inputs)
    costing = costing_of(needs, checks, states, plan, gluing, pieces, inputs)
    shortages = list(short_of_stock(needs, plan, Measure(inputs.shown_in), inputs))
    problems = [
        *inputs.problems,
        *shortages,
        *never_freed(needs, plan, learned, inputs),
        *findings(inputs, needs, learned, checks, states, rough, stacks),
        *findings_readings(kerfs, gauge, inputs),
        *findings_wood(gluing, inputs),
        *pieces.problems,
    ]
    return Results(
        panels=panels, rough=rough, needs=needs, slices=slices, learned=learned, checks=checks, states=states,
        layers=layers, plan=plan, stacks=stacks, laying=laying, glue_lines=glue_lines, gluing=gluing, gauge=gauge,
        kerfs=kerfs, runs=steadiness, forms=forms(checks, inputs), pieces=pieces, costing=costing, shortages=shortages,
        problems=problems,
    )  # fmt: skip
