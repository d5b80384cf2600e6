"""Pictures and full-size ring templates as files of their own, for those who want them beside the workbook."""

import re

from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.report.drawings import InWords, drawings
from sheetkit.report.ring_template import ring_template, ring_template_tiles

PAPERS_MM = {"in": (215.9, 279.4), "mm": (210.0, 297.0)}
"""Letter (8.5 x 11 in, ANSI/ASME Y14.1) and A4 (ISO 216), width by height."""


def picture_files(results: Results, measure: Measure) -> dict[str, bytes]:
    """Every picture and ring template by file name.

    Args:
        results: what the engine found
        measure: how lengths are shown; its unit also decides the paper of the templates' sheets

    Returns:
        PNG and SVG by name, in the order of the sheet; the same bytes for the same input.
    """
    files: dict[str, bytes] = {}
    for number, item in enumerate(drawings(results, measure), start=1):
        files[f"{number:02d} {_plain(f'{item.group} {item.name}')}.png"] = item.drawing.png
    words = InWords(measure)
    for bowl in results.pieces.bowls:
        name = bowl.row.piece
        for board in sorted({ring.board for ring in bowl.plan.rings}):
            start = f"Rings {_plain(name)} board {board + 1}"
            files[f"{start} full size.svg"] = ring_template(bowl.plan, board, name, words).encode()
            sheets = ring_template_tiles(bowl.plan, board, name, words, PAPERS_MM[measure.board_unit])
            for page, text in enumerate(sheets, start=1):
                files[f"{start} sheet {page} of {len(sheets)}.svg"] = text.encode()
    return files


def _plain(text: str) -> str:
    """A file's name that every system takes."""
    return re.sub(r"[^\w ,.-]+", "-", text).strip(" .")[:80]
