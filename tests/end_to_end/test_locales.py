"""Offices of three countries open the demos: numbers written their way, the same figures, nothing that cannot be read.

LibreOffice writes numbers and dates by the country it is set to. What a country writes between whole and decimal
places, and between thousands: Unicode CLDR, common/main/de.xml, fr.xml and en.xml, symbols of numberSystem latn, from
memory; where CLDR has a narrow space between thousands, LibreOffice 7.4 has a plain one that does not break.
"""

import csv
import re
from datetime import date
from pathlib import Path

import pytest

from sheetkit import refresh
from sheetkit.report.builder import FRESH
from sheetkit.report.freshness import UP_TO_DATE

DEMOS = Path(__file__).parents[2] / "demo_workbooks"
NAMES = ("salad_servers_planned.xlsx", "box_sides_metric.ods")
WRITTEN = {"de-DE": {".": ",", ",": "."}, "fr-FR": {".": ",", ",": "\xa0"}, "en-US": {".": ".", ",": ","}}
"""What stands in place of the decimal point and of the comma between thousands."""
AS_SHOWN = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,true,false,false,-1"
"""Every sheet as text, each cell as it is shown."""
ERROR = re.compile(r"Err:\d|#(NAME|VALUE|REF|DIV/0|N/A|NUM)|###")

pytestmark = pytest.mark.office


@pytest.fixture(scope="module", params=NAMES)
def demo(request):
    """A demo of either format, as it is handed over."""
    return DEMOS / request.param


@pytest.fixture(scope="module")
def shown_in(demo, office_in, cells_of):
    """By country: the file as saved there, and every cell of every result sheet as shown there, by sheet and place."""
    tabs = refresh(demo, dry_run=True).sheets.values()
    found = {}
    for locale in WRITTEN:
        office = office_in(locale)
        (saved,) = office([demo])
        folder = office([demo], AS_SHOWN)
        found[locale] = saved, {tab: shown(folder / f"{demo.stem}-{tab}.csv") for tab in tabs}
    return found


def shown(path):
    with path.open(encoding="utf-8", newline="") as file:
        return {(r, c): text for r, row in enumerate(csv.reader(file), 1) for c, text in enumerate(row, 1) if text}


def as_written_in(locale, text):
    return "".join(WRITTEN[locale].get(letter, letter) for letter in text)


def same(value):
    return value if isinstance(value, str | date) else pytest.approx(value, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("locale", WRITTEN)
def test_no_cell_shows_an_error(shown_in, locale):
    cells = {(tab, *place): text for tab, sheet in shown_in[locale][1].items() for place, text in sheet.items()}
    assert len(cells) > 500
    assert {place: text for place, text in cells.items() if ERROR.search(text)} == {}


@pytest.mark.parametrize("locale", WRITTEN)
def test_formulas_come_to_the_figures_of_the_engine(demo, shown_in, cells_of, locale):
    for tab in shown_in[locale][1]:
        ours, theirs = cells_of(demo, tab), cells_of(shown_in[locale][0], tab)
        assert ours.keys() == theirs.keys(), tab
        assert {p: (v, theirs[p]) for p, v in ours.items() if theirs[p] != same(v)} == {}, tab


@pytest.mark.parametrize("locale", ["de-DE", "fr-FR"])
def test_numbers_are_shown_as_the_country_writes_them(demo, shown_in, cells_of, locale):
    """Sentences of the engine keep the decimal point: they are English, and nothing tells it where they are read."""
    decimals = 0
    for tab, cells in shown_in[locale][1].items():
        values, american = cells_of(demo, tab), shown_in["en-US"][1][tab]
        numbers = {place for place, value in values.items() if isinstance(value, int | float)}
        expected = {p: as_written_in(locale, text) if p in numbers else text for p, text in american.items()}
        close = {p: re.sub(r"\s%", "%", text) if p in numbers else text for p, text in cells.items()}
        assert close == expected, tab
        decimals += sum("." in american[place] and "," in cells[place] for place in numbers & cells.keys())
    assert decimals > 100


@pytest.mark.parametrize("locale", WRITTEN)
def test_days_are_shown_year_first(demo, shown_in, cells_of, locale):
    days = 0
    for tab, cells in shown_in[locale][1].items():
        for place, value in cells_of(demo, tab).items():
            if isinstance(value, date):
                assert cells[place].strip() == value.strftime("%Y-%m-%d"), (tab, place)
                days += 1
    assert days > 5 or demo.suffix == ".ods"


@pytest.mark.parametrize("locale", WRITTEN)
def test_the_sheets_are_up_to_date(shown_in, locale):
    assert {sheet[3, 1] for sheet in shown_in[locale][1].values()} == {f"{FRESH}{UP_TO_DATE}"}


@pytest.mark.parametrize("locale", WRITTEN)
def test_what_an_office_of_the_country_saved_is_read_the_same(demo, shown_in, locale):
    ours, theirs = (refresh(path, dry_run=True) for path in (demo, shown_in[locale][0]))
    assert theirs.headlines == ours.headlines
    assert theirs.problems == ours.problems
