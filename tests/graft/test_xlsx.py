"""Result sheets in .xlsx: what the maker finds there, and what becomes of it at the next refresh."""

import dataclasses
import io
import re
import shutil
import subprocess
import zipfile
from datetime import datetime
from pathlib import Path
from xml.sax.saxutils import escape

import openpyxl
import pytest
import xlsxwriter
from lxml import etree
from openpyxl.comments import Comment
from openpyxl.worksheet.table import Table as ForeignTable
from PIL import Image

from sheetkit.errors import ProtectedWorkbook, SignedWorkbook
from sheetkit.graft import graft_into
from sheetkit.graft.container import rewrite
from sheetkit.graft.xlsx import graft_xlsx
from sheetkit.reading import open_workbook
from sheetkit.report.model import Area, Look, Picture, ReportCell, ReportSheet, Table

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
WORKBOOK, TYPES, POINTERS = "xl/workbook.xml", "[Content_Types].xml", "xl/_rels/workbook.xml.rels"


def grafted(source, sheets, **options):
    out = io.BytesIO()
    report = graft_xlsx(io.BytesIO(source), sheets, out, **options)
    return out.getvalue(), report


def makers(change=lambda book: None):
    """A small workbook as a library writes it: a rack list, a formula, a note."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Rack"
    sheet.append(["Board", "Length"])
    sheet.append(["W1", 640])
    sheet["C2"] = "=B2*2"
    sheet["A2"].comment = Comment("bought in May", "me")
    change(book)
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def edited(source, part, *changes):
    """The package with texts in one part exchanged; each text must be there."""
    data = read(source, part)
    for old, new in changes:
        assert old in data, (old, data)
        data = data.replace(old, new)
    out = io.BytesIO()
    rewrite(io.BytesIO(source), out, replaced={part: data.encode()})
    return out.getvalue()


def read(source, part):
    with zipfile.ZipFile(io.BytesIO(source)) as archive:
        return archive.read(part).decode("utf-8")


def names(source):
    with zipfile.ZipFile(io.BytesIO(source)) as archive:
        return archive.namelist()


def loaded(source, **options):
    return openpyxl.load_workbook(io.BytesIO(source), **options)


def small(key="note", name="Note", *rows, **more):
    cells = [[ReportCell(value) for value in row] for row in rows or [["hello"]]]
    return ReportSheet(key, name, cells, [20, 20], **more)


def part_of_tab(source, tab):
    """Name of the part of a tab."""
    book = etree.fromstring(read(source, WORKBOOK).encode())
    pointer = next(
        value
        for sheet in book.iter(f"{MAIN}sheet")
        if sheet.get("name") == tab
        for key, value in sheet.attrib.items()
        if key.endswith("}id")
    )
    listing = etree.fromstring(read(source, POINTERS).encode())
    target = next(each.get("Target") for each in listing if each.get("Id") == pointer)
    return "xl/" + target.removeprefix("/xl/")


# What the maker finds


def test_texts_that_look_like_formulas_stay_texts(rich_sheets):
    after, _ = grafted(makers(), rich_sheets)
    row = next(row for row in loaded(after)["Overview"].iter_rows() if row[0].value == "Typed by the maker")
    assert [(cell.value, cell.data_type) for cell in row] == [
        ("Typed by the maker", "s"),
        ("=1+1", "s"),
        ("+3", "s"),
        ("@home", "s"),
    ]


def test_control_characters_and_markup_in_texts_come_back_as_they_were(tmp_path):
    texts = ["bell\x07", "_x0041_ literal", "<r>&amp;</r>", "  blanks kept  ", "two\nlines", "ü 木 🌲"]
    after, _ = grafted(makers(), [small("note", "Note", *[[text] for text in texts])])
    path = tmp_path / "job.xlsx"
    path.write_bytes(edited(after, WORKBOOK, ("sheetkit_result_note", "no_longer_ours")))
    sheet = next(sheet for sheet in open_workbook(path).sheets if sheet.name == "Note")
    assert [cells[0].value for _, cells in sheet.rows()] == texts


def test_formulas_carry_the_results_of_the_engine(rich_sheets):
    after, _ = grafted(makers(), rich_sheets)
    assert loaded(after)["Overview"]["B5"].value == "='Cut plan'!B7*20"
    assert loaded(after, data_only=True)["Overview"]["B5"].value == 30.4


@pytest.mark.parametrize(("result", "kind", "shown"), [("done", "str", "done"), (True, "b", "1"), (0, None, "0")])
def test_results_of_each_type_are_stored_as_that_type(result, kind, shown):
    cell = ReportCell(result, formula='=IF(Rack!B2>0,"done","")')
    after, _ = grafted(makers(), [ReportSheet("note", "Note", [[cell]], [20])])
    found = etree.fromstring(read(after, part_of_tab(after, "Note")).encode()).find(f".//{MAIN}c")
    assert (found.get("t"), found.findtext(f"{MAIN}v")) == (kind, shown)


def test_numbers_that_no_cell_can_hold_become_words():
    after, _ = grafted(makers(), [small("note", "Note", [float("nan"), float("inf")])])
    assert [cell.value for cell in loaded(after)["Note"][1]] == ["no value", "no value"]


def test_dates_count_from_the_makers_day_zero(tmp_path):
    target = io.BytesIO()
    with xlsxwriter.Workbook(target, {"date_1904": True}) as book:
        book.add_worksheet("Rack").write(0, 0, 1)
    for source in (target.getvalue(), makers()):
        moment = datetime(2024, 5, 1, 12, 0)  # noqa: DTZ001
        after, _ = grafted(
            source, [ReportSheet("note", "Note", [[ReportCell(moment, number_format="d-mmm h:mm")]], [20])]
        )
        assert loaded(after)["Note"]["A1"].value == moment


def test_view_and_print_settings_are_what_the_sheet_asks_for(rich_sheets):
    after, _ = grafted(makers(), rich_sheets)
    sheet = loaded(after)["Cut plan"]
    assert sheet.freeze_panes == "B6"
    assert sheet.print_title_rows == "$5:$5"
    assert sheet.page_setup.orientation == "landscape"
    assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
    assert sheet.sheet_properties.pageSetUpPr.fitToPage is True
    assert sheet.oddHeader.left.text == "&A"
    assert sheet.oddFooter.right.text == "Page &P of &N"
    assert sheet.column_dimensions["B"].width == pytest.approx(14.71, abs=0.01)
    overview = loaded(after)["Overview"]
    assert overview.row_dimensions[4].height == 24
    assert overview.row_dimensions[2].height > 30
    assert {"A1:D1", "A2:D2", "B5:D5"} <= {str(area) for area in overview.merged_cells.ranges}


def test_links_notes_pictures_charts_and_tables_are_there(rich_sheets):
    after, _ = grafted(makers(), rich_sheets)
    book = loaded(after)
    overview, plan = book["Overview"], book["Cut plan"]
    assert overview["A9"].hyperlink.location == "'Cut plan'!B6"
    assert overview["A10"].comment.text == "what title is for"
    assert plan["B5"].comment.text == "what the dial says"
    assert (len(overview._images), len(plan._images), len(plan._charts)) == (1, 1, 6)
    assert plan.tables["cut_passes"].ref == "A5:D17"
    assert plan.tables["cut_passes"].autoFilter.ref == "A5:D17"
    assert plan.auto_filter.ref is None


def test_pictures_and_charts_have_their_sizes_in_millimetres(rich_sheets):
    after, _ = grafted(makers(), rich_sheets)
    drawn = [read(after, name) for name in names(after) if re.fullmatch(r"xl/drawings/drawing\d+\.xml", name)]
    assert [re.findall(r'<xdr:ext cx="(\d+)" cy="(\d+)"/>', each) for each in drawn] == [
        [("1440000", "900000")],
        [("1440000", "900000")] + [("5760000", "2880000")] * 6,
    ]


def test_lines_of_charts_run_straight_from_point_to_point(rich_sheets):
    """Where a file does not say so, LibreOffice draws curves, which show values that nobody measured."""
    charts = loaded(grafted(makers(), rich_sheets)[0])["Cut plan"]._charts
    lines = [one for one in charts if isinstance(one, openpyxl.chart.LineChart | openpyxl.chart.ScatterChart)]
    assert len(lines) == 2
    assert {series.smooth for one in lines for series in one.series} == {False}


def test_a_chart_holds_the_numbers_it_shows_until_a_program_reads_the_cells(rich_sheets):
    after, _ = grafted(makers(), rich_sheets)
    chart = etree.fromstring(read(after, "xl/charts/chart1.xml").encode())
    space = "{http://schemas.openxmlformats.org/drawingml/2006/chart}"
    series = chart.findall(f".//{space}ser")[1]
    assert series.findtext(f".//{space}val//{space}f") == "'Cut plan'!$C$6:$C$17"
    points = [float(each.text) for each in series.findall(f".//{space}val//{space}v")]
    assert points == pytest.approx([1.514 + number / 100 for number in range(12)])


def test_no_tab_of_ours_is_selected_along_with_the_makers(rich_sheets):
    after, _ = grafted(makers(), rich_sheets)
    assert "tabSelected" not in read(after, part_of_tab(after, "Overview"))
    assert loaded(after).active.title == "Rack"


def test_type_is_that_of_the_makers_plain_cells():
    after, _ = grafted(makers(), [small()])
    assert loaded(after)["Note"]["A1"].font.name == "Calibri"
    source = edited(makers(), "xl/styles.xml", ('<name val="Calibri"/>', '<name val="Georgia"/>'))
    after, _ = grafted(source, [small()])
    assert loaded(after)["Note"]["A1"].font.name == "Georgia"


def test_a_cell_under_anothers_span_is_a_mistake_of_the_report():
    sheet = ReportSheet("note", "Note", [[ReportCell("wide", columns=2), ReportCell("hidden")]], [20])
    with pytest.raises(ValueError, match="Note!B1 lies under a cell that spans it"):
        grafted(makers(), [sheet])


@pytest.mark.parametrize("second", [small("note", "Other"), small("other", "NOTE")])
def test_two_sheets_with_one_key_or_name_are_a_mistake_of_the_caller(second):
    with pytest.raises(ValueError, match="two result sheets with one key or one name"):
        grafted(makers(), [small(), second])


# Names


def test_a_sheet_of_the_makers_with_our_name_is_left_alone_and_formulas_follow(rich_sheets):
    source = makers(lambda book: book.create_sheet("cut PLAN").append(["mine"]))
    after, report = grafted(source, rich_sheets)
    assert report.names == {"overview": "Overview", "cut_plan": "Cut plan (2)"}
    book = loaded(after)
    assert book["cut PLAN"]["A1"].value == "mine"
    assert book["Overview"]["B5"].value == "='Cut plan (2)'!B7*20"
    assert book["Overview"]["A9"].hyperlink.location == "'Cut plan (2)'!B6"
    assert "'Cut plan (2)'!$C$6:$C$17" in read(after, "xl/charts/chart1.xml")


def test_a_long_name_is_cut_to_make_room_for_the_number():
    name = "N" * 31
    after, report = grafted(makers(lambda book: book.create_sheet(name)), [small(name=name)])
    assert report.names == {"note": "N" * 27 + " (2)"}
    assert loaded(after).sheetnames[-1] == report.names["note"]


@pytest.mark.filterwarnings("ignore:Title is more than 31 characters")
@pytest.mark.parametrize(
    "new", ["Sawing", "Saw & dial", "Tom's plan", "A plan with a name longer than any program allows"]
)
def test_a_tab_that_the_maker_renamed_keeps_its_name(rich_sheets, new):
    quoted = "'" + new.replace("'", "''") + "'"
    first, _ = grafted(makers(), rich_sheets)
    changes = ('name="Cut plan"', f'name="{escape(new)}"'), ("'Cut plan'!", f"{escape(quoted)}!")
    after, report = grafted(edited(first, WORKBOOK, *changes), rich_sheets)
    assert report.names == {"overview": "Overview", "cut_plan": new}
    book = loaded(after)
    assert book.sheetnames == ["Rack", "Overview", new]
    assert book["Overview"]["B5"].value == f"={quoted}!B7*20"
    assert book["Overview"]["A9"].hyperlink.location == f"{quoted}!B6"
    needed = quoted if " " in new else new
    assert f"{needed}!$C$6:$C$17" in set(etree.fromstring(read(after, "xl/charts/chart1.xml").encode()).itertext())
    assert grafted(after, rich_sheets)[0] == after


def test_tabs_that_the_maker_moved_stay_where_they_are(rich_sheets):
    first, _ = grafted(makers(), rich_sheets)
    book = read(first, WORKBOOK)
    tabs = re.findall(r"<sheet [^>]*/>", book)
    moved = edited(first, WORKBOOK, ("".join(tabs), "".join(tabs[::-1])), ('localSheetId="2"', 'localSheetId="0"'))
    after, _ = grafted(moved, rich_sheets)
    assert loaded(after).sheetnames == ["Cut plan", "Overview", "Rack"]
    assert loaded(after)["Cut plan"].print_title_rows == "$5:$5"
    assert after == moved


def test_a_deleted_sheet_is_made_again_at_the_end(rich_sheets):
    first, _ = grafted(makers(), rich_sheets)
    tab = re.search(r'<sheet [^>]*name="Overview"[^>]*/>', read(first, WORKBOOK))[0]
    deleted = edited(
        first, WORKBOOK, (tab, ""), ("'Overview'!$A$1", "#REF!$A$1"), ('localSheetId="2"', 'localSheetId="1"')
    )
    after, report = grafted(deleted, rich_sheets)
    assert report.names == {"overview": "Overview", "cut_plan": "Cut plan"}
    assert loaded(after).sheetnames == ["Rack", "Cut plan", "Overview"]
    assert read(after, WORKBOOK).count("sheetkit_result_overview") == 1
    assert grafted(after, rich_sheets)[0] == after


def test_a_marked_sheet_that_is_said_to_be_the_makers_keeps_its_bytes_and_loses_the_mark():
    first, _ = grafted(makers(), [small()])
    sheet = read(first, "xl/worksheets/sheet2.xml")
    after, report = grafted(first, [small("note", "Note", ["changed"])], not_ours=["note"])
    assert report.names == {"note": "Note (2)"}
    assert loaded(after).sheetnames == ["Rack", "Note", "Note (2)"]
    assert read(after, "xl/worksheets/sheet2.xml") == sheet
    assert re.findall(r"sheetkit_result_note[^>]*>([^<]*)", read(after, WORKBOOK)) == ["'Note (2)'!$A$1"]
    assert grafted(after, [small("note", "Note", ["changed"])])[0] == after


def test_a_mark_whose_first_row_was_deleted_still_marks_its_sheet():
    first, _ = grafted(makers(), [small()])
    after, report = grafted(edited(first, WORKBOOK, ("'Note'!$A$1", "Note!#REF!")), [small()])
    assert report.names == {"note": "Note"}
    assert loaded(after).sheetnames == ["Rack", "Note"]


def test_a_copy_that_the_maker_made_of_our_sheet_is_the_makers():
    first, _ = grafted(makers(), [small()])
    tab = re.search(r'<sheet [^>]*name="Rack"[^>]*/>', read(first, WORKBOOK))[0]
    copied = edited(
        first,
        WORKBOOK,
        (tab, tab.replace("Rack", "Note (copy)")),
        (
            "</definedNames>",
            '<definedName name="sheetkit_result_note" localSheetId="0">\'Note (copy)\'!$A$1</definedName>'
            "</definedNames>",
        ),
    )
    after, report = grafted(copied, [small("note", "Note", ["changed"])])
    assert report.names == {"note": "Note"}
    assert loaded(after)["Note"]["A1"].value == "changed"
    assert loaded(after)["Note (copy)"]["A1"].value == "Board"


def test_formulas_of_the_makers_that_point_at_our_sheets_live_on(rich_sheets):
    first, _ = grafted(makers(), rich_sheets)
    part = part_of_tab(first, "Rack")
    source = edited(first, part, ("B2*2", "'Cut plan'!C6"))
    changed = dataclasses.replace(rich_sheets[1], rows=[*rich_sheets[1].rows, [ReportCell("more")]])
    after, _ = grafted(source, [rich_sheets[0], changed])
    assert read(after, part) == read(source, part)
    assert part_of_tab(after, "Cut plan") == part_of_tab(source, "Cut plan")
    assert re.findall('sheetId="[0-9]+"', read(after, WORKBOOK)) == re.findall(
        'sheetId="[0-9]+"', read(source, WORKBOOK)
    )


def test_sheets_that_are_no_longer_made_are_kept_and_said(rich_sheets):
    first, _ = grafted(makers(), rich_sheets)
    after, report = grafted(first, rich_sheets[:1])
    assert report.kept == ("cut_plan",)
    assert loaded(after).sheetnames == ["Rack", "Overview", "Cut plan"]
    assert read(after, part_of_tab(after, "Cut plan")) == read(first, part_of_tab(first, "Cut plan"))
    assert grafted(after, [])[1].kept == ("overview", "cut_plan")


def test_repeated_rows_come_and_go(rich_sheets):
    first, _ = grafted(makers(), rich_sheets)
    plan = dataclasses.replace(rich_sheets[1], repeated_rows=(4, 5))
    after, _ = grafted(first, [rich_sheets[0], plan])
    assert loaded(after)["Cut plan"].print_title_rows == "$4:$5"
    none, _ = grafted(after, [rich_sheets[0], dataclasses.replace(plan, repeated_rows=None)])
    assert "Print_Titles" not in read(none, WORKBOOK)


# What hangs on the sheets


def test_parts_of_the_former_run_go_with_their_entries(rich_sheets):
    first, _ = grafted(makers(), rich_sheets)
    bare = [small("overview", "Overview"), small("cut_plan", "Cut plan")]
    after, _ = grafted(first, bare)
    gone = set(names(first)) - set(names(after))
    assert {name for name in gone if "chart" in name} == {f"xl/charts/chart{number}.xml" for number in range(1, 7)}
    assert [name for name in gone if f'"/{name}"' in read(after, TYPES)] == []
    assert sorted(set(names(after)) - set(names(makers()))) == ["xl/worksheets/sheet2.xml", "xl/worksheets/sheet3.xml"]


def test_a_picture_that_the_makers_sheet_shows_too_stays():
    png = io.BytesIO()
    Image.new("RGB", (8, 8), (1, 2, 3)).save(png, "PNG")
    picture = Picture(png.getvalue(), "a dot", 1, 4, 10, 10)

    def with_picture(book):
        book.active.add_image(openpyxl.drawing.image.Image(io.BytesIO(picture.png)), "E5")

    first, _ = grafted(makers(with_picture), [small(pictures=[picture])])
    listing = next(name for name in names(first) if name.endswith("drawing2.xml.rels"))
    shared = edited(first, listing, ("../media/image2.png", "../media/image1.png"))
    after, _ = grafted(shared, [small()])
    assert "xl/media/image1.png" in names(after)
    assert "xl/drawings/drawing2.xml" not in names(after)
    assert len(loaded(after)["Rack"]._images) == 1


def test_a_name_that_the_makers_sheet_points_at_in_vain_is_given_to_no_part_of_ours():
    """The maker's picture is lost; ours in its place would show on the maker's sheet, and never be ours again."""
    png = io.BytesIO()
    Image.new("RGB", (8, 8), (1, 2, 3)).save(png, "PNG")

    def with_picture(book):
        book.active.add_image(openpyxl.drawing.image.Image(io.BytesIO(png.getvalue())), "E5")

    source = makers(with_picture)
    listing = next(name for name in names(source) if name.endswith("drawing1.xml.rels"))
    lost = edited(source, listing, ("media/image1.png", "media/image2.png"))
    sheets = [small(pictures=[Picture(png.getvalue(), "a dot", 1, 4, 10, 10)])]
    first, _ = grafted(lost, sheets)
    assert sorted(set(names(first)) & {f"xl/media/image{number}.png" for number in range(1, 5)}) == [
        "xl/media/image1.png", "xl/media/image3.png",
    ]  # fmt: skip
    assert grafted(first, sheets)[0] == first


def test_tables_get_names_and_numbers_that_nothing_has():
    def change(book):
        book.active.add_table(ForeignTable(displayName="Passes", ref="A1:B2"))
        book.defined_names["passes_2"] = openpyxl.workbook.defined_name.DefinedName("passes_2", attr_text="Rack!$A$1")

    table = Table("passes", Area(1, 1, 2, 2))
    cell = ReportCell(3.0, formula="=SUM(passes[b])")
    sheet = ReportSheet(
        "note", "Note", [[ReportCell("a"), ReportCell("b")], [ReportCell(1), ReportCell(3)], [cell]], [9, 9]
    )
    sheet.tables.append(table)
    after, _ = grafted(makers(change), [sheet])
    note = loaded(after)["Note"]
    assert list(note.tables) == ["passes_3"]
    assert note.tables["passes_3"].id == 2
    assert note["A3"].value == "=SUM(passes_3[b])"


def test_shapes_of_notes_use_number_blocks_of_their_own(rich_sheets):
    source = makers()
    theirs = re.findall(r'data="(\d+)"', read(source, next(name for name in names(source) if name.endswith(".vml"))))
    after, _ = grafted(source, rich_sheets)
    shapes = [read(after, name) for name in names(after) if name.endswith(".vml")]
    blocks = [re.findall(r'idmap [^>]*data="(\d+)"', text)[0] for text in shapes]
    assert theirs == ["1"]
    assert blocks == ["1", "2", "3"]
    for block, text in zip(blocks[1:], shapes[1:], strict=True):
        assert {int(number) // 1024 for number in re.findall(r"_x0000_s(\d+)", text)} == {int(block)}


def test_the_name_that_macros_know_a_sheet_by_and_its_selection_stay():
    first, _ = grafted(makers(), [small()])
    part = part_of_tab(first, "Note")
    source = edited(
        first, part, ("<sheetPr>", '<sheetPr codeName="Sheet7">'), ("<sheetView ", '<sheetView tabSelected="1" ')
    )
    after, _ = grafted(source, [small("note", "Note", ["again"])])
    sheet = loaded(after)["Note"]
    assert sheet.sheet_properties.codeName == "Sheet7"
    assert sheet.sheet_view.tabSelected is True


def with_chain(source, cells):
    """As a program would have saved it: with the order in which it works out the formulas."""
    chain = f'<calcChain xmlns="{MAIN[1:-1]}">{cells}</calcChain>'
    media = "application/vnd.openxmlformats-officedocument.spreadsheetml.calcChain+xml"
    kind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/calcChain"
    types = read(source, TYPES).replace(
        "</Types>", f'<Override PartName="/xl/calcChain.xml" ContentType="{media}"/></Types>'
    )
    pointers = read(source, POINTERS).replace(
        "</Relationships>", f'<Relationship Id="cc" Type="{kind}" Target="calcChain.xml"/></Relationships>'
    )
    out = io.BytesIO()
    changes = {TYPES: types.encode(), POINTERS: pointers.encode()}
    rewrite(io.BytesIO(source), out, replaced=changes, added=[("xl/calcChain.xml", chain.encode())])
    return out.getvalue()


@pytest.mark.parametrize(
    ("cells", "stays"),
    [
        ('<c r="C2" i="1"/>', True),
        ('<c r="C2" i="1"/><c r="B5" i="2"/><c r="C6" i="3"/><c r="C17"/>', True),
        ('<c r="C2" i="1"/><c r="B6" i="2"/>', False),
        ('<c r="C6" i="3"/><c r="C18"/>', False),
    ],
)
def test_the_calculation_chain_goes_only_when_it_names_a_formula_that_is_gone(rich_sheets, cells, stays):
    source = with_chain(grafted(makers(), rich_sheets)[0], cells)
    after, _ = grafted(source, rich_sheets)
    assert ("xl/calcChain.xml" in names(after)) is stays
    assert ("calcChain" in read(after, TYPES)) is stays
    assert ("calcChain" in read(after, POINTERS)) is stays


# What the maker's file is like


def test_formats_are_appended_once_and_those_of_the_maker_keep_their_numbers(rich_sheets):
    source = makers()
    after, _ = grafted(source, rich_sheets)
    counts = dict(re.findall(r'<(\w+) count="(\d+)"', read(after, "xl/styles.xml")))
    root = etree.fromstring(read(after, "xl/styles.xml").encode())
    for name in ("fonts", "fills", "borders", "cellXfs", "numFmts"):
        assert int(counts[name]) == len(root.find(f"{MAIN}{name}")), name
    changed = [small("overview", "Overview"), small("extra", "Extra")]
    again, _ = grafted(after, changed)
    assert read(again, "xl/styles.xml") == read(after, "xl/styles.xml")


def test_cells_stay_plain_in_a_workbook_without_formats():
    source = edited(makers(), "xl/worksheets/sheet1.xml", ('<c r="B2" ', '<c r="B2" s="3" '))
    source = edited(
        source,
        POINTERS,
        *[(tag, "") for tag in re.findall(r"<Relationship [^>]*styles[^>]*/>", read(source, POINTERS))],
    )
    source = edited(
        source, TYPES, *[(tag, "") for tag in re.findall(r"<Override [^>]*styles[^>]*/>", read(source, TYPES))]
    )
    out = io.BytesIO()
    rewrite(io.BytesIO(source), out, replaced={}, removed=["xl/styles.xml"])
    after, _ = grafted(out.getvalue(), [ReportSheet("note", "Note", [[ReportCell("t", Look.TITLE)]], [9])])
    book = loaded(after)
    assert book["Rack"]["B2"].font.b is not True
    assert book["Rack"]["B2"].fill.fill_type is None
    assert (book["Note"]["A1"].font.b, book["Note"]["A1"].font.sz) == (True, 15)
    assert grafted(after, [ReportSheet("note", "Note", [[ReportCell("t", Look.TITLE)]], [9])])[0] == after


def test_a_locked_list_of_sheets_takes_no_new_sheet_but_a_refresh():
    first, _ = grafted(makers(), [small()])
    for source in (makers(), first):
        locked = edited(source, WORKBOOK, ("<workbookProtection", '<workbookProtection lockStructure="1"'))
        with pytest.raises(ProtectedWorkbook) as caught:
            grafted(locked, [small(), small("new", "New")])
        assert str(caught.value) == (
            "the workbook: found a locked list of sheets, wanted one that sheets can be added to. To fix: unprotect "
            "the workbook's structure in the spreadsheet program, refresh, and protect it again."
        )
    after, _ = grafted(locked, [small("note", "Note", ["fresh"])])
    assert loaded(after)["Note"]["A1"].value == "fresh"


def test_a_signed_workbook_is_refused_unless_the_maker_agrees():
    out = io.BytesIO()
    rewrite(io.BytesIO(makers()), out, replaced={}, added=[("_xmlsignatures/sig1.xml", b"<Signature/>")])
    with pytest.raises(SignedWorkbook) as caught:
        grafted(out.getvalue(), [small()])
    assert str(caught.value) == (
        "the workbook: found a digital signature, wanted a workbook that any change would not break. "
        "To fix: refresh a copy without signature, or say that the signature may be lost."
    )
    after, _ = grafted(out.getvalue(), [small()], allow_signed=True)
    assert "_xmlsignatures/sig1.xml" in names(after)


def test_the_public_function_takes_any_workbook_by_its_content(tmp_path, rich_sheets):
    path = tmp_path / "job.dat"
    path.write_bytes(makers())
    out = io.BytesIO()
    report = graft_into(path, rich_sheets, out)
    assert report.names == {"overview": "Overview", "cut_plan": "Cut plan"}
    assert out.getvalue() == grafted(path.read_bytes(), rich_sheets)[0]
    (tmp_path / "done.xlsx").write_bytes(out.getvalue())
    assert open_workbook(tmp_path / "done.xlsx").result_sheets() == report.names


# Packages of every make


def strict(source):
    """The package in the strict dialect (ISO/IEC 29500-1)."""
    base, purl = b"http://schemas.openxmlformats.org/", b"http://purl.oclc.org/ooxml/"
    spaces = {
        base + b"officeDocument/2006/": purl + b"officeDocument/",
        base + b"spreadsheetml/2006/": purl + b"spreadsheetml/",
        base + b"drawingml/2006/": purl + b"drawingml/",
    }

    def translate(data):
        for old, new in spaces.items():
            data = data.replace(old, new)
        return data

    return with_parts(source, lambda name, data: (name, translate(data)))


def with_parts(source, change):
    """The package with each part's name and bytes changed."""
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(source)) as archive, zipfile.ZipFile(target, "w") as out:
        for name in archive.namelist():
            out.writestr(*change(name, archive.read(name)))
    return target.getvalue()


def only(part, change):
    return lambda source: with_parts(source, lambda name, data: (name, change(data) if name == part else data))


def prefixed(data):
    """The workbook part with a prefix for the main namespace, and none for r:id at its root."""
    root = etree.fromstring(data)
    relation = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    text = etree.tostring(root, encoding="unicode").replace(f' xmlns:r="{relation}"', "")
    text = re.sub(r"<(/?)(\w)", r"<\1x:\2", text.replace(" xmlns=", " xmlns:x="))
    return text.replace("<x:sheet ", f'<x:sheet xmlns:q="{relation}" ').replace(" r:id", " q:id").encode()


def moved(source):
    """The main part and its surroundings in the root folder."""

    def change(name, data):
        if name == "_rels/.rels" or name == TYPES:
            data = data.replace(b"xl/workbook.xml", b"book.xml").replace(b"/xl/", b"/")
        if name.endswith(".rels"):
            data = data.replace(b"/xl/", b"/")
        return name.replace("xl/_rels/workbook", "_rels/book").replace("xl/workbook", "book").replace("xl/", ""), data

    return with_parts(source, change)


def streamed(source):
    """Written to a pipe: the sizes stand behind each entry."""
    target = io.BytesIO()
    pipe = type(
        "Pipe", (io.RawIOBase,), {"writable": lambda self: True, "write": lambda self, data: target.write(data)}
    )()
    with zipfile.ZipFile(io.BytesIO(source)) as archive, zipfile.ZipFile(pipe, "w", zipfile.ZIP_DEFLATED) as out:
        for name in archive.namelist():
            out.writestr(name, archive.read(name))
    return target.getvalue()


def without_usual_types(data):
    """Every part named in the list of types, none known by its ending."""
    text = re.sub(r"<Default [^>]*/>", "", data.decode())
    kind = "application/vnd.openxmlformats-package.relationships+xml"
    lists = [name for name in names(makers()) if name.endswith(".rels")]
    named = "".join(f'<Override PartName="/{name}" ContentType="{kind}"/>' for name in lists)
    media = "application/vnd.openxmlformats-officedocument.vmlDrawing"
    shapes = "".join(
        f'<Override PartName="/{name}" ContentType="{media}"/>' for name in names(makers()) if name.endswith(".vml")
    )
    return text.replace("</Types>", named + shapes + "</Types>").encode()


MAKES = {
    "as a library writes it": lambda source: source,
    "strict": strict,
    "UTF-16": only(WORKBOOK, lambda data: data.decode().replace("utf-8", "utf-16").encode("utf-16")),
    "byte order marks": lambda source: with_parts(
        source, lambda name, data: (name, b"\xef\xbb\xbf" + data if name.endswith(("l", ".rels")) else data)
    ),
    "prefixes": only(WORKBOOK, prefixed),
    "main part elsewhere": moved,
    "streamed": streamed,
    "backslashes": lambda source: with_parts(source, lambda name, data: (name.replace("/", "\\"), data)),
    "no usual types": only(TYPES, without_usual_types),
    "many deleted sheets": only(WORKBOOK, lambda data: data.replace(b'sheetId="1"', b'sheetId="65534"')),
}


@pytest.mark.parametrize("make", MAKES)
def test_a_package_of_any_make_keeps_its_bytes_and_is_refreshed_in_place(make, rich_sheets, nothing_lost, tmp_path):
    source = MAKES[make](makers())
    after, report = grafted(source, rich_sheets)
    nothing_lost(source, after)
    assert grafted(after, rich_sheets)[0] == after
    path = tmp_path / "job.xlsx"
    path.write_bytes(after)
    book = open_workbook(path)
    assert book.result_sheets() == report.names == {"overview": "Overview", "cut_plan": "Cut plan"}
    assert book.sheets[0].cells[2, 2].value == 640
    assert book.problems == [] or all(problem.sheet == "Rack" for problem in book.problems)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("<a><b/></a>", "<a><b/>more</a>"),
        ("<a><b/></a>", "<a></a>"),
        ('<a x="1"/>', '<a x="2"/>'),
        ("<a><b/><c/></a>", "<a><c/><b/></a>"),
        ("<a> <b/></a>", "<a><b/></a>"),
    ],
)
def test_the_check_notices_what_is_lost(inserted_elements, before, after):
    with pytest.raises((AssertionError, IndexError)):
        inserted_elements(before, after)


def test_the_check_names_what_is_put_in(inserted_elements):
    before = '<a count="1"><b/><c/></a>'
    assert inserted_elements(before, '<a count="3"><b/><x:d>text<e/></x:d><c><f/></c></a>') == {"d", "f"}


@pytest.mark.office
def test_a_workbook_that_an_office_program_saved_is_refreshed_in_place(rich_sheets, nothing_lost, tmp_path):
    office = shutil.which("soffice")
    if office is None:
        pytest.skip("LibreOffice is not on the machine")
    (tmp_path / "job.xlsx").write_bytes(grafted(makers(), rich_sheets)[0])
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    command = [office, profile, "--headless", "--convert-to", "xlsx", "--outdir", str(tmp_path / "saved"), "job.xlsx"]
    subprocess.run(command, cwd=tmp_path, check=True, capture_output=True, timeout=180)
    saved = (tmp_path / "saved" / "job.xlsx").read_bytes()
    assert 'hidden="1"' not in read(saved, WORKBOOK)
    after, report = grafted(saved, rich_sheets)
    assert report.names == {"overview": "Overview", "cut_plan": "Cut plan"}
    assert loaded(after).sheetnames == ["Rack", "Overview", "Cut plan"]
    assert len([name for name in names(after) if "charts/chart" in name]) == 6
    assert len([name for name in names(after) if "media/" in name]) == 2
    assert loaded(after)["Cut plan"].tables["cut_passes"].ref == "A5:D17"
    kept = set(names(saved)) & set(names(after)) - {WORKBOOK, TYPES, POINTERS, "xl/styles.xml"}
    theirs = {name for name in kept if "sheet1" in name or "theme" in name or "docProps" in name or "Strings" in name}
    assert {name: read(after, name) for name in theirs} == {name: read(saved, name) for name in theirs}


def test_broken_parts_that_nobody_has_to_read_are_no_reason_to_refuse(rich_sheets, nothing_lost):
    broken = {"xl/tables/table1.xml", "xl/worksheets/sheet1.xml"}
    source = makers(lambda book: book.active.add_table(ForeignTable(displayName="Rack_list", ref="A1:B2")))
    source = with_parts(
        source, lambda name, data: (name, b"<broken" if name in broken or name[-4:] == ".vml" else data)
    )
    after, _ = grafted(source, rich_sheets)
    nothing_lost(source, after)
    assert grafted(after, rich_sheets)[0] == after


ROOT = Path(__file__).parents[2]
OURS = [
    path
    for folder in ("tests/golden", "demo_workbooks", "templates")
    for path in sorted((ROOT / folder).glob("*.xls[xm]"))
]


@pytest.mark.parametrize("path", OURS, ids=lambda path: path.name)
def test_the_projects_own_workbooks_lose_nothing(path, rich_sheets, nothing_lost):
    before = path.read_bytes()
    extra = [dataclasses.replace(sheet, key=f"test_{sheet.key}") for sheet in rich_sheets]
    after, _ = grafted(before, extra)
    nothing_lost(before, after)
    assert grafted(after, extra)[0] == after


def test_there_are_workbooks_that_an_office_program_saved():
    assert any(path.parent.name == "golden" for path in OURS)


def test_a_page_begins_where_the_sheet_says():
    rows = [[ReportCell(f"row {number}")] for number in range(1, 9)]
    after, _ = grafted(makers(), [ReportSheet("note", "Note", rows, [20], page_starts=[4, 7])])
    breaks = loaded(after)["Note"].row_breaks.brk
    assert [(one.id, one.man) for one in breaks] == [(3, True), (6, True)]


def test_a_row_of_headings_is_as_high_as_the_lines_that_its_type_needs():
    """Standard error (in) takes 15.8 digits of heavy type: two lines of 13 points in 12 digits, one in 18.

    A row is a whole number of pixels high, of 0.75 points each.
    """
    for width, height in ((12, 27.75), (18, None)):
        rows = [[ReportCell("Standard error (in)", Look.NUMBER_HEADING)], [ReportCell(0.0002)]]
        after, _ = grafted(makers(), [ReportSheet("note", "Note", rows, [width])])
        assert loaded(after)["Note"].row_dimensions[1].height == height
