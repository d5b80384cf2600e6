"""All the answers of one refresh, in the order in which they were found."""

from collections.abc import Mapping
from dataclasses import dataclass

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.boards import BoardState, board_states
from sheetkit.job.checking import CheckedSlice, check_slices
from sheetkit.job.findings import findings
from sheetkit.job.findings_wood import findings_wood
from sheetkit.job.gluing import Gluing, gluing_of
from sheetkit.job.layers import PanelToMake, panels_to_make
from sheetkit.job.laying import Laying, lay_panels
from sheetkit.job.learning import Learned, learn_offsets
from sheetkit.job.measured import SawnSlice, sawn_slices
from sheetkit.job.needs import Need, RoughSize, layers_of_slice, needs_of, rough_sizes, share_out
from sheetkit.job.planning import WorkPlan, settings_of, work_plan
from sheetkit.job.spares import decide_spares
from sheetkit.job.stacks import StackOutlook, stack_outlooks
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
        laying: which slice lies in which layer; None while no slice has been measured
        gluing: glue-ups, press, water, moisture and movement of each panel
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
    gluing: Gluing
    problems: list[CellProblem]

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
    checks = check_slices(slices, needs, learned, inputs)
    states = board_states(slices, learned, inputs)
    layers = {
        (board.board, panel.name): layers_of_slice(board, rough[panel.name], inputs)
        for board in inputs.boards
        for panel in panels
    }
    share_out([(item.slice, item.need) for item in checks if item.serves and item.need], needs, layers)
    settings = settings_of(needs, learned, inputs)
    decide_spares(needs, settings, checks, inputs)
    plan = work_plan(needs, states, layers, settings, learned, inputs)
    stacks = stack_outlooks(panels, needs, settings, learned, inputs)
    laying = lay_panels(panels, needs, inputs)
    gluing = gluing_of(panels, needs, plan, rough, inputs)
    problems = [
        *inputs.problems,
        *findings(inputs, needs, learned, checks, states, rough, plan),
        *findings_wood(gluing, inputs),
    ]
    return Results(
        panels, rough, needs, slices, learned, checks, states, layers, plan, stacks, laying, gluing, problems
    )
