"""The sheet Glue-up on real workbooks: settings typed by a maker, figures read back by an independent reader."""

import re

import pytest
from click.testing import CliRunner

from sheetkit import refresh
from sheetkit.cli import main

STOCK = [["M1", "sugar maple", 60, 4, 11, "flat", 8, None], ["W1", "black walnut", 60, 4, 6, "quarter", 8, None]]
TARGETS = [
    ["P", "sugar maple", 0.75, None, 3],
    ["P", "sugar maple", 0.0625, None, 29],
    ["P", "black walnut", 0.0625, None, 26],
    ["P", "sugar maple", 0.01, None, 3],
]
PANELS = [["P", 12, 3, 1, "no", 1]]
SHOP = {"Glue spread": "200 g/m2", "Water in glue": "50 %", "Most lines at once": 14, "Clamps": 4, "Altitude": 5000}


@pytest.fixture
def glued(fill, tmp_path):
    """The same job in both formats, refreshed."""

    def made(suffix, shop=SHOP, stock=STOCK):
        path = fill(tmp_path / f"job{suffix}", {"Stock": stock, "Targets": TARGETS, "Panels": PANELS}, {"Shop": shop})
        refresh(path)
        return path

    return made


def column(cells, heading):
    """The values below a heading, down to the first empty cell."""
    row, number = next(place for place, value in cells.items() if value == heading)
    values = []
    while (row + 1, number) in cells:
        row += 1
        values.append(cells[row, number])
    return values


def test_61_layers_at_14_lines_need_5_glue_ups(glued, suffix, cells_of):
    cells = cells_of(glued(suffix), "Glue-up")
    assert column(cells, "Laid onto") == ["nothing", "layer 13", "layer 25", "layer 37", "layer 49"]
    assert column(cells, "Lines") == [12, 12, 12, 12, 12]


def test_the_rise_of_moisture_is_that_of_the_water_balance(glued, suffix, cells_of):
    # conservation of water: 100 * 200 * 0.5 / (630 * mm) for sugar maple of 630 kg/m3: 0.83 on 3/4 in, 10.0 on 1/16 in
    cells = cells_of(glued(suffix), "Glue-up")
    rises = column(cells, "Rise (points)")
    assert rises[:2] == [pytest.approx(0.83, abs=0.005), pytest.approx(10.0, abs=0.005)]


def test_a_vacuum_bag_gives_less_up_a_mountain(glued, suffix, cells_of):
    # altitude typed without a unit is in feet; 5000 ft: 101.325 * (1 - 0.0065 * 1524 / 288.15) ** 5.25588 = 84.3 kPa
    cells = cells_of(glued(suffix), "Glue-up")
    row = next(row for (row, number), value in cells.items() if number == 1 and value == "Vacuum bag")
    assert cells[row, 2] == pytest.approx(84.3 / 6.894757, abs=0.01)


def test_both_formats_show_the_same_figures(glued, cells_of):
    first, second = (cells_of(glued(suffix), "Glue-up") for suffix in (".xlsx", ".ods"))
    assert first.keys() == second.keys()
    for place, value in first.items():
        assert second[place] == (value if isinstance(value, str) else pytest.approx(value, abs=1e-9)), place


def test_too_few_clamps_are_a_finding_at_their_cell(glued, suffix):
    path = glued(suffix)
    (problem,) = [problem for problem in refresh(path, dry_run=True).problems if problem.sheet == "Shop"]
    # 12.5 x 3.25 in before trimming at 150 psi: 6,094 lbf; 7 clamps of 1,000 lbf, 4 of them give 66 %
    assert (problem.wanted, problem.found) == (
        "7 clamps of that force", "4 clamps for panel P, 66 % of the pressure wanted",
    )  # fmt: skip


def test_a_wet_board_stops_nothing_but_is_named(glued, suffix, cells_of):
    wet = [STOCK[0], [*STOCK[1][:6], 14, None]]
    path = glued(suffix, {}, wet)
    assert (
        "W1 (black walnut) reads 14 %, above the limit of 11 %. Let it settle first."
        in cells_of(path, "Glue-up").values()
    )
    done = CliRunner().invoke(main, ["refresh", str(path)])
    assert "Stock!G4: found W1 (black walnut) reads 14 %, above the limit of 11 %" in done.output
    assert done.exit_code == 1


def test_a_wood_without_figures_is_noted_and_ends_with_0(fill, tmp_path, suffix):
    rows = {"Stock": [["K1", "padauk", 20, 4, 2, "flat", 8, None]], "Targets": [["P", "padauk", 0.05, None, 3]]}
    path = fill(tmp_path / f"job{suffix}", rows | {"Panels": PANELS})
    done = CliRunner().invoke(main, ["refresh", str(path)])
    assert "for information: Targets!B3: found padauk: no figure for movement flat" in done.output
    assert done.exit_code == 0


def test_the_shop_humidity_that_leaves_no_movement_is_said(fill, tmp_path, suffix, cells_of):
    """Wood Handbook, FPL-GTR-190 (2010), Table 4-2: 100 °F and 50 % keep wood at 8.7 %; at 70 °F 45 % give 8.5 and
    50 % give 9.2, so between them 8.7 takes about 46.4 %."""
    settings = {
        "Shop": {"Shop temperature": "70 °F", "Shop humidity": 65},
        "Job": {"Temperature of its place": "100 °F", "Humidity of its place": 50},
    }
    path = fill(tmp_path / f"job{suffix}", {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS}, settings)
    refresh(path)
    (said,) = [text for text in map(str, cells_of(path, "Glue-up").values()) if "has settled in a shop" in text]
    assert float(re.search(r"in a shop at (\d+) % humidity", said)[1]) == pytest.approx(46.4, abs=1.0)
