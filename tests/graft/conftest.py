"""Result sheets with a block of each kind, and the check that a graft into .xlsx lost nothing."""

import io
import re
import struct
import zipfile
from datetime import date

import pytest
from PIL import Image

from sheetkit.reading.archive import open_package
from sheetkit.reading.marks import OWN_TEXT
from sheetkit.reading.relationships import relationships
from sheetkit.report.model import (
    Area,
    Chart,
    ChartKind,
    Link,
    Look,
    Picture,
    ReportCell,
    ReportSheet,
    Series,
    Table,
)

PASSES = 12
FIRST_PASS_ROW = 6


def png(colour, size=(60, 40)):
    target = io.BytesIO()
    Image.new("RGB", size, colour).save(target, "PNG")
    return target.getvalue()


def overview():
    """Every look, a formula across sheets, a link, notes, a picture, and text that must stay text."""
    long = "This goes on until it has to be wrapped over the whole width of the sheet, " * 3
    rows = [
        [ReportCell("Job overview", Look.TITLE, columns=4)],
        [ReportCell(f"{OWN_TEXT} for tests. {long}", Look.INTRO, columns=4)],
        [ReportCell("Wear a mask; follow the machine's manual. " + long, Look.CAUTION, columns=4)],
        [ReportCell("Figures", Look.SECTION, columns=4)],
        [ReportCell("Total"), ReportCell(30.4, Look.STRONG, "0.00", formula="='Cut plan'!B7*20", columns=3)],
        [ReportCell("Ready"), ReportCell(True), ReportCell("by"), ReportCell(date(2024, 5, 1))],
        [ReportCell("Typed by the maker"), ReportCell("=1+1"), ReportCell("+3"), ReportCell("@home")],
        [ReportCell("Odd characters"), ReportCell("bell\x07 _x0041_ <r>&</r> ü 木"), None, ReportCell("  kept  ")],
        [ReportCell("Go to the cut plan", link=Link("Cut plan", "B6")), None, ReportCell(0.125, number_format="0.0%")],
    ]
    rows += [
        [ReportCell(look.value, look, note=f"what {look.value} is for"), ReportCell(1.23456, look, "0.000")]
        for look in Look
    ]
    board = Picture(png((200, 120, 40)), "an orange board", 5, 6, 40, 25)
    return ReportSheet(
        "overview", "Overview", rows, [22, 16, 14, 26], pictures=[board], frozen_rows=1, row_heights={4: 24}
    )


def cut_plan():
    """A named table with formulas, and one chart of each kind."""
    headings = [("Pass", None), ("Set [mm]", "what the dial says"), ("Got [mm]", None), ("Verdict", None)]
    rows = [[ReportCell("Cut plan", Look.TITLE, columns=4)], [ReportCell(f"{OWN_TEXT} for tests.")], [], []]
    rows.append([ReportCell(text, Look.HEADING, note=note) for text, note in headings])
    for number in range(1, PASSES + 1):
        setting = round(1.5 + number / 100, 4)
        got = ReportCell(
            round(setting + 0.004, 4), number_format="0.000", formula=f"=B{FIRST_PASS_ROW - 1 + number}+0.004"
        )
        verdict = ReportCell("good", Look.GOOD) if number % 2 else ReportCell("watch", Look.WATCH)
        rows.append([ReportCell(number), ReportCell(setting, number_format="0.000"), got, verdict])
    last = FIRST_PASS_ROW + PASSES - 1
    return ReportSheet(
        "cut_plan",
        "Cut plan",
        rows,
        [12, 14, 14, 16],
        frozen_rows=5,
        frozen_columns=1,
        repeated_rows=(5, 5),
        landscape=True,
        tables=[Table("cut_passes", Area(5, 1, last, 4))],
        charts=[_chart(kind, 4 + 18 * place, last) for place, kind in enumerate(ChartKind)],
        pictures=[Picture(png((20, 90, 60)), "a green board", 20, 1, 40, 25)],
    )


def _chart(kind, row, last):
    passes, settings, got = (Area(FIRST_PASS_ROW, column, last, column) for column in (1, 2, 3))
    series = [Series("set", settings, passes), Series("got", got, passes, dashed=True, markers=False)]
    narrow = (1.4, 1.8) if kind in {ChartKind.LINE, ChartKind.POINTS} else None
    shown = series[:1] if kind == ChartKind.SHARES else series
    return Chart(
        kind, f"Slices as {kind.value}", "Pass", "Thickness [mm]", shown, row, 6, y_format="0.00", y_range=narrow
    )


@pytest.fixture
def rich_sheets():
    """Two result sheets that refer to each other, with a block of each kind."""
    return [overview(), cut_plan()]


INSERTED = {
    "workbook": {"sheet", "definedName", "definedNames"},
    "pointers": {"Relationship"},
    "types": {"Override"},
    "styles": {"numFmts", "numFmt", "font", "fonts", "fill", "fills", "border", "borders", "xf", "cellXfs"},
}
"""What may be put into each of the parts that may change."""

TOKENS = re.compile(r"<!--.*?-->|<!\[CDATA\[.*?\]\]>|<(?:[^\"'>]|\"[^\"]*\"|'[^']*')*>|[^<]+", re.DOTALL)
COUNT = re.compile(r"(\scount\s*=\s*)[\"'][0-9]+[\"']")


def entries(data):
    """Name, packed bytes and what the directory says of each entry, read without the code under test."""
    found = {}
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for info in archive.infolist():
            name_length, extra_length = struct.unpack_from("<2H", data, info.header_offset + 26)
            start = info.header_offset + 30 + name_length + extra_length
            about = (info.orig_filename, info.date_time, info.CRC, info.file_size, info.compress_type, info.comment)
            about += (info.external_attr, info.create_system, info.create_version)
            found[info.filename] = (data[start : start + info.compress_size], about)
    return found


def parts_that_may_change(data):
    """Entry name of each, and its kind."""
    with open_package(io.BytesIO(data)) as package:
        main = package.main_part
        folder, _, name = main.replace("\\", "/").rpartition("/")
        listing = package.find(f"{folder}/_rels/{name}.rels" if folder else f"_rels/{name}.rels")
        styles = [package.find(each.target) for each in relationships(package, main) if each.kind == "styles"]
        kinds = {main: "workbook", listing: "pointers", package.find("[Content_Types].xml"): "types"}
        return kinds | {name: "styles" for name in styles if name}


def text_of(data):
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16")
    return data.decode("utf-8")


def plain(token):
    return COUNT.sub(r"\1", token)


def whole_element(tokens, at):
    """Place behind the element that begins at a token."""
    depth = 0
    while True:
        token = tokens[at]
        at += 1
        if token.startswith("</"):
            depth -= 1
        elif token.startswith("<") and not token.endswith("/>"):
            depth += 1
        if depth == 0:
            return at


def insertions(before, after):
    """The elements that were put in; fails where taking them out does not give back what was there.

    Only the number in a count attribute may differ, and an empty tag may have been opened.
    """
    old, new = TOKENS.findall(before), TOKENS.findall(after)
    assert "".join(old) == before
    i = j = 0
    found = []
    while j < len(new):
        if i < len(old) and plain(old[i]) == plain(new[j]):
            i, j = i + 1, j + 1
            continue
        opened = i < len(old) and old[i].endswith("/>") and plain(old[i])[:-2] + ">" == plain(new[j])
        if opened:
            end = whole_element(new, j)
            inner, j = new[j + 1 : end - 1], end
            i += 1
            at = 0
            while at < len(inner):
                found.append(inner[at])
                at = whole_element(inner, at)
            continue
        assert re.match(r"<[\w:]", new[j]), f"neither kept nor an element put in: {new[j][:80]!r}"
        found.append(new[j])
        j = whole_element(new, j)
    assert i == len(old), f"lost: {old[i][:80]!r}"
    return {re.match(r"<(?:[\w.-]+:)?([\w.-]+)", token)[1] for token in found}


def check_nothing_lost(before, after):
    old, new = entries(before), entries(after)
    may_change = parts_that_may_change(before)
    assert list(new)[: len(old)] == list(old), "entries keep their order, ours come last"
    for name, (packed, about) in old.items():
        if name not in may_change:
            assert new[name] == (packed, about), name
            continue
        assert new[name][1][:2] == about[:2], name
        with zipfile.ZipFile(io.BytesIO(before)) as one, zipfile.ZipFile(io.BytesIO(after)) as other:
            put_in = insertions(text_of(one.read(name)), text_of(other.read(name)))
        assert put_in <= INSERTED[may_change[name]], name


@pytest.fixture
def nothing_lost():
    """Checks an .xlsx before and after a graft: every byte that is not ours is there."""
    return check_nothing_lost


@pytest.fixture
def inserted_elements():
    """Gives the elements put into an XML text, and fails where anything else was changed."""
    return insertions
