"""Makes the workbooks of this folder: written by XlsxWriter, then opened and saved by LibreOffice.

    python tests/golden/make_golden.py [FOLDER]

Needs LibreOffice's `soffice`. The content is an invented job; see README.md for what it holds and why.
"""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import xlsxwriter
from PIL import Image, ImageDraw

FOLDER = Path(__file__).parent

STOCK = [
    "Board",
    "Species",
    "Length (in)",
    "Width (in)",
    "Thickness (in)",
    "Grain",
    "Moisture (%)",
    "Price",
    "Use",
    "Note",
]
PANELS = ["Panel", "Length (in)", "Width (in)", "Repeats", "Mirror", "Copies"]
TARGETS = ["Panel", "Species", "Thickness (in)", "Tolerance (in)", "Plies"]
READINGS = ["Near left", "Near right", "Middle", "Far left", "Far right"]
MEASUREMENTS = ["Slice", "Board", "Set thickness (in)", *[f"{name} (in)" for name in READINGS], "Use", "Note"]

BOARDS = [
    ["P1", "pear", 22, 3.25, 1.06, "quarter", 7.5, 18.5, "yes", "left over from the tray"],
    ["P2", "pear", 19.5, 3.25, '1-1/16"', "quarter", 7.5, 16, "yes", ""],
    ["W1", "wenge", 22, 3.5, 0.98, "flat", 8, 41, "yes", "end split, first 2 in"],
    ["H1", "hornbeam", 24, 3.25, 1.02, "rift", 7, 12.25, "no", "kept for the plane"],
    ["E1", "elm", 20, 4, "5/4", "flat", 8.5, 9, "yes", "thickness as bought"],
]
LAYERS = [["A", "pear", 0.06, 0.003, 1], ["A", "wenge", 0.02, 0.002, 2], ["A", "elm", 0.04, 0.003, 1]]
SLICES = [
    ["P1-1", "P1", 0.06, 0.0612, 0.0615, 0.0611, 0.0608, 0.0613, "yes", ""],
    ["P1-2", "P1", 0.06, 0.0607, 0.061, 0.0609, 0.0606, 0.061, "yes", ""],
    ["P1-3", "P1", 0.06, 0.0604, 0.0604, 0.0604, 0.0604, 0.0604, "yes", "same all over"],
    ["W1-1", "W1", 0.02, 0.0231, 0.0229, 0.0224, 0.0226, 0.0228, "no", "blade caught"],
    ["W1-2", "W1", 0.02, 0.0214, 0.0212, 0.0211, 0.0213, 0.0212, "yes", ""],
]


class Pages:
    """The sheets of one workbook, with the looks they share."""

    def __init__(self, book: xlsxwriter.Workbook, *, metric: bool) -> None:
        self.book, self.metric = book, metric
        self.title = book.add_format({"bold": True, "font_size": 14, "align": "center", "bg_color": "#E8E0D0"})
        self.head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True})
        self.thin = book.add_format({"num_format": "0.00" if metric else "0.0000"})
        self.share = book.add_format({"num_format": "0.0%"})
        self.day = book.add_format({"num_format": "yyyy-mm-dd"})
        self.struck = book.add_format({"font_strikeout": True})

    def length(self, value: object) -> object:
        """The same length in the workbook's unit; texts stay what they are in inches, and become mm as a number."""
        if not self.metric:
            return value
        in_inches = {'1-1/16"': 1.0625, "5/4": 1.25}.get(value, value)
        return round(in_inches * 25.4, 2)

    def heading(self, text: str) -> str:
        return text.replace("(in)", "[mm]") if self.metric else text

    def table(self, sheet, row: int, column: int, headings: list[str], rows: list[list[object]]) -> None:
        for offset, text in enumerate(headings):
            sheet.write(row, column + offset, self.heading(text), self.head)
        for down, values in enumerate(rows, 1):
            for offset, value in enumerate(values):
                is_length = "(in)" in headings[offset]
                look = self.thin if is_length else None
                sheet.write(row + down, column + offset, self.length(value) if is_length else value, look)


def stock(pages: Pages, sheet) -> None:
    """Title merged above the table, an extra column and a formula inside it, notes and a total below."""
    sheet.merge_range("B1:I1", "Boards on the rack", pages.title)
    sheet.write("B2", "counted on")
    sheet.write_formula("C2", "=DATE(2025,11,3)", pages.day, 45964)
    pages.table(sheet, 3, 1, STOCK, BOARDS)
    sheet.write("L4", "Shelf", pages.head)
    sheet.write("M4", "Square " + ("mm" if pages.metric else "in"), pages.head)
    for row, board in enumerate(BOARDS, 5):
        sheet.write(row - 1, 11, f"rack {row % 2 + 1}")
        result = pages.length(board[2]) * pages.length(board[3])
        sheet.write_formula(row - 1, 12, f"=D{row}*E{row}", None, result)
    sheet.write("B11", "Total")
    sheet.write_formula("I11", "=SUM(I5:I9)", None, sum(board[7] for board in BOARDS))
    sheet.write("B13", "Pear from the old orchard, dried four years.")
    sheet.write_comment("F7", "measured at the thin end")
    sheet.write("N5", "returned", pages.struck)
    sheet.set_column("O:O", None, None, {"hidden": True})


def panels(pages: Pages, sheet) -> None:
    """A renamed sheet: its table is known by the headings alone."""
    sheet.write("A1", "What the customer gets")
    pages.table(sheet, 2, 0, PANELS, [["A", 16, 2.75, 9, "yes", 1]])


def targets(pages: Pages, sheet) -> None:
    """Two heading rows, the upper one merged; a picture beside the table."""
    sheet.merge_range("C1:D1", "Finished", pages.title)
    pages.table(sheet, 1, 0, TARGETS, LAYERS)
    picture = FOLDER / "stripes.png"
    sheet.insert_image("G2", picture, {"x_scale": 0.5, "y_scale": 0.5, "description": "three stripes"})


def measurements(pages: Pages, sheet) -> None:
    """A hidden row, equal readings side by side, a mean beside each row, and a chart below."""
    pages.table(sheet, 0, 0, MEASUREMENTS, SLICES)
    sheet.write("L1", "Mean", pages.head)
    for row, values in enumerate(SLICES, 2):
        readings = [pages.length(value) for value in values[3:8]]
        sheet.write_formula(row - 1, 11, f"=AVERAGE(D{row}:H{row})", pages.thin, sum(readings) / 5)
    sheet.set_row(4, None, None, {"hidden": True})
    sheet.freeze_panes(1, 1)
    chart = pages.book.add_chart({"type": "line"})
    chart.add_series({"categories": "=Measurements!$A$2:$A$6", "values": "=Measurements!$L$2:$L$6"})
    chart.set_title({"name": "Mean of each slice"})
    sheet.insert_chart("B10", chart)
    sheet.data_validation("I2:I40", {"validate": "list", "source": ["yes", "no"]})


def write(path: Path, *, metric: bool) -> None:
    """Write one workbook by XlsxWriter."""
    with xlsxwriter.Workbook(path) as book:
        pages = Pages(book, metric=metric)
        stock(pages, book.add_worksheet("Stock"))
        targets(pages, book.add_worksheet("Targets"))
        panels(pages, book.add_worksheet("For the customer"))
        measurements(pages, book.add_worksheet("Measurements"))
        notes = book.add_worksheet("Old notes")
        notes.write("A1", "Nothing here is for the machine.")
        notes.hide()


def save_by_office(source: Path, suffix: str, folder: Path, profile: Path) -> None:
    """Open a workbook in LibreOffice and save it in the format asked for."""
    office = shutil.which("soffice")
    if office is None:
        sys.exit("soffice not found: install LibreOffice")
    options = [f"-env:UserInstallation={profile.as_uri()}", "--headless", "--convert-to", suffix]
    subprocess.run([office, *options, "--outdir", str(folder), str(source)], check=True, timeout=180)


def draw_stripes(path: Path) -> None:
    """A small picture of three stripes."""
    image = Image.new("RGB", (120, 60), "#D9B48F")
    ImageDraw.Draw(image).rectangle((0, 20, 119, 39), fill="#3B2A22")
    image.save(path)


def main(folder: Path) -> None:
    """Make all workbooks of the folder."""
    with tempfile.TemporaryDirectory() as scratch:
        work = Path(scratch)
        draw_stripes(FOLDER / "stripes.png")
        for name, metric in (("inch_job", False), ("metric_job", True)):
            source = work / f"{name}.xlsx"
            write(source, metric=metric)
            for suffix in ("xlsx", "ods"):
                save_by_office(source, suffix, folder, work / "profile")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER)
