"""Blocks of the sheet Pieces about ring bowls."""

from collections.abc import Mapping
from math import cos, radians

from sheetkit.job.bowls import BowlAnswer
from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.job.wording import counted
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.model import Link, Look
from sheetkit.trade.bowl_plan import Joint, Ring
from sheetkit.trade.bowl_volumes import board_feet
from sheetkit.trade.handles import complement

CM3_MM3 = 1000.0


def bowl_block(
    sheet: SheetBuilder, answer: BowlAnswer, results: Results, measure: Measure, names: Mapping[str, str]
) -> None:
    """Everything about one bowl: what to do in sentences, then rings and joints."""
    row, plan, text = answer.row, answer.plan, measure.board_text
    many = f"{row.quantity} wanted, " if row.quantity != 1 else ""
    sheet.section(
        f"Bowl {row.piece}: {many}{text(2 * plan.profile.radii_mm[-1])} across the rim, "
        f"{text(plan.profile.height_mm)} high, from panel {answer.stack.panel.name}"
    )
    sheet.line(_rings_words(answer, measure), Look.STRONG)
    sheet.line(_material_words(answer, measure), Look.STRONG if answer.board_large_enough else Look.BAD)
    words, look = _wall_words(answer, measure)
    sheet.line(words, look)
    for sentence in (_ledge_words(answer, measure), _foot_words(answer, measure), _turn_words(answer, measure)):
        if sentence:
            sheet.line(sentence)
    if answer.oval_mm is not None:
        sheet.line(
            f"Half rings: kerf and cleaning leave each ring {measure.text(answer.oval_mm)} out of round across the "
            "joint; allow it in the outside cut, or draw the circles after jointing."
        )
    sheet.line(_saving_words(answer, measure))
    _movement(sheet, answer, results, measure, names)
    _rings(sheet, answer, measure)
    if plan.joints:
        sheet.blank()
        _joints(sheet, answer, measure)


def _rings_words(answer: BowlAnswer, measure: Measure) -> str:
    plan = answer.plan
    rings = len(plan.rings) - 1
    tilts = sorted({round(ring.tilt_deg, 4) for ring in plan.rings})
    tilt = f"{tilts[0]:g}°" if len(tilts) == 1 else f"from {tilts[0]:g}° to {tilts[-1]:g}°, ring by ring as listed"
    boards = "one board" if plan.rules.boards == 1 else f"{plan.rules.boards} boards in turn"
    return (
        f"{counted(rings, 'ring')} on a base, from {boards} "
        f"{measure.board_text(plan.rules.board_mm)} thick that {'lies' if plan.rules.boards == 1 else 'lie'} with the "
        f"layers on edge; table tilted {tilt}. The stack is {measure.board_text(plan.rough_height_mm)} high."
    )


def _material_words(answer: BowlAnswer, measure: Measure) -> str:
    blank, many = measure.least_text(answer.plan.blank_diameter_mm), answer.side_by_side
    panels = f"{many} panels glued side by side" if many > 1 else "one panel"
    if answer.steps:
        panels = "the board after the rounds of Steps"
    words = f"Each board takes {panels} and must be at least {blank} both ways"
    if answer.panels_needed is not None:
        words += f"; {counted(answer.panels_needed, 'panel')} in all"
        if answer.panels_needed > answer.stack.panel.copies:
            words += f", of which Panels makes {answer.stack.panel.copies}"
    return f"{words}."


def _wall_words(answer: BowlAnswer, measure: Measure) -> tuple[str, Look]:
    plan, steepest = answer.plan, answer.steepest
    limit = (
        f" Board and wall allow a side down to {steepest.value:.2f}° from upright."
        if steepest.met
        else f" With these boards {steepest.sentence(measure.limit_text)}."
    )
    if not plan.joints:
        return f"The bowl is one base without rings.{limit}", Look.INTRO
    joint = min(plan.joints, key=lambda item: item.wall_mm)
    least, at_joint, wanted = measure.board_texts(
        max(0.0, answer.least_wall_mm), max(0.0, joint.wall_mm), plan.rules.wall_mm
    )
    words = f"The thinnest wall left after turning is {least}"
    place = f"; of the joints, that below ring {joint.ring} keeps least, {at_joint}"
    look = Look.WATCH if plan.short else Look.GOOD
    return f"{words}{place}. Wanted: {wanted}.{limit}", look


def _ledge_words(answer: BowlAnswer, measure: Measure) -> str:
    ledges = [joint.ledge_mm for joint in answer.plan.joints]
    worst = max(ledges, key=abs, default=0.0)
    if abs(worst) < 0.001:
        return ""
    step = answer.plan.rules.tilt_division_deg
    total = measure.text(abs(sum(ledges)))
    why = f"because the table goes by {step:g}°" if step else "because neighbouring rings have their own tilts"
    return (
        f"Ledges of up to {measure.text(abs(worst))} at a joint, {total} in all, stand out on the outside {why}; they "
        "are turned away."
    )


def _foot_words(answer: BowlAnswer, measure: Measure) -> str:
    base = answer.plan.rings[0]
    top, bottom = measure.board_text(2 * base.outer_top_mm), measure.board_text(2 * base.outer_bottom_mm)
    return f"Base: draw a circle {top} across on top of the board; at its bottom the cut leaves {bottom}."


def _turn_words(answer: BowlAnswer, measure: Measure) -> str:
    changes = (
        "" if answer.changes is None else f"Once around the rim the colour changes {counted(answer.changes, 'time')}."
    )
    if answer.repeats_after is None:
        return changes
    row = answer.row
    arc = measure.board_text(abs(answer.turn_arc_mm))
    rings = len(answer.plan.rings) - 1
    again = (
        f"the pattern stands as it began after {counted(answer.repeats_after, 'ring')}"
        if answer.repeats_after <= rings
        else f"it would take {counted(answer.repeats_after, 'ring')} to stand as it began"
    )
    return f"Turn each ring {row.turn_deg:g}° from the one below: {arc} along the rim; {again}. {changes}".strip()


def _saving_words(answer: BowlAnswer, measure: Measure) -> str:
    block, boards, bowl = (
        _volume_text(volume, measure) for volume in (answer.block_mm3, answer.boards_mm3, answer.turned_mm3)
    )
    saved = f"{answer.saved:.0%} saved" if answer.saved > 0 else "nothing saved"
    return (
        f"A solid block would take {block}, the boards take {boards} ({saved}); {bowl} of it is in the finished bowl."
    )


def _volume_text(volume_mm3: float, measure: Measure) -> str:
    if measure.inch:
        return f"{board_feet(volume_mm3):.3f} board feet"
    return f"{volume_mm3 / CM3_MM3:,.0f} cm³"


def _movement(
    sheet: SheetBuilder, answer: BowlAnswer, results: Results, measure: Measure, names: Mapping[str, str]
) -> None:
    for panel in results.gluing.panels:
        for ring in panel.moves.rings:
            if ring.bowl.piece == answer.row.piece and ring.movement_mm is not None:
                sheet.line(
                    f"Turned rings work against each other by up to {measure.text(ring.movement_mm)} across the rim as "
                    f"moisture changes: see {names['glue_up']}.",
                    link=Link(names["glue_up"]),
                )


def _rings(sheet: SheetBuilder, answer: BowlAnswer, measure: Measure) -> None:
    unit, coarse = measure.board_unit, measure.coarse
    headings = (
        Heading("Ring", note="Counted from the base up."),
        Heading("Board", "0", "Which board it is sawn from."),
        Heading("Tilt (deg)", "0.0", "Of the table from level, which is the tilt of the cut from upright."),
        Heading("Slope (deg)", "0.0", "Its complement: how steep the side stands from the flat."),
        Heading(f"Top ({unit})", coarse, "Outside diameter on top of the board: draw this circle."),
        Heading(f"Bottom ({unit})", coarse, "Outside diameter at the bottom of the board: where the cut comes out."),
        Heading(f"Hole top ({unit})", coarse, "Inside diameter on top of the board."),
        Heading(f"Hole low ({unit})", coarse, "Inside diameter at the bottom of the board."),
        Heading(f"Spacing ({unit})", coarse, "Between the tops of this cut and the next one inside it on the board."),
        Heading(f"Face ({unit})", coarse, "Width of the ring's top face: the spacing less the slanting kerf."),
        Heading(f"Wall ({unit})", coarse, "As sawn, square to the slope, before turning."),
        Heading("Turned (deg)", "0.0", "From the base, counter-clockwise seen from above."),
    )
    first = sheet.next_row + 1
    sheet.table(headings, [_ring(ring, answer, measure, row) for row, ring in enumerate(answer.plan.rings, first)])


def _ring(ring: Ring, answer: BowlAnswer, measure: Measure, row: int) -> list[Value]:
    start: list[Value] = [
        f"ring {ring.number}" if ring.number else "base",
        ring.board + 1,
        round(ring.tilt_deg, 6),
        Figure(round(complement(ring.tilt_deg), 6), f"90-C{row}"),
        measure.of_board(2 * ring.outer_top_mm),
        measure.of_board(2 * ring.outer_bottom_mm),
    ]
    if not ring.inner_top_mm:
        return [*start, None, None, None, None, None, round(ring.turn_deg, 6)]
    face = ring.outer_top_mm - ring.inner_top_mm
    boards = answer.plan.rules.boards
    inner = answer.plan.rings[ring.number - boards] if ring.number >= boards else None
    spacing = (
        None
        if inner is None
        else Figure(measure.of_board(ring.outer_top_mm - inner.outer_top_mm), f"(E{row}-E{row - boards})/2")
    )
    holes = (measure.of_board(2 * ring.inner_top_mm), measure.of_board(2 * ring.inner_bottom_mm))
    width = Figure(measure.of_board(face), f"(E{row}-G{row})/2")
    wall = measure.of_board(face * cos(radians(ring.tilt_deg)))
    return [*start, *holes, spacing, width, wall, round(ring.turn_deg, 6)]


def _joints(sheet: SheetBuilder, answer: BowlAnswer, measure: Measure) -> None:
    unit, coarse, ledge = measure.board_unit, measure.coarse, f"Ledge ({measure.unit})"
    headings = (
        Heading("Joint", note="Counted from the base up."),
        Heading(f"Height ({unit})", coarse, "Above the foot."),
        Heading(ledge, measure.signed, "+ the lower piece stands out on the outside, - the upper one."),
        Heading(f"Glued ({unit})", coarse, "Level width of the two faces that meet; below nought they do not."),
        Heading(f"Wall ({unit})", measure.wall, "Left after turning to the profile, square to the slope."),
    )
    sheet.table(headings, [_joint(joint, measure) for joint in answer.plan.joints])


def _joint(joint: Joint, measure: Measure) -> list[Value]:
    height, glued, wall = (measure.of_board(mm) for mm in (joint.height_mm, joint.overlap_mm, joint.wall_mm))
    return [f"below ring {joint.ring}", height, measure.of(joint.ledge_mm), glued, wall]
