"""Which documents the button takes, what it says of the others, and where it goes afterwards."""

import zipfile

import pytest

from sheetkit.button.document import Document, Place, signed, where_to, why_not

SAVE_AS = "To fix: File > Save As, into a folder of yours, as .xlsx or .ods; then press the button there."
FINE = Document(spreadsheet=True, title="job.ods", path="/shop/job.ods", read_only=False, password=False)


@pytest.mark.parametrize("path", ["/shop/job.ods", "/shop/job.xlsx", "/shop/JOB.XLSM"])
def test_a_workbook_of_the_three_kinds_on_disk_is_taken(path):
    assert why_not(FINE._replace(path=path)) is None


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"spreadsheet": False}, "This is no spreadsheet. Open the workbook of your job, and press the button there."),
        (
            {"path": "", "title": "Untitled 1"},
            "Untitled 1 is not kept on a disk of this machine yet, and only a file there can be refreshed. " + SAVE_AS,
        ),
        (
            {"path": "/shop/job.xls"},
            f"job.xls is none of the kinds of file that sheetkit works in: .xlsx, .xlsm, .ods. {SAVE_AS}",
        ),
        (
            {"password": True},
            "job.ods is protected by a password, and sheetkit cannot look inside. To fix: File > Save As, without the "
            "mark at Save with password, if the workbook need not be protected.",
        ),
        (
            {"read_only": True},
            "job.ods is open for reading only, so the results cannot be put into it. Perhaps it came with a mail, "
            f"somebody else has it open, or the file is write-protected. {SAVE_AS}",
        ),
    ],
)
def test_what_stands_in_the_way_is_said_with_the_way_out(change, said):
    assert why_not(FINE._replace(**change)) == said


@pytest.mark.parametrize("entry", ["_xmlsignatures/origin.sigs", "META-INF/documentsignatures.xml"])
def test_a_signed_file_is_left_alone(entry, tmp_path):
    path = tmp_path / "job.xlsx"
    with zipfile.ZipFile(path, "w") as package:
        package.writestr(entry, "")
    assert signed(path)
    assert why_not(FINE._replace(path=str(path))) == (
        "job.xlsx is digitally signed, and any change breaks the signature. To fix: File > Save As under another name, "
        "and press the button there."
    )


def test_a_file_that_is_no_package_is_not_signed(tmp_path):
    (tmp_path / "job.xlsx").write_text("no package")
    assert not signed(tmp_path / "job.xlsx")
    assert not signed(tmp_path / "gone.xlsx")


@pytest.mark.parametrize(
    ("before", "summary", "after", "shown"),
    [
        (("Stock", "Targets"), "Summary", ("Stock", "Targets", "Summary"), "Summary"),
        (("Stock", "Summary"), "Summary", ("Stock", "Summary"), "Stock"),
        (("Stock", "Summary"), "", ("Stock", "Summary"), "Stock"),
        (("Stock", "Summary"), "Summary", ("Summary",), "Summary"),
        (("Stock",), "", ("Targets",), None),
    ],
)
def test_the_maker_comes_back_to_where_he_was_or_to_a_new_summary(before, summary, after, shown):
    assert where_to(Place("Stock", None, (0, 0), before), summary, after) == shown
