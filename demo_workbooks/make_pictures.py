"""Pictures of the demos for the README, as LibreOffice prints their sheets: ``python demo_workbooks/make_pictures.py``.

Needs LibreOffice and Poppler's ``pdftoppm`` and ``pdftotext``. Run it after ``make_demos.py``; `MADE_FROM` keeps which
demo each picture was made from, so that a test can tell one that is out of date.
"""

import hashlib
import json
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageChops

HERE = Path(__file__).parent
PICTURES = HERE / "pictures"
MADE_FROM = PICTURES / "made_from.json"
DOTS_PER_INCH = 110
WIDEST, TALLEST = 1000, 1050
COLOURS = 96
MARGIN = 12


@dataclass(frozen=True)
class View:
    """One picture: a printed page of a sheet, the first or so many further on, and what it shows, in words."""

    demo: str
    sheet: str
    words: str
    further: int = 0

    @property
    def file(self) -> str:
        """Name of its picture."""
        return f"{Path(self.demo).stem}_{self.sheet.lower().replace(' ', '_')}.png"


VIEWS = [
    View(
        "salad_servers_planned.xlsx",
        "Summary",
        "Summary of a job before the first cut: it can be made, and what to dial",
    ),
    View("salad_servers_half_sawn.xlsx", "Dial settings", "What the readings of a half-sawn job taught about the dial"),
    View("box_sides_metric.ods", "Stock use", "What each board of a metric job becomes, as a table and a chart"),
    View("fruit_bowl.xlsx", "Pictures", "A ring bowl, drawn from the lay-up as it stands", further=1),
]


def digest(demo: str) -> str:
    """What a demo holds, as a short text that changes with it."""
    return hashlib.sha256((HERE / demo).read_bytes()).hexdigest()


def printed(demo: str, folder: Path) -> Path:
    """Let LibreOffice print a demo to PDF."""
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = ["soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", str(folder), str(HERE / demo)]
    subprocess.run(command, check=True, capture_output=True, timeout=180)
    return folder / f"{Path(demo).stem}.pdf"


def page_of(pdf: Path, sheet: str) -> int:
    """The first page that begins with the name of a sheet, counted from 1.

    Raises:
        LookupError: no page does
    """
    text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], check=True, capture_output=True, text=True).stdout
    for number, page in enumerate(text.split("\f"), 1):
        first = next((line.strip() for line in page.splitlines() if line.strip()), "")
        if first.casefold().startswith(sheet.casefold()):
            return number
    raise LookupError(f"{pdf.name}: found no page that begins with {sheet}")


def picture(pdf: Path, page: int, folder: Path) -> Image.Image:
    """One page without its white margins, not larger than a README can show."""
    stem = folder / "page"
    numbers = ["-f", str(page), "-l", str(page), "-singlefile"]
    subprocess.run(["pdftoppm", "-png", "-r", str(DOTS_PER_INCH), *numbers, str(pdf), str(stem)], check=True)
    image = Image.open(stem.with_suffix(".png")).convert("RGB")
    inked = ImageChops.difference(image, Image.new("RGB", image.size, "white")).getbbox()
    left, top, right, bottom = inked or (0, 0, *image.size)
    box = (max(left - MARGIN, 0), max(top - MARGIN, 0), right + MARGIN, min(bottom + MARGIN, top + TALLEST))
    image = image.crop(box)
    image.thumbnail((WIDEST, TALLEST), Image.Resampling.LANCZOS)
    return image.quantize(COLOURS, dither=Image.Dither.NONE)


def main() -> None:
    """Make every picture anew."""
    PICTURES.mkdir(exist_ok=True)
    for old in PICTURES.glob("*.png"):
        old.unlink()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for view in VIEWS:
            pdf = printed(view.demo, folder)
            picture(pdf, page_of(pdf, view.sheet) + view.further, folder).save(PICTURES / view.file, optimize=True)
    MADE_FROM.write_text(json.dumps({view.file: digest(view.demo) for view in VIEWS}, indent=1) + "\n", "utf-8")


if __name__ == "__main__":
    main()
