"""Handles and scales: how the layers show on each face, and how many blanks a panel gives."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import acos, ceil, cos, degrees, radians

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.measure import Measure
from sheetkit.job.piece_stacks import PieceStack, trade_steps
from sheetkit.job.wording import counted
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows_pieces import CutStep, Handle
from sheetkit.trade.blanks import (
    BiasLayout,
    BiasPanel,
    best_bias_layout,
    bias_layout,
    blank_too_large,
    height_of_pair,
    panel_length_for,
    rows_of_blanks,
    sawn_section,
)
from sheetkit.trade.handles import (
    Face,
    angle_for_stripe,
    blank_axes,
    bookmatch_shift,
    crown_radius,
    eye_width,
    faces_of_blank,
    layer_for_stripe,
    layers_within,
    reach_through_stack,
)
from sheetkit.trade.pattern import Pattern, edges_of_layers
from sheetkit.trade.wish import Answer

MOST_BLANKS = 5000
"""So many blanks by area are not laid out one by one."""

HAIR_MM = 1e-6

MOST_WANTED = 300
"""For more blanks in one row the least panel is not searched for."""

FLAT_DEG = 3.0
"""A crowned face closer than this to the layers shows eyes."""


@dataclass(frozen=True, slots=True)
class Blanks:
    """What blanks a board gives.

    Attributes:
        layout: where they lie on the board's edge; the better of the two ways
        along: how many when the strips run along the blanks
        across: how many when they run across them
        rows: how often the layout comes out of the board's other side
        share_used: share of the board that becomes blanks
    """

    layout: BiasLayout
    along: int
    across: int
    rows: int
    share_used: float

    @property
    def count(self) -> int:
        """Blanks from one board."""
        return self.layout.count * self.rows


@dataclass(frozen=True)
class HandleAnswer:
    """One handle.

    Attributes:
        row: what the maker asked for
        stack: the panel it comes from
        steps: rounds of cutting and gluing before it is sawn
        pattern: the board it is cut from; with a panel of unknown size, one just large enough
        faces: side, edge and end
        across: layers of which some wood shows on each of the three
        section_mm: width and height of the square-sawn blank
        blanks: what the board gives; None where its size is not known, or no count can be made
        length_needed: panel length that gives the number wanted; None where that was not searched for
        wish: angle that shows the thickest layer at the width wished for; None without a wish
        layer_wish_mm: thickness a layer needs to show at that width as the handle lies now; None without a wish
        eyes_mm: widths of the eyes on a crowned side, the smallest first; none where the side crosses the layers
        shift_mm: how far the stripes of a bookmatched pair miss each other; None for a single piece
    """

    row: Handle
    stack: PieceStack
    steps: tuple[CutStep, ...]
    pattern: Pattern
    faces: tuple[Face, Face, Face]
    across: tuple[int, int, int]
    section_mm: tuple[float, float]
    blanks: Blanks | None
    length_needed: Answer | None
    wish: Answer | None
    layer_wish_mm: float | None
    eyes_mm: tuple[float, ...]
    shift_mm: float | None

    @property
    def thickest_mm(self) -> float:
        """The thickest layer of its panel, to which a wished stripe belongs."""
        return max(layer.thickness_mm for layer in self.stack.layers)

    @property
    def from_all_copies(self) -> int:
        """Blanks from every copy of the panel."""
        return self.blanks.count * self.stack.panel.copies if self.blanks else 0


def handle_answer(row: Handle, stack: PieceStack, steps: Sequence[CutStep], inputs: Inputs) -> HandleAnswer:
    """Work a handle out.

    Args:
        row: the maker's row
        stack: the panel it comes from
        steps: its rounds of cutting and gluing, in order
        inputs: the shop's settings

    Raises:
        ValueError: with the sentence, where a step gives no board.
    """
    shop = inputs.shop
    height = height_of_pair(row.thickness_mm, shop.blank_kerf_mm, shop.cleaning_mm) if row.pair else row.thickness_mm
    section = sawn_section(row.width_mm, height, row.tilt_deg)
    faces = faces_of_blank(row.angle_deg, row.tilt_deg)
    pattern = _board(row, section, stack, steps, inputs)
    board = pattern.board
    edge = BiasPanel(board.length_mm, board.width_mm, shop.blank_kerf_mm, shop.blank_trim_mm)
    known = stack.panel.length_mm is not None and stack.panel.width_mm is not None
    blanks = _blanks(row, section, edge, board.thickness_mm, inputs) if known else None
    thickest = max(layer.thickness_mm for layer in stack.layers)
    return HandleAnswer(
        row=row,
        stack=stack,
        steps=tuple(steps),
        pattern=pattern,
        faces=faces,
        across=_across(row, stack),
        section_mm=section,
        blanks=blanks,
        length_needed=_length_needed(row, section, edge, blanks, stack) if not steps else None,
        wish=None if row.stripe_mm is None else _angle_for(row.stripe_mm, thickest, row.tilt_deg),
        layer_wish_mm=None if row.stripe_mm is None else layer_for_stripe(row.stripe_mm, faces[0].angle_deg),
        eyes_mm=_eyes(row, pattern, faces[0]) if not steps else (),
        shift_mm=_shift(faces[0], inputs) if row.pair else None,
    )


def _board(
    row: Handle, section: tuple[float, float], stack: PieceStack, steps: Sequence[CutStep], inputs: Inputs
) -> Pattern:
    along = radians(row.angle_deg)
    enough = row.length_mm * cos(along) + section[1] + 2 * inputs.shop.blank_trim_mm
    length = stack.panel.length_mm if stack.panel.length_mm is not None else enough
    width = stack.panel.width_mm if stack.panel.width_mm is not None else section[0] + 2 * inputs.shop.blank_trim_mm
    return stack.pattern(length, width, 1, trade_steps(steps, inputs))


def _blanks(
    row: Handle, section: tuple[float, float], edge: BiasPanel, thickness_mm: float, inputs: Inputs
) -> Blanks | None:
    width, height = section
    if edge.length_mm * edge.stack_mm > MOST_BLANKS * row.length_mm * height:
        return None
    best = best_bias_layout(edge, row.length_mm, height, row.angle_deg)
    along = bias_layout(edge, row.length_mm, height, row.angle_deg).count
    across = bias_layout(edge, height, row.length_mm, 90.0 - row.angle_deg).count
    rows = rows_of_blanks(thickness_mm, width, inputs.shop.blank_kerf_mm, inputs.shop.blank_trim_mm)
    return Blanks(best, along, across, rows, best.share_used * rows * width / thickness_mm)


def _length_needed(
    row: Handle, section: tuple[float, float], edge: BiasPanel, blanks: Blanks | None, stack: PieceStack
) -> Answer | None:
    rows = blanks.rows if blanks else 1
    copies = stack.panel.copies
    if rows < 1 or copies < 1 or row.quantity < 1:
        return None
    wanted = ceil(row.quantity / (rows * copies))
    return panel_length_for(wanted, edge, row.length_mm, section[1], row.angle_deg) if wanted <= MOST_WANTED else None


def _across(row: Handle, stack: PieceStack) -> tuple[int, int, int]:
    layers = [layer.thickness_mm for layer in stack.layers]
    axes = blank_axes(row.angle_deg, row.tilt_deg)
    middle = stack.thickness_mm / 2
    sizes = (
        ((row.length_mm, row.width_mm, 0.0), axes.thick[1] * row.thickness_mm / 2),
        ((row.length_mm, 0.0, row.thickness_mm), axes.wide[1] * row.width_mm / 2),
        ((0.0, row.width_mm, row.thickness_mm), axes.long[1] * row.length_mm / 2),
    )
    side, edge, end = (
        max(1, layers_within(layers, reach_through_stack(*size, row.angle_deg, row.tilt_deg) + 1e-3, stack.glue_mm, at))
        for size, at in ((size, middle + off_mm) for size, off_mm in sizes)
    )
    return side, edge, end


def _angle_for(stripe_mm: float, layer_mm: float, tilt_deg: float) -> Answer:
    """Angle of the long axis, in degrees, at which the side shows a layer at a width, the tilt staying as it is."""
    face = angle_for_stripe(layer_mm, stripe_mm)
    if not face.met:
        return face
    part = cos(radians(face.value)) / cos(radians(tilt_deg)) if abs(tilt_deg) < 90.0 else 2.0
    if part > 1.0 + 1e-12:
        flattest = layer_mm / abs(cos(radians(90.0 - abs(tilt_deg))))
        reason = "a stripe of {} is wider than this tilt allows; along the layers it shows {}"
        return Answer(False, 0.0, reason, (stripe_mm, flattest))
    return Answer(True, degrees(acos(min(1.0, part))))


def _eyes(row: Handle, pattern: Pattern, side: Face) -> tuple[float, ...]:
    if row.crown_mm is None or side.angle_deg > FLAT_DEG:
        return ()
    radius = crown_radius(row.width_mm, row.crown_mm)
    crown = pattern.board.width_mm / 2 + row.thickness_mm / 2
    edges = edges_of_layers(pattern)[1:-1]
    depths = sorted(crown - float(edge) for edge in edges[::2] if 0.0 < crown - float(edge) <= row.crown_mm)
    return tuple(eye_width(radius, depth) for depth in depths)


def _shift(side: Face, inputs: Inputs) -> float:
    lost = inputs.shop.blank_kerf_mm + 2 * inputs.shop.cleaning_mm
    return bookmatch_shift(lost, side.angle_deg) if side.angle_deg > FLAT_DEG else 0.0


def handle_problems(answer: HandleAnswer, measure: Measure, inputs: Inputs) -> Iterator[CellProblem]:
    """What of a handle cannot be made as asked, with the nearest that can.

    Args:
        answer: the handle
        measure: how lengths are shown
        inputs: the shop's settings
    """
    row = answer.row
    if answer.blanks is not None and answer.blanks.count == 0:
        yield _too_large(answer, measure, inputs)
    elif answer.blanks is not None and answer.from_all_copies < row.quantity:
        yield _too_few(answer, measure)
    if answer.wish is not None and not answer.wish.met and row.stripe_mm is not None:
        yield CellProblem(
            row.place.sheet, row.place.cell("stripe_mm"), answer.wish.sentence(measure.text),
            "a width that the thickest layer can show",
            f"wish for {measure.text(answer.wish.lengths_mm[1])}" + _thinner(answer, measure), Harm.DOUBTFUL,
        )  # fmt: skip
    if row.crown_mm is not None and row.crown_mm > row.width_mm / 2:
        crown, half = measure.board_texts(row.crown_mm, row.width_mm / 2)
        yield CellProblem(
            row.place.sheet, row.place.cell("crown_mm"), f"a crown of {crown}", f"at most half the width, {half}",
            "give the rise of the rounded face alone; beyond half the width it is no arc of the face", Harm.DOUBTFUL,
        )  # fmt: skip


def _thinner(answer: HandleAnswer, measure: Measure) -> str:
    if not answer.layer_wish_mm or answer.layer_wish_mm < HAIR_MM:
        return ""
    return f", or make the thickest layer {measure.text(answer.layer_wish_mm)}"


def _too_large(answer: HandleAnswer, measure: Measure, inputs: Inputs) -> CellProblem:
    row, board, text = answer.row, answer.pattern.board, measure.board_text
    edge = BiasPanel(board.length_mm, board.width_mm, inputs.shop.blank_kerf_mm, inputs.shop.blank_trim_mm)
    refused = blank_too_large(edge, row.length_mm, answer.section_mm[1], row.angle_deg)
    where = f"{answer.stack.panel.name}'s board" if answer.steps else f"panel {answer.stack.panel.name}"
    field, wanted = "length_mm", f"a blank that fits into {where}"
    if answer.blanks is not None and answer.blanks.rows == 0:
        field = "width_mm"
        section, wide = answer.section_mm[0], board.thickness_mm
        across, has = measure.board_texts(section, wide)
        found = f"a blank of {across} across from {where}, which is {has} wide"
        fix = f"make the panel wider, or the piece narrower by {measure.least_text(section - wide)}"
    elif refused is not None:
        found = f"{refused.sentence(measure.limit_text)} ({answer.stack.counted_as})"
        fix = "shorten the piece, lay it flatter to the layers, or add layers"
    else:
        least = panel_length_for(1, edge, row.length_mm, answer.section_mm[1], row.angle_deg).value
        found = f"a piece that does not fit into {where}, which is {text(board.length_mm)} long"
        fix = f"make the panel at least {measure.least_text(least)} long, or shorten the piece"
    return CellProblem(row.place.sheet, row.place.cell(field), found, wanted, fix, Harm.STOPS_JOB)


def _too_few(answer: HandleAnswer, measure: Measure) -> CellProblem:
    row, panel = answer.row, answer.stack.panel
    made = answer.from_all_copies
    wanted = counted(row.quantity, "pair" if row.pair else "piece")
    per_panel = answer.blanks.count if answer.blanks else 1
    fix = f"make {counted(ceil(row.quantity / per_panel), 'such panel')}"
    if answer.length_needed is not None and answer.length_needed.met:
        fix += f", or one {measure.least_text(answer.length_needed.value)} long"
        fix += " each" if panel.copies > 1 else ""
    return CellProblem(
        row.place.sheet, row.place.cell("quantity"), f"{wanted} wanted of {row.piece}",
        f"no more than the {made} that panel {panel.name} gives", fix, Harm.DOUBTFUL,
    )  # fmt: skip
