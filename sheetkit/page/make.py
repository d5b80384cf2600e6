"""The page as a PDF: composed, drawn as a small workbook of its own, turned into a PDF, put in its place."""

import io
import os
import tempfile
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from openpyxl import load_workbook
from openpyxl.worksheet.header_footer import HeaderFooter
from openpyxl.worksheet.page import PageMargins

from sheetkit.errors import CannotSave
from sheetkit.graft.xlsx_draw import Names, draw
from sheetkit.page.compose import compose
from sheetkit.page.office import make_pdf
from sheetkit.page.paper import Paper, paper_for
from sheetkit.report.model import ReportSheet

_FONT = "Calibri"


def pdf_path(place: Path, workbook: Path) -> Path:
    """Where the PDF of a workbook goes: the file named, or a file of its own in the folder named."""
    return place if place.suffix.lower() == ".pdf" else place / f"{workbook.stem} one page.pdf"


def write_pdf(target: Path, workbook: Path, sheets: Sequence[ReportSheet], unit: str, program: str) -> None:
    """Write Summary and Cut plan of a refreshed workbook as a PDF of one page.

    Args:
        target: the PDF; replaced in one step
        workbook: the maker's file, for its name and time
        sheets: its result sheets
        unit: "in" prints on Letter paper, "mm" on A4
        program: LibreOffice, from `office.find_office`

    Raises:
        CannotSave: LibreOffice failed, or the place cannot be written to
    """
    by_key = {sheet.key: sheet for sheet in sheets}
    saved = datetime.fromtimestamp(workbook.stat().st_mtime).astimezone()
    source = f"From {workbook.name}, saved {saved:%Y-%m-%d %H:%M}. All else stands in the workbook."
    paper = paper_for(unit)
    page = compose(by_key["summary"], by_key["cut_plan"], source, paper)
    with tempfile.TemporaryDirectory(prefix="sheetkit-", ignore_cleanup_errors=True) as folder:
        small = Path(folder) / "page.xlsx"
        small.write_bytes(page_workbook(page, paper, workbook.name))
        pdf = make_pdf(program, small, target)
    put(target, pdf)


def page_workbook(page: ReportSheet, paper: Paper, title: str) -> bytes:
    """A workbook of that page alone, set up to print on one sheet of the paper."""
    drawn = draw([page], Names({page.name: page.name}, {}), font=_FONT, day_zero_1904=False)
    book = load_workbook(io.BytesIO(drawn.package))
    book.properties.title = title
    sheet = book[page.name]
    sheet.page_setup.paperSize = str(paper.code)
    sheet.page_setup.fitToHeight = 1
    sheet.page_margins = PageMargins(paper.side_in, paper.side_in, paper.end_in, paper.end_in, header=0.2, footer=0.2)
    sheet.print_options.horizontalCentered = True
    sheet.print_area = sheet.dimensions
    sheet.HeaderFooter = HeaderFooter()
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def put(target: Path, pdf: bytes) -> None:
    """Write the PDF in one step.

    Raises:
        CannotSave: the place cannot be written to
    """
    part = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            part.write_bytes(pdf)
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    except OSError as refused:
        raise CannotSave(
            str(target),
            f"a place that refused the PDF ({refused.strerror or refused})",
            "a place to write to",
            "close the PDF if it is open, or name another place; the workbook itself was refreshed",
        ) from refused
