"""How long each picture takes; run by hand: python tests/benchmarks/bench_pictures.py."""

import time
from collections.abc import Callable

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
)
from sheetkit.trade.blanks import BiasPanel, best_bias_layout
from sheetkit.trade.bowl_plan import RingRules, plan_bowl
from sheetkit.trade.bowl_profile import arc_profile
from sheetkit.trade.steps import Step, Turn

ASH, WENGE, PADAUK = (
    LayerLook("ash", 1.6, "E4D3AE"),
    LayerLook("wenge", 0.8, "4A3526"),
    LayerLook("padauk", 1.1, "B5512F"),
)
LAYERS = (ASH, WENGE, PADAUK, WENGE) * 20
PANEL = PanelLook("Block", LAYERS, 330.0, 60.0, 0.08)
BOARD = PanelLook("Block", LAYERS, 330.0, 18.0, 0.08, side_by_side=4)
CHEVRON = PanelLook(
    "Chevron",
    LAYERS,
    700.0,
    20.0,
    0.08,
    steps=(Step(45.0, 24.0, 1.2, Turn.OVER, glue_mm=0.08), Step(90.0, 30.0, 1.2, Turn.END_FOR_END, glue_mm=0.08)),
)
GRIP = HandlePiece("Grip", 125.0, 32.0, 22.0, 25.0, 15.0)
BOWL = BowlPiece(
    "Bowl", plan_bowl(arc_profile(300.0, 90.0, 126.0, 14.0), RingRules(18.0, 1.0, 5.0, turn_deg=12.0)), 8.0
)


def took(name: str, draw: Callable[[], Drawing]) -> None:
    """Print wall time, processor time and size of one picture."""
    wall, processor = time.perf_counter(), time.process_time()
    drawing = draw()
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    print(f"{name:45} {wall:6.2f} s, processor {processor:5.2f} s, {len(drawing.png) // 1000:4d} kB")


def main() -> None:
    """Draw everything once."""
    took("panel's edge", lambda: draw_panel_edge(PANEL))
    took("board after two rounds", lambda: draw_board(CHEVRON))
    for side in HandleView:
        took(f"handle {side.value}", lambda side=side: draw_handle(PANEL, GRIP, side))
    for view in BowlView:
        took(f"bowl {view.value}", lambda view=view: draw_bowl(BOARD, BOWL, view))
    layout = best_bias_layout(BiasPanel(330.0, PANEL.pattern().stack_mm, 1.0), 80.0, 16.0, 30.0)
    took("layout of blanks", lambda: draw_layout(PANEL, layout, "Grip"))


if __name__ == "__main__":
    main()
