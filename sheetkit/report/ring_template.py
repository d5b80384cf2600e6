"""The rings of one board at full size as a drawing to print and glue on: a scalable page, or tiles of a paper size."""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil
from xml.etree import ElementTree as Xml

from sheetkit.trade.bowl_plan import BowlPlan, Ring

NAMESPACE = "http://www.w3.org/2000/svg"
EDGE_MM = 12.0
FOOT_MM = 34.0
"""Room below the rings for the measuring bar and the notes."""

BAR_MM = 100.0
OVERLAP_MM = 10.0
"""Tiles show this much of their neighbours, to lay them on each other."""

LEAST_WIDTH_MM = 186.0
"""A small bowl's drawing is still this wide, so that the notes have room."""

TEXT_MM = 3.4
LINE = {"fill": "none", "stroke": "#000000"}
NOTES = (
    "Solid: saw so that the line stays; the kerf lies outside it, for the inside of a ring inside it.",
    "Dashed: where the cut comes out below. Follow the saw's manual for tilting the table, guards and hands.",
)


@dataclass(frozen=True, slots=True)
class _Circle:
    """One cut: radius above and below, and what stands beside it."""

    top_mm: float
    bottom_mm: float
    label: str


def ring_template(plan: BowlPlan, board: int, name: str, in_words: Callable[[float], str]) -> str:
    """The whole drawing for one board at full size, as SVG.

    Args:
        plan: the bowl
        board: which board, counted from 0
        name: the maker's name for the bowl
        in_words: puts a length in millimetres into the maker's unit

    Raises:
        ValueError: if no ring comes from that board.
    """
    size = _size(plan, board)
    return _text_of(_drawing(plan, board, name, in_words, (0.0, 0.0, *size)))


def ring_template_tiles(
    plan: BowlPlan,
    board: int,
    name: str,
    in_words: Callable[[float], str],
    paper_mm: tuple[float, float] = (210.0, 297.0),
    margin_mm: float = 10.0,
) -> list[str]:
    """The same drawing cut into sheets of paper that overlap by a centimetre, row by row; each an SVG of its own.

    Args:
        plan: the bowl
        board: which board, counted from 0
        name: the maker's name for the bowl
        in_words: puts a length in millimetres into the maker's unit
        paper_mm: width and height of a sheet
        margin_mm: what the printer leaves white at every edge

    Raises:
        ValueError: if no ring comes from that board, or the paper is smaller than its margins and the overlap.
    """
    width, height = _size(plan, board)
    free = (paper_mm[0] - 2 * margin_mm, paper_mm[1] - 2 * margin_mm)
    if min(free) <= OVERLAP_MM:
        raise ValueError(f"paper of {paper_mm[0]:g} by {paper_mm[1]:g} mm leaves no room beside its margins")
    columns, rows = (
        max(1, ceil((full - OVERLAP_MM) / (room - OVERLAP_MM)))
        for full, room in zip((width, height), free, strict=True)
    )
    tiles = []
    for row in range(rows):
        for column in range(columns):
            corner = (column * (free[0] - OVERLAP_MM), row * (free[1] - OVERLAP_MM))
            label = f"sheet {row * columns + column + 1} of {rows * columns}"
            window = (*corner, *free)
            root = _drawing(plan, board, name, in_words, window)
            _tile_marks(root, window, f"{name}, board {board + 1}, {label}: row {row + 1}, column {column + 1}")
            tiles.append(_text_of(root))
    return tiles


def _rings_of(plan: BowlPlan, board: int) -> list[Ring]:
    rings = [ring for ring in plan.rings if ring.board == board]
    if not rings:
        raise ValueError(f"no ring comes from board {board + 1}; the bowl takes {plan.rules.boards}")
    return rings


def _size(plan: BowlPlan, board: int) -> tuple[float, float]:
    reach = 2 * _centre(plan, board)[1]
    return max(reach, LEAST_WIDTH_MM), reach + FOOT_MM


def _centre(plan: BowlPlan, board: int) -> tuple[float, float]:
    reach = max(max(circle.top_mm, circle.bottom_mm) for circle in _circles(plan, board, str)) + EDGE_MM
    return max(reach, LEAST_WIDTH_MM / 2), reach


def _circles(plan: BowlPlan, board: int, in_words: Callable[[float], str]) -> list[_Circle]:
    circles = []
    for ring in _rings_of(plan, board):
        what = f"ring {ring.number}" if ring.number else "base"
        label = f"{what}: {in_words(2 * ring.outer_top_mm)} across, tilt {ring.tilt_deg:.1f}°"
        circles.append(_Circle(ring.outer_top_mm, ring.outer_bottom_mm, label))
        if 0 < ring.number < plan.rules.boards and ring.inner_top_mm > 0:
            label = f"inside of {what}: {in_words(2 * ring.inner_top_mm)} across, tilt {ring.tilt_deg:.1f}°"
            circles.append(_Circle(ring.inner_top_mm, ring.inner_bottom_mm, label))
    return circles


def _drawing(
    plan: BowlPlan, board: int, name: str, in_words: Callable[[float], str], window: tuple[float, float, float, float]
) -> Xml.Element:
    width, height = window[2], window[3]
    root = Xml.Element(
        "svg",
        {
            "xmlns": NAMESPACE,
            "width": f"{width:.3f}mm",
            "height": f"{height:.3f}mm",
            "viewBox": " ".join(f"{part:.3f}" for part in window),
            "font-family": "sans-serif",
        },
    )
    title = Xml.SubElement(root, "title")
    title.text = f"{name}: rings from board {board + 1}, full size"
    middle = _centre(plan, board)
    for circle in _circles(plan, board, in_words):
        _add_circle(root, middle, circle)
    _add_cross(root, middle)
    _add_foot(root, name, board, plan, 2 * middle[1], in_words)
    return root


def _add_circle(root: Xml.Element, middle: tuple[float, float], circle: _Circle) -> None:
    centre = {"cx": f"{middle[0]:.3f}", "cy": f"{middle[1]:.3f}"}
    Xml.SubElement(root, "circle", {**centre, "r": f"{circle.top_mm:.3f}", **LINE, "stroke-width": "0.25"})
    dashed = {"stroke-width": "0.18", "stroke-dasharray": "2 1.6"}
    Xml.SubElement(root, "circle", {**centre, "r": f"{circle.bottom_mm:.3f}", **LINE, **dashed})
    _add_text(root, middle[0], middle[1] - circle.top_mm - 0.9, circle.label, anchor="middle", size=2.6)


def _add_cross(root: Xml.Element, middle: tuple[float, float]) -> None:
    cross = f"M{middle[0] - 8:.3f} {middle[1]:.3f}h16M{middle[0]:.3f} {middle[1] - 8:.3f}v16"
    Xml.SubElement(root, "path", {"d": cross, **LINE, "stroke-width": "0.2"})
    _add_text(root, middle[0] + 9.5, middle[1] + 1.1, "grain runs this way", size=2.6)


def _add_foot(
    root: Xml.Element, name: str, board: int, plan: BowlPlan, top: float, in_words: Callable[[float], str]
) -> None:
    level = top + 6
    places = {"x1": f"{EDGE_MM:.3f}", "x2": f"{EDGE_MM + BAR_MM:.3f}", "y1": f"{level:.3f}", "y2": f"{level:.3f}"}
    Xml.SubElement(root, "line", {**places, **LINE, "stroke-width": "0.4", "id": "measuring-bar"})
    for x in (EDGE_MM, EDGE_MM + BAR_MM):
        tick = {"x1": f"{x:.3f}", "x2": f"{x:.3f}", "y1": f"{level - 2:.3f}", "y2": f"{level + 2:.3f}"}
        Xml.SubElement(root, "line", {**tick, **LINE, "stroke-width": "0.4"})
    board_text = f"{name}, board {board + 1} of {plan.rules.boards}, {in_words(plan.rules.board_mm)} thick"
    lines = [f"This bar must measure {BAR_MM:g} mm; if not, print at 100 %. {board_text}", *NOTES]
    for number, line in enumerate(lines):
        _add_text(root, EDGE_MM, level + 7 + number * (TEXT_MM + 1.6), line)


def _add_text(root: Xml.Element, x: float, y: float, text: str, anchor: str = "start", size: float = TEXT_MM) -> None:
    places = {"x": f"{x:.3f}", "y": f"{y:.3f}", "font-size": f"{size:g}", "text-anchor": anchor}
    Xml.SubElement(root, "text", places).text = text


def _tile_marks(root: Xml.Element, window: tuple[float, float, float, float], label: str) -> None:
    left, top, width, height = window
    half = OVERLAP_MM / 2
    for x in (left + half, left + width - half):
        for y in (top + half, top + height - half):
            cross = f"M{x - 3:.3f} {y:.3f}h6M{x:.3f} {y - 3:.3f}v6"
            Xml.SubElement(root, "path", {"d": cross, **LINE, "stroke-width": "0.2"})
    _add_text(root, left + OVERLAP_MM, top + half + 1, label, size=2.6)


def _text_of(root: Xml.Element) -> str:
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + Xml.tostring(root, encoding="unicode") + "\n"
