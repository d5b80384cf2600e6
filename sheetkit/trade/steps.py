"""Cutting a panel and gluing it again: strips sawn at an angle, every second one turned, slid, glued; any times over.

The board is seen from above. Its length runs along x, its layers are stacked along y. Each strip is sawn along a line
at an angle to the long edge, and the new board's length runs across the strips, its width along the cut.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import cos, radians, sin

from sheetkit.trade.exact import floor_of_ratio, total_mm
from sheetkit.trade.wish import Answer

MEETS_MM = 0.01
"""Two repeats that come this close to each other along a joint meet."""

REPEATS_TRIED = 48


class Turn(StrEnum):
    """How every second strip is turned before it is glued, in the maker's words."""

    AS_SAWN = "as sawn"
    OVER = "turned over"
    END_FOR_END = "turned end for end"
    BOTH = "turned over and end for end"


@dataclass(frozen=True, slots=True)
class BoardSize:
    """A board as it lies.

    Attributes:
        length_mm: along x, > 0 [mm]
        width_mm: along y, through the layers of the first panel, > 0 [mm]
        thickness_mm: height as it lies, > 0 [mm]
    """

    length_mm: float
    width_mm: float
    thickness_mm: float

    @property
    def area_mm2(self) -> float:
        """Area seen from above."""
        return self.length_mm * self.width_mm


@dataclass(frozen=True, slots=True)
class Step:
    """One round of sawing and gluing.

    Attributes:
        angle_deg: angle of the cut to the long edge, above 0; 90 is square across [deg]
        strip_mm: width of a strip, square to the cut, > 0 [mm]
        kerf_mm: kerf of each cut, >= 0 [mm]
        turn: how every second strip is turned
        slide_mm: how far every second strip is slid along the joint; negative slides back [mm]
        glue_mm: thickness of the new glue lines, >= 0 [mm]
        flatten_mm: what flattening takes off the thickness of the new board, both faces together, >= 0 [mm]
    """

    angle_deg: float
    strip_mm: float
    kerf_mm: float
    turn: Turn = Turn.OVER
    slide_mm: float = 0.0
    glue_mm: float = 0.0
    flatten_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Repeat:
    """How often the pattern of a board comes again.

    Attributes:
        along_mm: along the board's length; 0 where it runs on unchanged, None where it never comes again [mm]
        across_mm: along the board's width; None where it never comes again [mm]
    """

    along_mm: float | None
    across_mm: float | None


@dataclass(frozen=True, slots=True)
class StepResult:
    """What one round gives.

    Attributes:
        strips: number of whole strips [1]
        strip_length_mm: length of a strip along the cut, its slanted ends included [mm]
        strip_share: share of the board's area in whole strips [1]
        kept_share: share of the board's area left in the trimmed new board [1]
        board: the new board, trimmed square; None where none comes out
        joint_repeat_mm: how far apart the pattern repeats along the joint, the only slides at which turned strips meet;
            None where it does not repeat [mm]
        mismatch_mm: by how much the slide misses the nearest repeat; None where there is no repeat [mm]
        repeat: how often the pattern of the new board comes again
        short: why no new board comes out, with the nearest that would; None where one does
    """

    strips: int
    strip_length_mm: float
    strip_share: float
    kept_share: float
    board: BoardSize | None
    joint_repeat_mm: float | None
    mismatch_mm: float | None
    repeat: Repeat
    short: Answer | None


def strips_in_board(board: BoardSize, step: Step) -> int:
    """Count the whole strips, from long edge to long edge, that lie between the two end triangles.

    Args:
        board: the board to saw
        step: how it is sawn

    Source: own derivation: n * strip + (n - 1) * kerf, each over sin(angle), within length - width / tan(angle);
    the first and the last cut fall into the triangles.

    >>> strips_in_board(BoardSize(500.0, 120.0, 20.0), Step(angle_deg=60.0, strip_mm=30.0, kerf_mm=1.0))
    12
    """
    run_mm = (board.length_mm - board.width_mm * _cotangent(step.angle_deg)) * sin(radians(step.angle_deg))
    return max(0, floor_of_ratio(total_mm([run_mm, step.kerf_mm]), total_mm([step.strip_mm, step.kerf_mm])))


def repeat_along_joint(repeat: Repeat, angle_deg: float) -> float | None:
    """Find how far apart the pattern repeats along a cut, which is what a turned strip must be slid by.

    Args:
        repeat: how often the board's pattern comes again along its length and across it
        angle_deg: angle of the cut to the long edge, above 0 to 90 [deg]

    Source: trigonometry: repeat across / sin(angle); where the pattern changes along the board as well, the first
    multiple that is also a whole number of repeats along it.

    >>> repeat_along_joint(Repeat(along_mm=0.0, across_mm=3.0), angle_deg=30.0)
    6.0
    """
    if repeat.across_mm is None:
        return None
    once_mm = repeat.across_mm / sin(radians(angle_deg))
    if repeat.along_mm == 0.0 or angle_deg == 90.0:
        return float(round(once_mm, 9))
    if repeat.along_mm is None:
        return None
    for times in range(1, REPEATS_TRIED + 1):
        run_mm = times * repeat.across_mm * _cotangent(angle_deg)
        if abs(run_mm - round(run_mm / repeat.along_mm) * repeat.along_mm) <= MEETS_MM:
            return times * once_mm
    return None


def panel_repeat(layers: Sequence[tuple[str, float]], glue_mm: float = 0.0) -> Repeat:
    """Find how often the layers of a panel come again: the shortest run that, repeated, gives the whole panel.

    Args:
        layers: species and thickness of each layer in order, thickness > 0 [mm]
        glue_mm: thickness of a glue line, >= 0 [mm]

    Source: own derivation: layers i and i + n are alike for every i; the repeat is n layers with n lines.

    >>> panel_repeat([("ash", 1.6), ("wenge", 1.4)] * 12, glue_mm=0.1).across_mm
    3.2
    """
    run = shortest_run(layers)
    if run > len(layers) // 2:
        return Repeat(0.0, None)
    return Repeat(0.0, total_mm([*(thickness for _, thickness in layers[:run]), *[glue_mm] * run]))


def shortest_run(items: Sequence[object]) -> int:
    """Count the items of the shortest run that, written again and again, begins with the whole; all of them if none.

    Takes time in proportion to the number of items.

    Args:
        items: what comes in order, such as layers; may be empty

    Source: Knuth, Morris and Pratt 1977, "Fast pattern matching in strings": the longest beginning that is also an
    end, from memory.

    >>> shortest_run("abcabca"), shortest_run("abc"), shortest_run("")
    (3, 3, 0)
    """
    alike = [0] * len(items)
    length = 0
    for place in range(1, len(items)):
        while length and items[place] != items[length]:
            length = alike[length - 1]
        length += items[place] == items[length]
        alike[place] = length
    return len(items) - length


def take_step(board: BoardSize, step: Step, repeat: Repeat) -> StepResult:
    """Work out one round: strips, loss, the new board, and whether the pattern meets at the joints.

    Args:
        board: the board to saw
        step: how it is sawn, turned, slid and glued
        repeat: how often the board's pattern comes again

    Raises:
        ValueError: if the angle is not above 0 up to 90, or the strip is not above 0.

    Source: own derivation: whole strips are parallelograms of strip * width / sin(angle); trimming the zigzag takes
    strip / tan(angle) and the slide off the width.

    >>> step = Step(angle_deg=45.0, strip_mm=20.0, kerf_mm=1.0)
    >>> result = take_step(BoardSize(600.0, 150.0, 20.0), step, Repeat(0.0, 3.0))
    >>> result.strips, round(result.strip_share, 4), result.board and round(result.board.width_mm, 3)
    (15, 0.7071, 192.132)
    """
    if not 0.0 < step.angle_deg <= 90.0 or step.strip_mm <= 0.0:
        raise ValueError(f"strips of {step.strip_mm} mm at {step.angle_deg} degrees to the long edge cannot be sawn")
    strips = strips_in_board(board, step)
    strip_length_mm = board.width_mm / sin(radians(step.angle_deg))
    joint_repeat_mm = repeat_along_joint(repeat, step.angle_deg)
    new, short = _new_board(board, step, strips, strip_length_mm)
    return StepResult(
        strips=strips,
        strip_length_mm=strip_length_mm,
        strip_share=strips * step.strip_mm * strip_length_mm / board.area_mm2,
        kept_share=new.area_mm2 / board.area_mm2 if new else 0.0,
        board=new,
        joint_repeat_mm=joint_repeat_mm,
        mismatch_mm=None if joint_repeat_mm is None else _mismatch(step.slide_mm, joint_repeat_mm),
        repeat=_new_repeat(step, repeat, joint_repeat_mm),
        short=short,
    )


def take_steps(board: BoardSize, steps: Sequence[Step], repeat: Repeat) -> list[StepResult]:
    """Work out rounds one after the other, up to the first that gives no board.

    Args:
        board: the first board
        steps: the rounds in order
        repeat: how often the first board's pattern comes again

    Source: take_step, each on the board of the one before.

    >>> rounds = [Step(45.0, 20.0, 1.0), Step(90.0, 30.0, 1.0)]
    >>> [result.strips for result in take_steps(BoardSize(600.0, 150.0, 20.0), rounds, Repeat(0.0, 3.0))]
    [15, 9]
    """
    results: list[StepResult] = []
    for step in steps:
        results.append(take_step(board, step, repeat))
        made = results[-1].board
        if made is None:
            break
        board, repeat = made, results[-1].repeat
    return results


def _cotangent(angle_deg: float) -> float:
    return 0.0 if angle_deg == 90.0 else cos(radians(angle_deg)) / sin(radians(angle_deg))


def _new_board(
    board: BoardSize, step: Step, strips: int, strip_length_mm: float
) -> tuple[BoardSize | None, Answer | None]:
    if strips < 1:
        widest_mm = (board.length_mm - board.width_mm * _cotangent(step.angle_deg)) * sin(radians(step.angle_deg))
        if widest_mm > 0:
            reason = "not one whole strip of {} comes out of the board; the widest is {}"
            return None, Answer(False, widest_mm, reason, (step.strip_mm, widest_mm))
        reason = "at this angle no whole strip comes out of the board; it must be longer than {}"
        return None, Answer(False, 0.0, reason, (board.width_mm * _cotangent(step.angle_deg),))
    length_mm = total_mm([*[step.strip_mm] * strips, *[step.glue_mm] * (strips - 1)])
    slid_mm = abs(step.slide_mm) if strips > 1 else 0.0
    lost_mm = step.strip_mm * _cotangent(step.angle_deg) + slid_mm
    width_mm, thickness_mm = strip_length_mm - lost_mm, board.thickness_mm - step.flatten_mm
    if width_mm <= 0.0:
        reason = (
            "trimming the slanted ends and the slide takes {} off strips {} long; without a slide strips below {} work"
        )
        widest_mm = board.width_mm / cos(radians(step.angle_deg)) if step.angle_deg < 90.0 else step.strip_mm
        return None, Answer(False, widest_mm, reason, (lost_mm, strip_length_mm, widest_mm))
    if thickness_mm <= 0.0:
        reason = "flattening takes {} off a board of {}"
        return None, Answer(False, board.thickness_mm, reason, (step.flatten_mm, board.thickness_mm))
    return BoardSize(length_mm, width_mm, thickness_mm), None


def _mismatch(length_mm: float, repeat_mm: float) -> float:
    return abs(length_mm - round(length_mm / repeat_mm) * repeat_mm)


def _new_repeat(step: Step, repeat: Repeat, joint_repeat_mm: float | None) -> Repeat:
    """Strips are alike only where the board runs on unchanged, or each is sawn whole repeats after the last."""
    apart_mm = (step.strip_mm + step.kerf_mm) / sin(radians(step.angle_deg))
    if repeat.along_mm is None or (repeat.along_mm and _mismatch(apart_mm, repeat.along_mm) > MEETS_MM):
        return Repeat(None, joint_repeat_mm)
    strips = 1 if step.turn is Turn.AS_SAWN and step.slide_mm == 0.0 else 2
    return Repeat(strips * (step.strip_mm + step.glue_mm), joint_repeat_mm)
