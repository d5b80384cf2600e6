"""Pictures of panels and pieces, drawn from the real lay-up; imported only when a picture is wanted."""

from sheetkit.report.pictures.draw import draw_board, draw_bowl, draw_handle, draw_panel_edge, plain_mm, shows_wood
from sheetkit.report.pictures.layout import draw_layout
from sheetkit.report.pictures.pieces import (
    BowlPiece,
    BowlView,
    Drawing,
    HandlePiece,
    HandleView,
    LayerLook,
    PanelLook,
)

__all__ = [
    "BowlPiece",
    "BowlView",
    "Drawing",
    "HandlePiece",
    "HandleView",
    "LayerLook",
    "PanelLook",
    "draw_board",
    "draw_bowl",
    "draw_handle",
    "draw_layout",
    "draw_panel_edge",
    "plain_mm",
    "shows_wood",
]
