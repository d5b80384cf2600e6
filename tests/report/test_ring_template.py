"""The full-size drawing of the rings, read back as XML."""

from itertools import pairwise
from xml.etree import ElementTree as Xml

import pytest

from sheetkit.report.ring_template import OVERLAP_MM, ring_template, ring_template_tiles
from sheetkit.trade.bowl_plan import RingRules, plan_bowl
from sheetkit.trade.bowl_profile import arc_profile

SVG = "{http://www.w3.org/2000/svg}"
PLAN = plan_bowl(arc_profile(220.0, 90.0, 90.0, 6.0), RingRules(18.0, 1.0, 7.0, boards=2))


def in_words(length_mm):
    return f"{length_mm:.1f} mm"


def root_of(text):
    return Xml.fromstring(text.split("\n", 1)[1])


def test_a_unit_of_the_drawing_is_a_millimetre_on_paper():
    root = root_of(ring_template(PLAN, 0, "Nut bowl", in_words))
    left, top, width, height = (float(part) for part in root.get("viewBox").split())
    assert (left, top) == (0.0, 0.0)
    assert (root.get("width"), root.get("height")) == (f"{width:.3f}mm", f"{height:.3f}mm")
    bar = next(line for line in root.iter(f"{SVG}line") if line.get("id") == "measuring-bar")
    assert float(bar.get("x2")) - float(bar.get("x1")) == 100.0


@pytest.mark.parametrize("board", [0, 1])
def test_every_cut_of_the_board_is_drawn_above_and_below(board):
    root = root_of(ring_template(PLAN, board, "Nut bowl", in_words))
    radii = [float(circle.get("r")) for circle in root.iter(f"{SVG}circle")]
    rings = [ring for ring in PLAN.rings if ring.board == board]
    expected = {round(r, 3) for ring in rings for r in (ring.outer_top_mm, ring.outer_bottom_mm)}
    if board == 1:
        expected |= {round(rings[0].inner_top_mm, 3), round(rings[0].inner_bottom_mm, 3)}
    assert set(radii) == expected
    largest = max(radii)
    for circle in root.iter(f"{SVG}circle"):
        assert float(circle.get("cx")) >= largest
        assert float(circle.get("cy")) >= largest


def test_each_cut_says_its_ring_its_size_and_its_tilt():
    texts = [text.text for text in root_of(ring_template(PLAN, 1, "Nut bowl", in_words)).iter(f"{SVG}text")]
    ring = PLAN.rings[1]
    assert f"ring 1: {2 * ring.outer_top_mm:.1f} mm across, tilt {ring.tilt_deg:.1f}°" in texts
    assert f"inside of ring 1: {2 * ring.inner_top_mm:.1f} mm across, tilt {ring.tilt_deg:.1f}°" in texts
    assert any("saw's manual" in text for text in texts)
    assert "This bar must measure 100 mm; if not, print at 100 %. Nut bowl, board 2 of 2, 18.0 mm thick" in texts


def test_any_name_is_written_as_text():
    root = root_of(ring_template(PLAN, 0, 'Nuts & <bolts> "Ø"', in_words))
    assert root.find(f"{SVG}title").text == 'Nuts & <bolts> "Ø": rings from board 1, full size'


def test_tiles_cover_the_drawing_and_overlap():
    whole = root_of(ring_template(PLAN, 0, "Nut bowl", in_words))
    _, _, width, height = (float(part) for part in whole.get("viewBox").split())
    tiles = [root_of(tile) for tile in ring_template_tiles(PLAN, 0, "Nut bowl", in_words)]
    windows = [tuple(float(part) for part in tile.get("viewBox").split()) for tile in tiles]
    assert max(left + wide for left, _, wide, _ in windows) >= width
    assert max(top + high for _, top, _, high in windows) >= height
    assert {(wide, high) for _, _, wide, high in windows} == {(190.0, 277.0)}
    columns = sorted({left for left, _, _, _ in windows})
    assert all(after - before == 190.0 - OVERLAP_MM for before, after in pairwise(columns))
    assert width > 190.0
    assert height > 277.0
    assert len(tiles) == 4
    assert len(ring_template_tiles(PLAN, 0, "Nut bowl", in_words, paper_mm=(420.0, 594.0))) == 1


def test_a_board_that_gives_no_ring_and_paper_without_room_are_refused():
    with pytest.raises(ValueError, match="no ring comes from board 3; the bowl takes 2"):
        ring_template(PLAN, 2, "Nut bowl", in_words)
    with pytest.raises(ValueError, match="leaves no room"):
        ring_template_tiles(PLAN, 0, "Nut bowl", in_words, paper_mm=(25.0, 297.0))


def test_the_drawing_is_the_same_each_time():
    assert ring_template(PLAN, 0, "Nut bowl", in_words) == ring_template(PLAN, 0, "Nut bowl", in_words)
