"""What of a bowl cannot be made as asked, each with the nearest that can."""

from collections.abc import Iterator

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.bowls import BowlAnswer
from sheetkit.job.measure import Measure
from sheetkit.job.wording import counted
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.bowls import panels_side_by_side

HAIR_MM = 0.05


def bowl_problems(answer: BowlAnswer, measure: Measure, inputs: Inputs) -> Iterator[CellProblem]:
    """Every finding about one bowl.

    Args:
        answer: the bowl
        measure: how lengths are shown
        inputs: the shop's settings
    """
    yield from _walls(answer, measure)
    yield from _board(answer, measure)
    yield from _panels(answer)
    yield from _tilts(answer, inputs)
    yield from _said_twice(answer, measure, inputs)


def _walls(answer: BowlAnswer, measure: Measure) -> Iterator[CellProblem]:
    if not answer.plan.short:
        return
    row, text = answer.row, measure.board_text
    if answer.missed_joints:
        worst = min(answer.plan.joints, key=lambda joint: joint.overlap_mm)
        many = "1 joint does" if answer.missed_joints == 1 else f"{answer.missed_joints} joints do"
        found = (
            f"a bowl of which {many} not close; below ring {worst.ring} the pieces miss by {text(-worst.overlap_mm)}"
        )
    else:
        wall, least = measure.board_texts(row.wall_mm, max(0.0, answer.least_wall_mm))
        found = f"a wall of {wall} of which {least} is left at the thinnest place"
    yield CellProblem(
        row.place.sheet, row.place.cell("wall_mm"), found,
        f"rings that keep the wall; with this board and wall the side must lean {_steepest(answer)} from upright",
        _mend(answer, measure), Harm.STOPS_JOB if answer.missed_joints else Harm.DOUBTFUL,
    )  # fmt: skip


def _steepest(answer: BowlAnswer) -> str:
    if not answer.steepest.met:
        return "more than it can"
    return f"at least {answer.steepest.value:.1f}°"


def _mend(answer: BowlAnswer, measure: Measure) -> str:
    ways = []
    fewest = answer.fewest
    if fewest is not None and fewest.met and fewest.value != answer.row.boards:
        ways.append(f"take rings from {int(fewest.value)} boards in turn (Boards in turn)")
    if not answer.missed_joints and answer.least_wall_mm > 0:
        ways.append(f"ask for a wall of {measure.most_text(answer.least_wall_mm)}")
    if answer.row.profile == "straight":
        ways.append("leave Height and Rings empty for the tallest straight bowl that keeps the wall")
    return ", or ".join(ways) or "make the side flatter, the wall thinner or the board thicker"


def _board(answer: BowlAnswer, measure: Measure) -> Iterator[CellProblem]:
    row, stack = answer.row, answer.stack
    if answer.board_large_enough:
        return
    board, blank = answer.pattern.board, answer.plan.blank_diameter_mm
    least = min(board.length_mm, board.width_mm)
    length, width, across = measure.board_texts(board.length_mm, board.width_mm, blank)
    rim = row.rim_diameter_mm - (blank - least)
    nearest = f", or a rim of at most {measure.most_text(rim)}" if rim > row.foot_diameter_mm else ""
    if answer.steps:
        many = panels_side_by_side(blank, stack.thickness_mm, stack.glue_mm)
        found = f"a board of {length} x {width} after the rounds of Steps"
        beside = f"; {many} side by side are as wide as the ring" if many > 1 else ""
        fix = f"start from a longer or thicker panel{beside}{nearest}"
    else:
        found = f"panel {stack.panel.name}, {length} long"
        fix = f"make the panel at least {measure.least_text(blank)} long{nearest}"
    yield CellProblem(
        row.place.sheet, row.place.cell("rim_diameter_mm"), found,
        f"a board for the largest ring of {row.piece}, {across} across", fix, Harm.STOPS_JOB,
    )  # fmt: skip


def _panels(answer: BowlAnswer) -> Iterator[CellProblem]:
    """More panels than Panels makes: as for handles, since stock, cost and calendar count those alone."""
    row, panel, needed = answer.row, answer.stack.panel, answer.panels_needed
    if needed is None or needed <= panel.copies:
        return
    yield CellProblem(
        row.place.sheet, row.place.cell("quantity"),
        f"{counted(row.quantity, 'piece')} of {row.piece}, {'which takes' if row.quantity == 1 else 'which take'} "
        f"{counted(needed, 'panel')}",
        f"no more than the {panel.copies} of {panel.name} that Panels makes", f"make {needed} such panels",
        Harm.DOUBTFUL,
    )  # fmt: skip


def _tilts(answer: BowlAnswer, inputs: Inputs) -> Iterator[CellProblem]:
    row, most = answer.row, inputs.shop.tilt_most_deg
    worst = max(answer.plan.rings, key=lambda ring: abs(ring.tilt_deg))
    if abs(worst.tilt_deg) <= most + 1e-9:
        return
    name = f"ring {worst.number}" if worst.number else "the base"
    yield CellProblem(
        row.place.sheet, row.place.cell("rim_diameter_mm"), f"a tilt of {abs(worst.tilt_deg):.1f}° for {name}",
        f"at most {most:g}°, which the table reaches",
        "make the bowl taller or its foot wider, tilt the work on a wedge as the saw's manual allows, or correct "
        "Greatest tilt on Shop",
        Harm.DOUBTFUL,
    )  # fmt: skip


def _said_twice(answer: BowlAnswer, measure: Measure, inputs: Inputs) -> Iterator[CellProblem]:
    row, profile, text = answer.row, answer.plan.profile, measure.board_text
    rings = len(answer.plan.rings) - 1
    if row.rings is not None and row.rings != rings:
        yield CellProblem(
            row.place.sheet, row.place.cell("rings"),
            f"{counted(row.rings, 'ring')} for a bowl {text(profile.height_mm)} high",
            f"{counted(rings, 'ring')}, which boards of {text(answer.plan.rules.board_mm)} give at that height",
            "empty Rings or Height; the height was used", Harm.DOUBTFUL,
        )  # fmt: skip
    if not any(point.piece.casefold() == row.piece.casefold() for point in inputs.profiles):
        return
    for field, word, asked, drawn in (
        ("rim_diameter_mm", "rim", row.rim_diameter_mm, 2 * profile.radii_mm[-1]),
        ("foot_diameter_mm", "foot", row.foot_diameter_mm, 2 * profile.radii_mm[0]),
    ):
        if abs(asked - drawn) > HAIR_MM:
            typed, given = measure.board_texts(asked, drawn)
            yield CellProblem(
                row.place.sheet, row.place.cell(field), f"a {word} of {typed}",
                f"{given}, as the points on Profiles give it",
                "correct either; the points were used", Harm.DOUBTFUL,
            )  # fmt: skip
