"""Which pictures a job has: panels, handles, boards and bowls, each drawn once for the same input."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from sheetkit.job.bowls import BowlAnswer
from sheetkit.job.handles import HandleAnswer
from sheetkit.job.measure import Measure
from sheetkit.job.piece_stacks import PieceStack
from sheetkit.job.results import Results
from sheetkit.report.pictures import (
    BowlPiece,
    BowlView,
    Drawing,
    HandlePiece,
    HandleView,
    LayerLook,
    PanelLook,
    draw_board,
    draw_bowl,
    draw_handle,
    draw_layout,
    draw_panel_edge,
    shows_wood,
)
from sheetkit.trade.blanks import BiasLayout
from sheetkit.trade.pattern import Pattern

KEPT = 128
"""Pictures kept for a second use in the same run, as files beside the sheet."""

MOST_DRAWN = 300
"""More blanks than this would be a grey field."""

THIN_MM = 6.0
UNKNOWN_COLOURS = ("B08D57", "8C6A4F", "C9B79C", "6E5A48", "D8C3A5", "9A7B5B")
"""For woods without a colour of their own, in order of first use; the legend's letters tell them apart."""

BOWL_VIEWS = (BowlView.THREE_QUARTERS, BowlView.ABOVE, BowlView.SIDE, BowlView.RIM_BAND)
HANDLE_VIEWS = (HandleView.ROUNDED, HandleView.SIDE, HandleView.TOP, HandleView.END)


@dataclass(frozen=True, slots=True)
class InWords:
    """A length as a picture says it: slices finely, boards with fewer digits."""

    measure: Measure

    def __call__(self, length_mm: float) -> str:
        """The length with its unit."""
        return self.measure.text(length_mm) if abs(length_mm) < THIN_MM else self.measure.board_text(length_mm)


@dataclass(frozen=True, slots=True)
class Named:
    """A picture and what it shows.

    Attributes:
        group: panel or piece it belongs to
        name: what it shows of it, for a file's name
        drawing: the picture
    """

    group: str
    name: str
    drawing: Drawing


def drawings(results: Results, measure: Measure) -> list[Named]:
    """Every picture of the job in the order of the sheet.

    Args:
        results: what the engine found
        measure: how lengths are shown
    """
    words, colours = InWords(measure), colours_of(results)
    pieces = results.pieces
    found = [
        Named(f"Panel {name}", "edge", _edge(_look(stack, stack.pattern(1.0, 1.0), colours), words))
        for name, stack in pieces.stacks.items()
    ]
    for handle in pieces.handles:
        found += _of_handle(handle, colours, words)
    for board in pieces.boards:
        if board.made:
            look = _look(board.stack, board.pattern, colours)
            found.append(Named(f"Board {board.name}", "from above", _board(look, words)))
    for bowl in pieces.bowls:
        found += _of_bowl(bowl, colours, words)
    return found


def colours_of(results: Results) -> Mapping[str, str]:
    """RRGGBB of each wood: the maker's own, else the wood's, else one of ours."""
    known = {label: wood.figures.colour for label, wood in results.gluing.woods.items()}
    labels = dict.fromkeys(layer.species for panel in results.panels for layer in panel.layers)
    unknown = [label for label in labels if not known.get(label)]
    own = {label: UNKNOWN_COLOURS[number % len(UNKNOWN_COLOURS)] for number, label in enumerate(unknown)}
    return {label: known.get(label) or own[label] for label in labels}


def _look(stack: PieceStack, pattern: Pattern, colours: Mapping[str, str]) -> PanelLook:
    return PanelLook(
        name=stack.panel.name,
        layers=tuple(LayerLook(layer.species, layer.thickness_mm, colours[layer.species]) for layer in stack.layers),
        length_mm=pattern.panel[0],
        width_mm=pattern.panel[1],
        glue_mm=stack.glue_mm,
        side_by_side=pattern.side_by_side,
        steps=pattern.steps,
    )


def _of_handle(answer: HandleAnswer, colours: Mapping[str, str], words: InWords) -> Iterator[Named]:
    row, look = answer.row, _look(answer.stack, answer.pattern, colours)
    group = f"Handle {row.piece}"
    piece = HandlePiece(row.piece, row.length_mm, row.width_mm, row.thickness_mm, row.angle_deg, row.tilt_deg)
    for view in (view for view in HANDLE_VIEWS if shows_wood(look, piece, view)):
        yield Named(group, view.value, _handle(look, piece, view, words))
    if answer.blanks is not None and 0 < answer.blanks.layout.count <= MOST_DRAWN:
        yield Named(group, "blanks", _layout(look, answer.blanks.layout, row.piece, words))


def _of_bowl(answer: BowlAnswer, colours: Mapping[str, str], words: InWords) -> Iterator[Named]:
    look = _look(answer.stack, answer.pattern, colours)
    piece = BowlPiece(answer.row.piece, answer.plan, answer.floor_mm)
    for view in BOWL_VIEWS:
        yield Named(f"Bowl {answer.row.piece}", view.value, _bowl(look, piece, view, words))


Words = Callable[[float], str]


@lru_cache(KEPT)
def _edge(look: PanelLook, words: Words) -> Drawing:
    return draw_panel_edge(look, words)


@lru_cache(KEPT)
def _board(look: PanelLook, words: Words) -> Drawing:
    return draw_board(look, words)


@lru_cache(KEPT)
def _handle(look: PanelLook, piece: HandlePiece, view: HandleView, words: Words) -> Drawing:
    return draw_handle(look, piece, view, words)


@lru_cache(KEPT)
def _layout(look: PanelLook, layout: BiasLayout, name: str, words: Words) -> Drawing:
    return draw_layout(look, layout, name, words)


@lru_cache(KEPT)
def _bowl(look: PanelLook, piece: BowlPiece, view: BowlView, words: Words) -> Drawing:
    return draw_bowl(look, piece, view, words)
