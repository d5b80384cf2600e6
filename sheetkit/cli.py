"""The commands: read the call, hand it on, print what came back."""

import gc
import json
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sheetkit import __version__
from sheetkit.errors import CellProblem, Harm, SheetkitError

if TYPE_CHECKING:
    from sheetkit.pipeline import Outcome

DONE, PROBLEMS, FAILED = 0, 1, 2
BAR_FROM = 3
"""A progress bar is shown from this many workbooks on."""

WORKBOOKS = click.argument("workbooks", nargs=-1, required=True, type=click.Path(path_type=Path))
AS_JSON = click.option("--json", "as_json", is_flag=True, help="Print the result as JSON instead of text.")


class _Commands(click.Group):
    """Keeps the commands in the order in which a job needs them."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's own signature
        return list(self.commands)


@click.group(
    cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]}, epilog="Example: sheetkit new JOB.xlsx"
)
@click.version_option(__version__, prog_name="sheetkit")
def main() -> None:
    """Plan thin sawn slices and learn the dial, inside the workbook you keep.

    Exit codes: 0 done; 1 something in the workbook needs your eye; 2 wrong usage, or a file that
    cannot be read or written.
    """


@main.command(epilog="Example: sheetkit new JOB.ods --unit mm")
@WORKBOOKS
@click.option("--unit", type=click.Choice(["in", "mm"]), default="in", show_default=True, help="Unit of the headings.")
@AS_JSON
def new(workbooks: tuple[Path, ...], unit: str, as_json: bool) -> None:
    """Make a workbook to fill in (.xlsx or .ods)."""
    from sheetkit.blank.write import copy_blank

    def make(path: Path) -> dict[str, Any]:
        copy_blank(path, unit)
        return {"file": str(path), "unit": unit}

    def say(made: dict[str, Any]) -> None:
        click.echo(f"{made['file']}: made. Fill in Stock and Targets, then: sheetkit refresh {made['file']}")

    _for_each(workbooks, make, say, lambda _: DONE, as_json)


@main.command(epilog="Example: sheetkit refresh JOB.xlsx")
@WORKBOOKS
@click.option("--dry-run", is_flag=True, help="Compute and report, but write nothing.")
@click.option("--keep-copy", is_flag=True, help="Keep the file as it was beside the new one.")
@click.option("--allow-signed", is_flag=True, help="Write into a digitally signed file; its signature will break.")
@click.option(
    "--pictures",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="FOLDER",
    help="Also write the pictures, and full-size templates of bowl rings, into this folder.",
)
@click.option(
    "--pdf",
    type=click.Path(path_type=Path),
    metavar="PLACE",
    help="Also write Summary and Cut plan on one page, through LibreOffice: into this file that ends in .pdf, or into "
    "this folder.",
)
@click.option("--open", "open_after", is_flag=True, help="Open the workbook afterwards, even if nothing was written.")
@AS_JSON
def refresh(
    workbooks: tuple[Path, ...],
    dry_run: bool,
    keep_copy: bool,
    allow_signed: bool,
    pictures: Path | None,
    pdf: Path | None,
    open_after: bool,
    as_json: bool,
) -> None:
    """Compute everything and write the result sheets into the workbook."""
    if open_after and (dry_run or as_json):
        raise click.UsageError("--open goes with neither --dry-run nor --json: there is nothing new to look at.")
    if pdf is not None and pdf.suffix.lower() == ".pdf" and len(workbooks) > 1:
        raise click.UsageError(f"--pdf {pdf} is one file, but several workbooks are named. Name a folder instead.")
    from sheetkit.pipeline import refresh as run

    unopened: list[Path] = []

    def work(path: Path) -> "Outcome":
        return run(path, dry_run=dry_run, keep_copy=keep_copy, allow_signed=allow_signed, pictures=pictures, pdf=pdf)

    def say(outcome: "Outcome") -> None:
        click.echo(f"{outcome.path}: {outcome.written_words}")
        for line in outcome.headlines:
            click.echo(f"  {line}")
        if outcome.pictures:
            click.echo(f"  {_count(len(outcome.pictures), 'picture')} and templates written to {pictures}.")
        if outcome.pdf:
            click.echo(f"  Summary and Cut plan on one page: {outcome.pdf}")
        _print_problems(outcome.problems)
        if open_after and not _opened(outcome.path):
            unopened.append(outcome.path)

    def code_of(outcome: "Outcome") -> int:
        return FAILED if outcome.path in unopened else _code(outcome.problems)

    _for_each(workbooks, work, say, code_of, as_json)


@main.command(epilog="Example: sheetkit watch JOB.xlsx")
@click.argument("places", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="WORKBOOKS_OR_FOLDERS...")
def watch(places: tuple[Path, ...]) -> None:
    """Refresh workbooks by themselves whenever you have saved and closed them.

    Says in one line what changed. In a folder only jobs are taken up: workbooks that have result sheets of sheetkit, or
    rows on Stock and Targets; all others are left alone. Ctrl-C ends it.
    """
    import time
    from datetime import datetime

    def say(line: str) -> None:
        click.echo(f"{datetime.now().astimezone():%H:%M:%S} {line}")

    try:
        from sheetkit.pipeline import refresh as run
        from sheetkit.watch.places import refuse_missing
        from sheetkit.watch.watcher import Watcher

        refuse_missing(places)
        say("Watching; Ctrl-C ends it.")
        Watcher(places, say, work=_without_collector()(run)).run(time.monotonic, time.sleep)
    except SheetkitError as problem:
        click.echo(str(problem), err=True)
        sys.exit(FAILED)
    except KeyboardInterrupt:
        click.echo("No longer watching.")
        sys.exit(DONE)


@main.command(epilog="Example: sheetkit check JOB.xlsx")
@WORKBOOKS
@AS_JSON
def check(workbooks: tuple[Path, ...], as_json: bool) -> None:
    """Read the workbook and report what needs your eye; writes nothing.

    With --json, every row is printed as it was understood.
    """
    from sheetkit.pipeline import check as run

    def say(outcome: "Outcome") -> None:
        rows = sum(record.used for record in outcome.records)
        click.echo(f"{outcome.path}: {_count(rows, 'row')} read, {_count(len(outcome.problems), 'finding')}.")
        _print_problems(outcome.problems)

    _for_each(workbooks, run, say, lambda outcome: _code(outcome.problems), as_json)


@main.command(epilog="Example: sheetkit button sheetkit.oxt")
@click.argument("extension", type=click.Path(path_type=Path, dir_okay=False))
@AS_JSON
def button(extension: Path, as_json: bool) -> None:
    """Make a button for LibreOffice that saves, refreshes and reloads the open job.

    The button calls this very sheetkit; make it anew when you install sheetkit elsewhere.
    """
    from sheetkit.button.build import make_button

    def make(path: Path) -> dict[str, Any]:
        make_button(path)
        return {"file": str(path), "python": sys.executable}

    def say(made: dict[str, Any]) -> None:
        click.echo(f"{made['file']}: made. Double-click it, or add it in LibreOffice under Tools > Extension Manager,")
        click.echo("then start LibreOffice again: the button stands beside Save in Calc, and under Tools > Add-Ons.")

    _for_each((extension,), make, say, lambda _: DONE, as_json)


@main.command(epilog="Example: sheetkit launcher FOLDER")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@AS_JSON
def launcher(folder: Path, as_json: bool) -> None:
    """Make a file that refreshes and opens the workbooks dropped on it.

    It suits the system it is made on, and calls this very sheetkit; make it anew when you install sheetkit elsewhere.
    """
    from sheetkit.launchers.write import write_launcher

    def make(path: Path) -> dict[str, Any]:
        made = write_launcher(path)
        return {"file": str(made.path), "python": sys.executable, "use": made.use}

    def say(made: dict[str, Any]) -> None:
        click.echo(f"{made['file']}: made. {made['use']}")

    _for_each((folder,), make, say, lambda _: DONE, as_json)


@contextmanager
def _without_collector(*, for_good: bool = False) -> Iterator[None]:
    """Spare a run the search for objects that hold one another: with thousands of rows it takes long and finds little.

    Only here, where the process is ours; whoever calls the library may have other threads at work.

    Args:
        for_good: the process is about to end, so that what is still held need not be looked through either
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if for_good:
            gc.freeze()
        if was_on:
            gc.enable()


def _for_each(
    workbooks: Sequence[Path],
    work: Callable[[Path], Any],
    say: Callable[[Any], None],
    code_of: Callable[[Any], int],
    as_json: bool,
) -> None:
    codes = [DONE]
    printed: list[Any] = []

    def one(path: Path) -> int:
        try:
            result = work(path)
        except SheetkitError as problem:
            printed.append({"file": str(path), "error": _error_fields(problem)})
            click.echo(str(problem), err=True)
            return FAILED
        if as_json:
            printed.append(result if isinstance(result, dict) else result.as_dict())
        else:
            say(result)
        return code_of(result)

    with _without_collector(for_good=True):
        for path in _with_bar(workbooks, as_json):
            if len(codes) > 1:
                gc.collect()
            codes.append(one(path))
    if as_json:
        click.echo(json.dumps(printed, indent=1, ensure_ascii=False, default=str))
    sys.exit(max(codes))


def _with_bar(workbooks: Sequence[Path], as_json: bool) -> Iterable[Path]:
    if as_json or len(workbooks) < BAR_FROM or not sys.stderr.isatty():
        yield from workbooks
        return
    with click.progressbar(workbooks, label="Workbooks", file=sys.stderr) as bar:
        yield from bar


def _opened(path: Path) -> bool:
    """Open a workbook in the program that the system has for it."""
    if click.launch(str(path.absolute())) == 0:
        return True
    click.echo(
        f"{path}: found no program that opens it, wanted the spreadsheet program. "
        "To fix: open it by hand; it was refreshed.",
        err=True,
    )
    return False


def _error_fields(problem: SheetkitError) -> dict[str, str]:
    return {"where": problem.where, "found": problem.found, "wanted": problem.wanted, "fix": problem.fix}


def _code(problems: Sequence[CellProblem]) -> int:
    return PROBLEMS if any(problem.harm < Harm.NOTED for problem in problems) else DONE


def _print_problems(problems: Sequence[CellProblem]) -> None:
    """Findings grouped by sheet, the sheet with the most harmful one first."""
    sheets: dict[str, list[CellProblem]] = {}
    for problem in sorted(problems, key=lambda item: item.harm):
        sheets.setdefault(problem.sheet, []).append(problem)
    for sheet, found in sheets.items():
        click.echo(f"  {sheet or 'The workbook'}: {_count(len(found), 'finding')}")
        for problem in found:
            click.echo(f"    {problem.harm.words}: {problem}")


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"
