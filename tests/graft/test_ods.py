"""Grafting into .ods files made here with odfpy."""

import io
import re
import zipfile

import pytest
from lxml import etree
from odf.namespaces import DRAWNS, FONS, OFFICENS, SVGNS, TABLENS, TEXTNS, XLINKNS, nsdict
from odf.opendocument import OpenDocumentSpreadsheet, load
from odf.style import Style, TableCellProperties
from odf.table import DatabaseRange, DatabaseRanges, NamedExpressions, NamedRange, Table, TableCell, TableRow
from odf.text import P

from sheetkit.errors import DamagedWorkbook, NotAWorkbook, ProtectedWorkbook, SignedWorkbook
from sheetkit.graft.ods import LANDSCAPE_PAGE, UPRIGHT_PAGE, graft_ods
from sheetkit.report.model import Area, Link, Look, ReportCell, ReportSheet
from sheetkit.report.model import Table as NamedTable

MEMBERS_A_GRAFT_MAY_EDIT = {"content.xml", "META-INF/manifest.xml"}


def makers_workbook(*, protected=False, names=False, ranges=False, more=()):
    """A sheet named Stock with one row, and whatever else is asked for."""
    document = OpenDocumentSpreadsheet()
    style = Style(name="ce1", family="table-cell")
    style.addElement(TableCellProperties(backgroundcolor="#ffff00"))
    document.automaticstyles.addElement(style)
    for name in ("Stock", *more):
        table = Table(name=name)
        row = TableRow()
        cell = TableCell(stylename=style, valuetype="string")
        cell.addElement(P(text="walnut & ash"))
        row.addElement(cell)
        table.addElement(row)
        document.spreadsheet.addElement(table)
    if names:
        holder = NamedExpressions()
        holder.addElement(NamedRange(name="boards", cellrangeaddress="$Stock.$A$1", basecelladdress="$Stock.$A$1"))
        document.spreadsheet.addElement(holder)
    if ranges:
        holder = DatabaseRanges()
        holder.addElement(DatabaseRange(name="sheetkit_passes", targetrangeaddress="Stock.A1:Stock.A1"))
        document.spreadsheet.addElement(holder)
    if protected:
        document.spreadsheet.setAttribute("structureprotected", "true")
    target = io.BytesIO()
    document.save(target)
    return target.getvalue()


def plan(**changes):
    rows = [
        [ReportCell("Pass", Look.HEADING), ReportCell("Set", Look.HEADING)],
        [ReportCell(1), ReportCell(1.5, number_format="0.000")],
    ]
    given = {"key": "cut_plan", "name": "Cut plan", "rows": rows, "column_widths": [8, 8]}
    given |= {"tables": [NamedTable("passes", Area(1, 1, 2, 2))]} | changes
    return ReportSheet(**given)


def summary(**changes):
    rows = [
        [ReportCell("Summary", Look.TITLE)],
        [ReportCell(3.0, formula="='Cut plan'!B2*2")],
        [ReportCell("there", link=Link("Cut plan", "B2"))],
    ]
    return ReportSheet(**({"key": "summary", "name": "Summary", "rows": rows, "column_widths": [10]} | changes))


def grafted(workbook, sheets, **options):
    out = io.BytesIO()
    report = graft_ods(io.BytesIO(workbook), sheets, out, **options)
    return out.getvalue(), report


def member(workbook, name="content.xml"):
    with zipfile.ZipFile(io.BytesIO(workbook)) as archive:
        return archive.read(name)


def with_member(workbook, name, change):
    """The workbook with a member's bytes changed, or added where there is none."""
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook)) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            data = old.read(info)
            new.writestr(info, change(data) if info.filename == name else data)
        if name not in old.namelist():
            new.writestr(name, change(b""))
    return target.getvalue()


def edited(workbook, old, new):
    """The workbook with a text of content.xml changed everywhere, as if a spreadsheet program had done it."""

    def change(data):
        assert old.encode() in data
        return data.replace(old.encode(), new.encode())

    return with_member(workbook, "content.xml", change)


def tree(workbook, name="content.xml"):
    return etree.fromstring(member(workbook, name))


def table_names(workbook):
    return [table.get(f"{{{TABLENS}}}name") for table in tree(workbook).iter(f"{{{TABLENS}}}table")]


def marks(workbook):
    return {
        name.get(f"{{{TABLENS}}}name"): name.get(f"{{{TABLENS}}}cell-range-address")
        for name in tree(workbook).iter(f"{{{TABLENS}}}named-range")
    }


def test_new_sheets_go_behind_the_makers_and_are_marked():
    workbook, report = grafted(makers_workbook(), [summary(), plan()])
    assert table_names(workbook) == ["Stock", "Summary", "Cut plan"]
    assert marks(workbook) == {
        "sheetkit_result_summary": "$Summary.$A$1",
        "sheetkit_result_cut_plan": "$'Cut plan'.$A$1",
    }
    assert report.names == {"summary": "Summary", "cut_plan": "Cut plan"}
    assert report.kept == ()


def test_only_two_members_change():
    before = makers_workbook()
    after, _ = grafted(before, [summary(), plan()])
    with zipfile.ZipFile(io.BytesIO(before)) as old, zipfile.ZipFile(io.BytesIO(after)) as new:
        assert new.namelist() == old.namelist()
        changed = {name for name in old.namelist() if old.read(name) != new.read(name)}
    assert changed == {"content.xml"}
    assert changed <= MEMBERS_A_GRAFT_MAY_EDIT


def test_grafting_again_changes_no_byte(rich_sheets):
    once, _ = grafted(makers_workbook(names=True, ranges=True), [*rich_sheets, summary()])
    assert grafted(once, [*rich_sheets, summary()])[0] == once


def test_elements_behind_the_sheets_keep_their_order():
    """OASIS OpenDocument 1.3 part 3, 3.7: tables, named expressions, database ranges."""
    for options in ({}, {"names": True}, {"ranges": True}, {"names": True, "ranges": True}):
        workbook, _ = grafted(makers_workbook(**options), [plan()])
        spreadsheet = tree(workbook).find(f".//{{{OFFICENS}}}spreadsheet")
        kinds = [etree.QName(child).localname for child in spreadsheet]
        assert kinds == ["table", "table", "named-expressions", "database-ranges"]


def test_a_sheet_the_maker_renamed_keeps_that_name_and_what_leads_there_follows():
    once, _ = grafted(makers_workbook(), [summary(), plan()])
    renamed = edited(once, "Cut plan", "What to saw")
    twice, report = grafted(renamed, [summary(), plan()])
    assert report.names["cut_plan"] == "What to saw"
    assert table_names(twice) == ["Stock", "Summary", "What to saw"]
    content = member(twice).decode()
    assert "Cut plan" not in content
    assert "table:formula=\"of:=[$'What to saw'.B2]*2\"" in content
    assert "xlink:href=\"#'What to saw'.B2\"" in content


def test_a_sheet_the_maker_moved_stays_where_it_is():
    once, _ = grafted(makers_workbook(), [plan()])
    content = member(once).decode()
    ours = re.search(r'<table:table table:name="Cut plan".*?</table:table>', content)[0]
    moved = content.replace(ours, "").replace("<table:table ", f"{ours}<table:table ", 1)
    workbook = with_member(once, "content.xml", lambda _: moved.encode())
    twice, _ = grafted(workbook, [plan()])
    assert table_names(twice) == ["Cut plan", "Stock"]
    assert member(twice) == moved.encode()


def test_a_sheet_the_maker_deleted_is_made_again_at_the_end():
    """LibreOffice leaves the mark with a lost reference."""
    once, _ = grafted(makers_workbook(), [plan(tables=[]), summary()])
    content = member(once).decode()
    ours = re.search(r'<table:table table:name="Cut plan".*?</table:table>', content)[0]
    lost = content.replace(ours, "").replace("$'Cut plan'.$A$1", "$#REF!.$A$1")
    twice, report = grafted(with_member(once, "content.xml", lambda _: lost.encode()), [plan(tables=[]), summary()])
    assert report.names == {"cut_plan": "Cut plan", "summary": "Summary"}
    assert table_names(twice) == ["Stock", "Summary", "Cut plan"]
    assert marks(twice)["sheetkit_result_cut_plan"] == "$'Cut plan'.$A$1"


def test_a_marked_sheet_that_is_said_to_be_the_makers_keeps_its_bytes_and_loses_the_mark():
    once, _ = grafted(makers_workbook(), [plan()])
    theirs = re.search(r'<table:table table:name="Cut plan".*?</table:table>', member(once).decode())[0]
    twice, report = grafted(once, [plan()], not_ours=["cut PLAN"])
    assert report.names == {"cut_plan": "Cut plan (2)"}
    assert table_names(twice) == ["Stock", "Cut plan", "Cut plan (2)"]
    assert theirs in member(twice).decode()
    assert marks(twice) == {"sheetkit_result_cut_plan": "$'Cut plan (2)'.$A$1"}
    assert grafted(twice, [plan()])[0] == twice


def test_a_copy_the_maker_made_is_left_alone_with_its_look():
    once, _ = grafted(makers_workbook(), [plan()])
    content = member(once).decode()
    ours = re.search(r'<table:table table:name="Cut plan".*?</table:table>', content)[0]
    copy = ours.replace('table:name="Cut plan"', 'table:name="My copy"')
    workbook = edited(once, ours, ours + copy)
    twice, _ = grafted(workbook, [plan(name="Plan")])
    assert copy in member(twice).decode()
    used = set(re.findall(r'style-name="(sheetkit[^"]*)"', member(twice).decode()))
    defined = set(re.findall(r'style:name="(sheetkit[^"]*)"', member(twice).decode()))
    assert used <= defined
    assert grafted(twice, [plan(name="Plan")])[0] == twice


def test_a_makers_sheet_with_our_name_is_left_alone():
    before = makers_workbook(more=("summary",))
    after, report = grafted(before, [summary()])
    assert report.names == {"summary": "Summary (2)"}
    assert table_names(after) == ["Stock", "summary", "Summary (2)"]


def test_a_result_sheet_not_given_stands_as_it_was():
    once, _ = grafted(makers_workbook(), [summary(), plan()])
    twice, report = grafted(once, [summary()])
    assert report.kept == ("cut_plan",)
    plan_in = re.compile(rb'<table:table table:name="Cut plan".*?</table:table>')
    assert plan_in.search(member(twice))[0] == plan_in.search(member(once))[0]
    again, report = grafted(twice, [summary(), plan()])
    assert report.kept == ()
    assert grafted(again, [summary(), plan()])[0] == again


def test_a_tab_the_maker_hid_stays_hidden():
    once, _ = grafted(makers_workbook(), [plan()])
    hidden = edited(once, 'table:display="true"', 'table:display="false"')
    twice, _ = grafted(hidden, [plan()])
    assert b'table:display="false"' in member(twice)
    assert b'table:display="true"' not in member(twice)


def test_names_that_belong_to_our_sheet_alone_stay():
    once, _ = grafted(makers_workbook(), [plan()])
    own = (
        '<table:named-expressions><table:named-range table:name="first_pass" '
        "table:cell-range-address=\"$'Cut plan'.$A$2\"/></table:named-expressions>"
    )
    content = member(once).decode()
    at = content.index("</table:table>", content.index('table:name="Cut plan"'))
    with_name = content[:at] + own + content[at:]
    twice, _ = grafted(with_member(once, "content.xml", lambda _: with_name.encode()), [plan()])
    assert member(twice) == with_name.encode()


def test_old_charts_and_pictures_go_without_leaving_anything(rich_sheets):
    overview, cut_plan = rich_sheets
    once, _ = grafted(makers_workbook(), rich_sheets)
    bare = [
        ReportSheet(overview.key, overview.name, [[ReportCell("nothing")]], [10]),
        ReportSheet(cut_plan.key, cut_plan.name, [[ReportCell("nothing")]], [10]),
    ]
    twice, _ = grafted(once, bare)
    with zipfile.ZipFile(io.BytesIO(twice)) as archive:
        assert not [name for name in archive.namelist() if "sheetkit" in name]
    assert b"sheetkit" not in member(twice, "META-INF/manifest.xml")
    assert member(twice, "META-INF/manifest.xml") == member(makers_workbook(), "META-INF/manifest.xml")


def test_a_picture_that_something_else_shows_too_stays(rich_sheets):
    once, _ = grafted(makers_workbook(), rich_sheets)
    content = member(once).decode()
    frame = re.search(r'<draw:frame [^>]*><draw:image xlink:href="(Pictures/[^"]*)".*?</draw:frame>', content)
    declared = " ".join(f'xmlns:{nsdict[each]}="{each}"' for each in (DRAWNS, SVGNS, XLINKNS))
    moved = frame[0].replace("<draw:frame ", f"<draw:frame {declared} ", 1)
    mine = content.replace("<text:p>walnut", f"{moved}<text:p>walnut", 1)
    workbook = with_member(once, "content.xml", lambda _: mine.encode())
    bare = [ReportSheet(sheet.key, sheet.name, [], [10]) for sheet in rich_sheets]
    twice, _ = grafted(workbook, bare)
    with zipfile.ZipFile(io.BytesIO(twice)) as archive:
        assert [name for name in archive.namelist() if "sheetkit" in name] == [frame[1]]
    assert f'"{frame[1]}"'.encode() in member(twice, "META-INF/manifest.xml")


def test_a_link_to_some_other_member_never_removes_it(rich_sheets):
    once, _ = grafted(makers_workbook(), rich_sheets)
    crafted = re.sub(rb'href="Pictures/sheetkit[^"]*"', b'href="meta.xml"', member(once))
    twice, _ = grafted(with_member(once, "content.xml", lambda _: crafted), rich_sheets)
    assert member(twice, "meta.xml") == member(once, "meta.xml")


def test_text_that_looks_like_a_formula_stays_text():
    texts = ["=1+1", "+3", "-x", "@home", "=cmd|' /C calc'!A0"]
    sheet = plan(rows=[[ReportCell(text)] for text in texts], tables=[])
    content = tree(grafted(makers_workbook(), [sheet])[0])
    table = content.findall(f".//{{{TABLENS}}}table")[1]
    cells = list(table.iter(f"{{{TABLENS}}}table-cell"))
    assert [cell.get(f"{{{OFFICENS}}}value-type") for cell in cells if len(cell)] == ["string"] * 5
    assert [cell.findtext(f"{{{TEXTNS}}}p") for cell in cells if len(cell)] == texts
    assert not [cell for cell in cells if cell.get(f"{{{TABLENS}}}formula")]


def test_blanks_tabs_and_lines_are_kept():
    sheet = plan(rows=[[ReportCell("  two  blanks \tend\nnext\x07")]], tables=[])
    content = member(grafted(makers_workbook(), [sheet])[0]).decode()
    assert (
        '<text:p><text:s text:c="2"/>two <text:s text:c="1"/>blanks <text:tab/>end</text:p><text:p>next\ufffd</text:p>'
    ) in content


def test_numbers_dates_and_results_are_stored_as_what_they_are():
    from datetime import date

    rows = [
        [ReportCell(0.1, number_format="0%"), ReportCell(True), ReportCell(date(2031, 3, 9))],
        [
            ReportCell("yes", formula='=IF(B1,"yes","no")'),
            ReportCell(2, formula="=1+1"),
            ReportCell(None, Look.TO_FILL),
        ],
    ]
    content = member(grafted(makers_workbook(), [plan(rows=rows, tables=[])])[0]).decode()
    for stored in (
        'office:value-type="percentage" office:value="0.1"><text:p>10%</text:p>',
        'office:value-type="boolean" office:boolean-value="true"><text:p>TRUE</text:p>',
        'office:value-type="date" office:date-value="2031-03-09"><text:p>2031-03-09</text:p>',
        'table:formula="of:=IF([.B1];&quot;yes&quot;;&quot;no&quot;)" office:value-type="string"><text:p>yes</text:p>',
        'table:formula="of:=1+1" office:value-type="float" office:value="2"><text:p>2</text:p>',
    ):
        assert stored in content


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_value_that_is_no_number_is_refused(value):
    with pytest.raises(ValueError, match="is no number that a cell can hold"):
        grafted(makers_workbook(), [plan(rows=[[ReportCell(value)]], tables=[])])


def test_a_cell_under_a_span_is_refused():
    rows = [[ReportCell("wide", columns=2), ReportCell("hidden")]]
    with pytest.raises(ValueError, match="Cut plan!B1 lies under a cell that spans it"):
        grafted(makers_workbook(), [plan(rows=rows, tables=[])])


def test_two_sheets_of_one_name_are_refused():
    with pytest.raises(ValueError, match="two result sheets with one key or one name"):
        grafted(makers_workbook(), [plan(), summary(name="CUT PLAN")])


def test_without_sheets_the_workbook_stays_as_it_is():
    before = makers_workbook()
    after, report = grafted(before, [])
    assert member(after) == member(before)
    assert report.names == {}


def test_odfpy_reads_the_result(rich_sheets):
    workbook, _ = grafted(makers_workbook(), rich_sheets)
    document = load(io.BytesIO(workbook))
    names = [table.getAttribute("name") for table in document.spreadsheet.getElementsByType(Table)]
    assert names == ["Stock", "Overview", "Cut plan"]


def test_a_locked_list_of_sheets_is_refused_for_new_sheets_only():
    with pytest.raises(ProtectedWorkbook) as refused:
        grafted(makers_workbook(protected=True), [plan()])
    assert str(refused.value) == (
        "the workbook: found a locked list of sheets, wanted one that sheets can be added to. "
        "To fix: unlock it in the spreadsheet program (it protects the structure of the spreadsheet)."
    )
    once, _ = grafted(makers_workbook(), [plan()])
    locked = edited(once, "<office:spreadsheet>", '<office:spreadsheet table:structure-protected="true">')
    assert grafted(locked, [plan()])[0] == grafted(grafted(locked, [plan()])[0], [plan()])[0]


def test_a_signed_workbook_is_refused_unless_allowed():
    signed = with_member(makers_workbook(), "META-INF/documentsignatures.xml", lambda _: b"<s/>")
    with pytest.raises(SignedWorkbook) as refused:
        grafted(signed, [plan()])
    assert str(refused.value) == (
        "the workbook: found a digital signature, wanted a workbook that may be changed. To fix: work on a copy saved "
        "without a signature, or allow it, which makes the signature worthless."
    )
    after, _ = grafted(signed, [plan()], allow_signed=True)
    assert member(after, "META-INF/documentsignatures.xml") == b"<s/>"


def test_a_document_type_is_refused():
    doctype = '<!DOCTYPE office:document-content [<!ENTITY e "x">]><office:document-content'
    with pytest.raises(DamagedWorkbook) as refused:
        grafted(edited(makers_workbook(), "<office:document-content", doctype), [plan()])
    assert str(refused.value) == (
        "the workbook (content.xml): found a document type declaration, wanted a sound workbook. "
        "To fix: open it in the spreadsheet program and save it again."
    )


def test_a_workbook_of_the_other_format_is_refused():
    import openpyxl

    target = io.BytesIO()
    openpyxl.Workbook().save(target)
    with pytest.raises(NotAWorkbook) as refused:
        graft_ods(target, [plan()], io.BytesIO())
    assert str(refused.value) == (
        "the workbook: found an .xlsx workbook, wanted an .ods workbook. To fix: name the file after what it holds."
    )


@pytest.mark.parametrize(
    ("name", "content", "found"),
    [
        ("content.xml", b'<o:d xmlns:o="urn:oasis:names:tc:opendocument:xmlns:office:1.0"/>', "no list of sheets"),
        ("META-INF/manifest.xml", None, "no part named META-INF/manifest.xml"),
    ],
)
def test_an_ods_without_what_every_ods_has_is_refused(name, content, found):
    source, target = zipfile.ZipFile(io.BytesIO(makers_workbook())), io.BytesIO()
    with zipfile.ZipFile(target, "w") as changed:
        for info in source.infolist():
            if info.filename != name or content is not None:
                changed.writestr(info, content if info.filename == name else source.read(info))
    with pytest.raises(DamagedWorkbook) as refused:
        grafted(target.getvalue(), [plan()])
    where = "the workbook (content.xml)" if name == "content.xml" else "the workbook"
    assert str(refused.value) == (
        f"{where}: found {found}, wanted a sound workbook. "
        "To fix: open it in the spreadsheet program and save it again."
    )


def test_other_prefixes_and_no_automatic_styles_are_coped_with():
    content = (
        '<d xmlns="urn:oasis:names:tc:opendocument:xmlns:office:1.0">'.replace("<d", "<document-content")
        + '<body><spreadsheet xmlns:t="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:table="urn:other">'
        + '<t:table t:name="Stock"><t:table-row><t:table-cell/></t:table-row></t:table>'
        + "</spreadsheet></body></document-content>"
    ).encode()
    once, _ = grafted(with_member(makers_workbook(), "content.xml", lambda _: content), [plan(), summary()])
    assert table_names(once) == ["Stock", "Cut plan", "Summary"]
    root = tree(once)
    assert [etree.QName(child).localname for child in root] == ["automatic-styles", "body"]
    styles = {style.get(name) for style in root[0] for name in style.attrib if name.endswith("}name")}
    used = {table.get(f"{{{TABLENS}}}style-name") for table in root.iter(f"{{{TABLENS}}}table")} - {None}
    assert used <= styles
    formula = next(cell for cell in root.iter(f"{{{TABLENS}}}table-cell") if cell.get(f"{{{TABLENS}}}formula"))
    assert formula.nsmap["of"] == "urn:oasis:names:tc:opendocument:xmlns:of:1.2"
    assert grafted(once, [plan(), summary()])[0] == once


@pytest.mark.parametrize("encoding", ["utf-16", "iso-8859-1", "utf-8-sig"])
def test_other_encodings_stay(encoding):
    declared = "utf-8" if encoding == "utf-8-sig" else encoding

    def recoded(data):
        text = re.sub(r"^<\?xml.*?\?>", "", data.decode().replace("walnut & ash", "nußbaum")).lstrip()
        return f'<?xml version="1.0" encoding="{declared}"?>\n{text}'.encode(encoding)

    before = with_member(makers_workbook(), "content.xml", recoded)
    sheet = plan(rows=[[ReportCell("木 ü")]], tables=[])
    after, _ = grafted(before, [sheet])
    assert member(after)[:40] == member(before)[:40]
    assert "".join(tree(after).xpath("//*[local-name()='table'][2]//*[local-name()='p']/text()")) == "木 ü"
    assert grafted(after, [sheet])[0] == after


def test_style_names_of_the_makers_that_look_like_ours_are_kept_apart():
    mine = makers_workbook()
    taken = edited(edited(mine, 'style:name="ce1"', 'style:name="sheetkit-ce1"'), '"ce1"', '"sheetkit-ce1"')
    after, _ = grafted(taken, [plan()])
    names = re.findall(r'style:name="([^"]*)"', member(after).decode())
    assert len(names) == len(set(names))
    assert names[0] == "sheetkit-ce1"
    assert all(name.startswith("sheetkit2-") for name in names[1:])


def test_a_filter_range_of_the_makers_keeps_its_name():
    after, _ = grafted(makers_workbook(ranges=True), [plan()])
    found = [
        (area.get(f"{{{TABLENS}}}name"), area.get(f"{{{TABLENS}}}target-range-address"))
        for area in tree(after).iter(f"{{{TABLENS}}}database-range")
    ]
    assert found == [
        ("sheetkit_passes", "Stock.A1:Stock.A1"),
        ("sheetkit_passes_2", "'Cut plan'.$A$1:'Cut plan'.$B$2"),
    ]


def test_sheets_across_the_paper_use_the_files_own_page_for_it():
    before = makers_workbook()
    page = f'<style:master-page style:name="{LANDSCAPE_PAGE}" style:page-layout-name="x"/>'
    page = f"<office:master-styles>{page}</office:master-styles></office:document-styles>".encode()
    ready = with_member(before, "styles.xml", lambda data: data.replace(b"</office:document-styles>", page))
    across = f'style:master-page-name="{LANDSCAPE_PAGE}"'.encode()
    assert across in member(grafted(ready, [plan(landscape=True)])[0])
    assert across not in member(grafted(ready, [plan()])[0])
    # 8 columns of 10 characters are as wide as an upright page of A4 leaves room for, 9 are wider.
    assert across not in member(grafted(ready, [plan(column_widths=[10] * 8)])[0])
    assert across in member(grafted(ready, [plan(column_widths=[10] * 9)])[0])
    assert across not in member(grafted(before, [plan(landscape=True)])[0])


def test_other_sheets_use_the_files_own_upright_page_however_wide_they_are():
    """It fits their width, as the landscape page does."""
    page = "".join(
        f'<style:master-page style:name="{name}" style:page-layout-name="x"/>'
        for name in (LANDSCAPE_PAGE, UPRIGHT_PAGE)
    )
    page = f"<office:master-styles>{page}</office:master-styles></office:document-styles>".encode()
    ready = with_member(makers_workbook(), "styles.xml", lambda data: data.replace(b"</office:document-styles>", page))
    for changes, name in (
        ({"landscape": True}, LANDSCAPE_PAGE),
        ({"column_widths": [10] * 9}, UPRIGHT_PAGE),
        ({}, UPRIGHT_PAGE),
    ):
        drawn = member(grafted(ready, [plan(**changes)])[0])
        assert re.findall(rb'style:master-page-name="(\w+)"', drawn) == [name.encode()]


def test_a_page_begins_where_the_sheet_says():
    rows = [[ReportCell(f"row {number}")] for number in range(1, 9)]
    book = load(io.BytesIO(grafted(makers_workbook(), [plan(rows=rows, tables=[], page_starts=[4, 7])])[0]))
    turning = {
        one.getAttribute("name")
        for one in book.getElementsByType(Style)
        if one.firstChild is not None and one.firstChild.getAttrNS(FONS, "break-before") == "page"
    }
    [sheet] = [one for one in book.getElementsByType(Table) if one.getAttribute("name") == "Cut plan"]
    styles = [row.getAttribute("stylename") for row in sheet.getElementsByType(TableRow)]
    assert [number for number, style in enumerate(styles, 1) if style in turning] == [4, 7]
