"""What the readings show that needs the maker's eye, beside what `findings` finds."""

from collections.abc import Iterator, Sequence

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.gauging import Gauging
from sheetkit.job.kerfs import BoardKerf
from sheetkit.job.measure import Measure
from sheetkit.job.wording import counted
from sheetkit.tables.inputs import Inputs


def findings_readings(kerfs: Sequence[BoardKerf], gauge: Gauging, inputs: Inputs) -> list[CellProblem]:
    """Boards whose thickness now does not fit their slices, and repeat readings that repeat nothing."""
    return [*_boards(kerfs, Measure(inputs.shown_in)), *_repeats(gauge, inputs)]


def _boards(kerfs: Sequence[BoardKerf], measure: Measure) -> Iterator[CellProblem]:
    for kerf in kerfs:
        place, name = kerf.board.place, kerf.board.board
        if kerf.gap:
            yield CellProblem(
                place.sheet, place.cell("now_mm"), f"a thickness now of board {name}, which cannot be used: {kerf.gap}",
                "a row on Measurements for every slice sawn from it, with its setting and a reading",
                "add what is missing, or empty the cell", Harm.NOTED,
            )  # fmt: skip
        elif kerf.comparison is not None and not kerf.comparison.agree:
            side = "more" if kerf.unexplained_mm > 0 else "less"
            yield CellProblem(
                place.sheet, place.cell("now_mm"),
                f"board {name}, which lost {measure.text(abs(kerf.unexplained_mm))} {side} over "
                f"{counted(kerf.by_advances.cuts, 'cut')} than the dial was turned",
                "a board that loses what was dialled",
                f"measure it again; see whether {_truing(kerf, measure)}, whether slices are missing from "
                "Measurements, and whether the fence follows the dial",
                Harm.DOUBTFUL,
            )  # fmt: skip


def _truing(kerf: BoardKerf, measure: Measure) -> str:
    if kerf.truing_mm:
        return f"the truing pass took {measure.text(kerf.truing_mm)}"
    return "a truing pass took something as well"


def _repeats(gauge: Gauging, inputs: Inputs) -> Iterator[CellProblem]:
    if gauge.readings and gauge.study is None:
        place = inputs.repeats[0].place
        yield CellProblem(
            place.sheet, place.cell("readings_mm"), f"{gauge.readings} repeat readings, none of them a repeat",
            "a slice that was read twice by the same person with the same tool",
            "read each slice again at its marked place, and type every reading", Harm.NOTED,
        )  # fmt: skip
