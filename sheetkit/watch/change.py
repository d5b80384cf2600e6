"""What a refresh changed, in one line."""

from sheetkit.errors import Harm
from sheetkit.job.measure import Measure
from sheetkit.pipeline import Outcome, Progress


def change(before: Outcome | None, after: Outcome) -> str:
    """Say what differs between two refreshes of one workbook.

    Args:
        before: the refresh before; None where there was none, and every figure is told
        after: the refresh just made

    Returns:
        One line without the workbook's name. "Can it be made?" stands in it where its answer is new.
    """
    old, new = _figures(before), _figures(after)
    told = [_figure(name, words, old.get(name)) for name, words in new.items() if old.get(name) != words]
    told += [f"{name} none any more" for name in old if name not in new]
    answer = after.headlines[0] if after.headlines else ""
    is_new = before is None or before.headlines[:1] != after.headlines[:1]
    happened = "refreshed" if after.written else "already up to date"
    figures = ", ".join(told) if told else f"as before: {', '.join(' '.join(pair) for pair in new.items())}"
    return f"{happened}; {figures}.{f' {answer}' if is_new and answer else ''}"


def _figure(name: str, words: str, old: str | None) -> str:
    return f"{name} {words}" if old is None else f"{name} {words} (was {old})"


def _figures(outcome: Outcome | None) -> dict[str, str]:
    """Each figure's name and its words; figures are compared as they are shown."""
    if outcome is None:
        return {}
    figures = {} if outcome.progress is None else _of_progress(outcome.progress)
    mend = sum(problem.harm < Harm.NOTED for problem in outcome.problems)
    return figures | {"findings": str(mend)}


def _of_progress(progress: Progress) -> dict[str, str]:
    measure = Measure(progress.unit)
    offsets = {f"offset of {wood}": _signed(offset, measure) for wood, offset in progress.offsets_mm.items()}
    return {"slices left": str(progress.slices_left), "sawn": str(progress.slices_sawn)} | offsets


def _signed(length_mm: float, measure: Measure) -> str:
    return f"{'-' if length_mm < 0 else '+'}{measure.text(abs(length_mm))}"
