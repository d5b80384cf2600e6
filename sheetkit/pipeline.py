"""The whole refresh, top to bottom: open, read, compute, report, graft, save."""

import hashlib
import io
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from sheetkit.errors import CannotSave, CellProblem
from sheetkit.graft import graft_into
from sheetkit.graft.saving import Stamp, save, stamp
from sheetkit.job.measure import Measure
from sheetkit.job.results import Results, compute
from sheetkit.reading import open_workbook
from sheetkit.report.model import ReportSheet
from sheetkit.report.picture_files import picture_files
from sheetkit.report.problems import by_harm
from sheetkit.report.sheets import result_sheets
from sheetkit.report.summary import headlines
from sheetkit.tables.inputs import Assumption, Record
from sheetkit.tables.read import read_inputs
from sheetkit.tables.sheets import may_be_read

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the job is.

    Attributes:
        unit: unit of the result sheets: "in", "mm", "thou" or "64ths"
        slices_sawn: slices on Measurements, those pressed together counted one by one
        slices_left: slices that the plan still asks for, spares included
        offsets_mm: what the readings teach, by wood: slice less set thickness [mm]; woods without readings are absent
    """

    unit: str
    slices_sawn: int
    slices_left: int
    offsets_mm: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a refresh or a check found and did.

    Attributes:
        path: the workbook
        written: True when the file was replaced, False when it already said the same or was not to be written
        dry_run: nothing was to be written
        headlines: the answers at the top of Summary, one sentence each
        problems: every finding, the most harmful first
        assumptions: defaults used
        records: every row as it was understood
        sheets: tab of each result sheet by key; empty when nothing was to be written
        pictures: files written beside, pictures and ring templates
        progress: how far the job is
        content: SHA-256 of the file as the refresh left it; "" when nothing was to be written
        pdf: file with Summary and Cut plan on one page; "" for none
    """

    path: Path
    written: bool
    dry_run: bool
    headlines: list[str]
    problems: list[CellProblem]
    assumptions: list[Assumption]
    records: list[Record]
    sheets: dict[str, str] = field(default_factory=dict)
    pictures: list[str] = field(default_factory=list)
    progress: Progress | None = None
    content: str = ""
    pdf: str = ""

    @property
    def written_words(self) -> str:
        """What happened to the file, in words."""
        if self.dry_run:
            return "not written, as asked."
        return "refreshed." if self.written else "already up to date; nothing written."

    def table(self, sheet: str) -> "pd.DataFrame":
        """The rows of one input sheet as they were understood and used.

        Args:
            sheet: tab name of the input sheet

        Returns:
            One row a record, indexed by the row number on screen; one column a field, in base units (the name's
            suffix says which); empty where the sheet was not found.
        """
        import pandas as pd

        rows = {
            record.row: {entry.field: entry.value for entry in record.entries}
            for record in self.records
            if record.used and record.sheet == sheet
        }
        return pd.DataFrame.from_dict(rows, orient="index")

    def as_dict(self) -> dict[str, Any]:
        """The outcome as plain values, for JSON."""
        return {
            "file": str(self.path),
            "written": self.written,
            "headlines": self.headlines,
            "problems": [asdict(problem) | {"harm": problem.harm.words} for problem in self.problems],
            "assumptions": [asdict(assumption) for assumption in self.assumptions],
            "records": [record.as_dict() for record in self.records],
            "sheets": self.sheets,
            "pictures": self.pictures,
            "pdf": self.pdf,
            "progress": asdict(self.progress) if self.progress else None,
        }


def refresh(
    path: Path | str,
    *,
    dry_run: bool = False,
    keep_copy: bool = False,
    allow_signed: bool = False,
    pictures: Path | str | None = None,
    pdf: Path | str | None = None,
) -> Outcome:
    """Compute everything and write the result sheets into the workbook; nothing else in it changes.

    Args:
        path: the maker's workbook
        dry_run: compute and report, but write nothing
        keep_copy: keep the file as it was beside the new one
        allow_signed: write into a digitally signed file, which breaks its signature
        pictures: folder for the pictures and full-size ring templates as files of their own; None for none
        pdf: Summary and Cut plan on one page: a file that ends in .pdf, or the folder for it; None for none

    Raises:
        FileProblem: the file cannot be read or written; it is left as it was. Or the folder cannot be written to,
            or LibreOffice is wanted for the PDF and is not there (nothing is changed) or fails.

    Returns:
        What was found and done; findings in cells are not raised but listed.

    May be called from several threads at once; of two at work on one file, one is refused.
    """
    path = Path(path)
    print_page = None if pdf is None or dry_run else _page_printer(Path(pdf), path)
    as_read = _stamp(path)
    workbook = open_workbook(path, may_be_read)
    inputs = read_inputs(workbook)
    results = compute(inputs)
    sheets = result_sheets(workbook, inputs, results)
    measure, disowned = Measure(inputs.shown_in), workbook.disowned
    files = picture_files(results, measure) if pictures is not None and not dry_run else {}
    found = Outcome(
        path=path,
        written=False,
        dry_run=dry_run,
        headlines=[line.sentence for line in headlines(inputs, results, measure)],
        problems=by_harm(results.problems),
        assumptions=inputs.assumptions,
        records=inputs.records,
        sheets={sheet.key: sheet.name for sheet in sheets},
        progress=_progress(inputs.shown_in, results),
    )
    # All that is to be said is said by now, and takes more room than the new file.
    del workbook, results

    content = ""

    def write(out: BinaryIO) -> None:
        nonlocal content
        graft_into(path, sheets, out, allow_signed=allow_signed, not_ours=disowned)
        out.seek(0)
        content = hashlib.sha256(out.read()).hexdigest()

    written = False
    if dry_run:
        write(io.BytesIO())
    else:
        written = save(path, write, keep_copy=keep_copy, as_read=as_read)
    made = _write_files(Path(pictures), path.stem, files) if pictures is not None and not dry_run else []
    printed = print_page(sheets, inputs.unit) if print_page else ""
    return replace(found, written=written, pictures=made, content="" if dry_run else content, pdf=printed)


def _page_printer(place: Path, workbook: Path) -> Callable[[Sequence[ReportSheet], str], str]:
    """What writes the page as a PDF and gives its path; that there is a LibreOffice is seen to before anything else."""
    from sheetkit.page.make import pdf_path, write_pdf
    from sheetkit.page.office import find_office

    target = pdf_path(place, workbook)
    program = find_office(target)

    def write(sheets: Sequence[ReportSheet], unit: str) -> str:
        write_pdf(target, workbook, sheets, unit, program)
        return str(target)

    return write


def _progress(unit: str, results: Results) -> Progress:
    woods = dict.fromkeys(need.species for need in results.needs)
    learned = {wood: results.learned.of(wood) for wood in woods}
    return Progress(
        unit=unit,
        slices_sawn=sum(item.row.pressed for item in results.slices),
        slices_left=len(results.plan.passes),
        offsets_mm={wood: offset.offset_mm for wood, offset in learned.items() if offset.readings},
    )


def _write_files(folder: Path, stem: str, files: Mapping[str, bytes]) -> list[str]:
    """Write files into a folder, their names beginning with the workbook's; gives their paths."""
    made = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            target = folder / f"{stem} {name}"
            target.write_bytes(content)
            made.append(str(target))
    except OSError as refused:
        raise CannotSave(
            str(folder),
            f"a folder that refused a picture ({refused.strerror or refused})",
            "a folder to write into",
            "name another folder, or free some space; the workbook itself was refreshed",
        ) from refused
    return made


def _stamp(path: Path) -> Stamp | None:
    """The file's stamp before it is read; a file that cannot be looked at is refused by the reader, in its words."""
    try:
        return stamp(path)
    except OSError:
        return None


def check(path: Path | str) -> Outcome:
    """Read the workbook and report what needs the maker's eye; nothing is written.

    Args:
        path: the maker's workbook

    Raises:
        FileProblem: the file cannot be read.

    May be called from several threads at once.
    """
    path = Path(path)
    inputs = read_inputs(open_workbook(path, may_be_read))
    results = compute(inputs)
    return Outcome(
        path=path,
        written=False,
        dry_run=True,
        headlines=[line.sentence for line in headlines(inputs, results, Measure(inputs.shown_in))],
        problems=by_harm(results.problems),
        assumptions=inputs.assumptions,
        records=inputs.records,
        progress=_progress(inputs.shown_in, results),
    )
