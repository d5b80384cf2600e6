"""Which rows of a table are records."""

import pytest

from sheetkit.errors import Harm

STOCK = ["Board", "Species", "Thickness (in)"]
FIRST, SECOND = ["E1", "wenge", 1.5], ["E2", "padauk", 1.25]


def boards(inputs):
    return [(row.place.row, row.board) for row in inputs.boards]


PLAIN_TOTALS = [
    "Total",
    "TOTALS:",
    "Sum",
    "Sub-total",
    "Subtotal",
    "Grand total",
    "Average",
    "Avg.",
    "Mean",
    "Max",
    "Std dev",
    "Summe",
    "Mittelwert:",
    "Gesamt",
    "Moyenne",
    "Total général",
    "Totale",
    "Media",
    "Gemiddelde",
    "Σ",
    "合計",
]
LONGER_TOTALS = ["Mean of 2", "Count: 2", "Wenge Total", "Sum of the above"]


@pytest.mark.parametrize(
    ("label", "column"),
    [(label, column) for label in PLAIN_TOTALS for column in (0, 1, 3)]
    + [(label, column) for label in LONGER_TOTALS for column in (0, 1)],
)
def test_a_total_row_in_any_wording_is_no_record(read, label, column):
    """Column 3 is the maker's own, beside the table: there only the bare word counts."""
    total = [None, None, 2.75, None]
    total[column] = label
    inputs = read(Stock=[[*STOCK, None], FIRST, SECOND, total, ["E3", "wenge", 1]])
    assert boards(inputs) == [(2, "E1"), (3, "E2"), (5, "E3")]
    assert [problem.harm for problem in inputs.problems if problem.sheet == "Stock"] == [Harm.NOTED]


@pytest.mark.parametrize("name", ["Totara", "Max-1", "Summer", "SD-3", "Mean 1", "Sum-1", "Countess", "Min 2"])
def test_a_board_whose_name_only_begins_like_a_total_is_a_board(read, name):
    assert boards(read(Stock=[STOCK, FIRST, [name, "wenge", 1]])) == [(2, "E1"), (3, name)]


def test_a_board_called_total_with_all_it_needs_is_a_board(read):
    assert boards(read(Stock=[STOCK, FIRST, ["Total", "wenge", 1]])) == [(2, "E1"), (3, "Total")]


def test_an_unlabelled_row_of_sums_is_no_record(read, at):
    formula = {"value": 2.75, "formula": "=SUM(C2:C3)"}
    inputs = read(
        Stock=[STOCK, FIRST, SECOND, [None, None, formula], ["E3", "wenge", {"value": 1.0, "formula": "=C2-0.5"}]]
    )
    assert boards(inputs) == [(2, "E1"), (3, "E2"), (5, "E3")]
    assert at(inputs, "Stock!C4")[0].found == "the formula =SUM(C2:C3), taken for a total row"


def test_blank_rows_and_cells_of_spaces_do_not_end_the_table(read):
    assert boards(read(Stock=[STOCK, FIRST, [], ["  ", "\u00a0"], SECOND])) == [(2, "E1"), (5, "E2")]


def test_a_row_struck_through_is_left_out_and_named(read, at):
    struck = [{"value": each, "struck": True} for each in SECOND]
    inputs = read(Stock=[STOCK, FIRST, struck, ["E3", "wenge", 1]])
    assert boards(inputs) == [(2, "E1"), (4, "E3")]
    assert [problem.harm for problem in at(inputs, "Stock!A3")] == [Harm.NOTED]


def test_a_value_struck_through_is_not_used(read, at):
    inputs = read(Stock=[STOCK, FIRST, ["E2", "padauk", {"value": 1.25, "struck": True}]])
    assert boards(inputs) == [(2, "E1")]
    assert at(inputs, "Stock!C3")[0].found == "1.25, struck through"


@pytest.mark.parametrize(
    "note",
    ["Bought at the spring sale, half price.", "Note: oil the ways", "* measured dry", "see the photo of the rack"],
)
def test_a_note_below_the_table_is_no_record(read, note, at):
    inputs = read(Stock=[STOCK, FIRST, SECOND, [], [note]])
    assert boards(inputs) == [(2, "E1"), (3, "E2")]
    assert [problem.harm for problem in at(inputs, "Stock!A5")] == [Harm.NOTED]


def test_a_section_title_across_the_table_is_no_record(read, sheet):
    rows = [STOCK, ["Bought in March", None, None], FIRST, ["Bought in May", None, None], SECOND]
    assert boards(read(sheet("Stock", rows, merged=["A2:C2", "A4:C4"]))) == [(3, "E1"), (5, "E2")]


def test_text_in_the_makers_own_columns_makes_no_record(read):
    inputs = read(Stock=[[*STOCK, "Shelf"], [*FIRST, "top"], [None, None, None, "lower shelf below"], SECOND])
    assert boards(inputs) == [(2, "E1"), (4, "E2")]
    assert [problem for problem in inputs.problems if problem.sheet == "Stock"] == []


def test_a_repeated_heading_row_is_no_record(read):
    inputs = read(Stock=[STOCK, FIRST, STOCK, SECOND, [], [each.upper() for each in STOCK], ["E3", "wenge", 1]])
    assert boards(inputs) == [(2, "E1"), (4, "E2"), (7, "E3")]


def test_a_second_table_with_other_columns_and_units_is_read_by_its_own_headings(read):
    inputs = read(Stock=[STOCK, FIRST, [], [None, "Species", "Board", "Thickness (mm)"], [None, "padauk", "E2", 31.75]])
    assert [(row.board, row.thickness_mm) for row in inputs.boards] == [("E1", 38.1), ("E2", 31.75)]


def test_a_second_table_of_another_kind_ends_the_first(read, at):
    other = [["Blade", "Maker", "Teeth"], ["B1", "own", 3], ["B2", "own", 4]]
    inputs = read(Stock=[STOCK, FIRST, SECOND, [], *other])
    assert boards(inputs) == [(2, "E1"), (3, "E2")]
    assert [problem.harm for problem in at(inputs, "Stock!A5")] == [Harm.NOTED]


def test_a_table_of_another_sheet_below_is_not_mixed_in(read, at):
    inputs = read(
        Stock=[STOCK, FIRST, [], ["Species", "Plies", "Tolerance (in)", "Thickness (in)"], ["wenge", 3, 0.002, 0.04]]
    )
    assert boards(inputs) == [(2, "E1")]
    assert at(inputs, "Stock!A4")[0].harm is Harm.DOUBTFUL


def test_hidden_rows_are_used_by_default_and_left_out_on_request(read, sheet, at):
    stock = sheet("Stock", [STOCK, FIRST, SECOND, ["E3", "wenge", 1]], hidden_rows={3})
    inputs = read(stock)
    assert boards(inputs) == [(2, "E1"), (3, "E2"), (4, "E3")]
    assert inputs.boards[1].place.hidden
    assert inputs.hidden_rows == {"Stock": [3]}
    assert (
        at(inputs, "Stock!A3")[0].fix == "nothing if that is right; else set Hidden rows on the sheet Job to leave out"
    )
    inputs = read(stock, Job=[["Setting", "Value"], ["Hidden rows", "leave out"]])
    assert boards(inputs) == [(2, "E1"), (4, "E3")]
    assert [record.used for record in inputs.records if record.sheet == "Stock"] == [True, False, True]
    assert "only visible rows are used" in at(inputs, "Stock!A3")[0].found


def test_a_merged_cell_holds_for_every_row_it_covers(read, sheet, at):
    rows = [STOCK, FIRST, ["E2", None, 1.25], ["E3", None, 1], ["E4", "padauk", 1]]
    inputs = read(sheet("Stock", rows, merged=["B2:B4"]))
    assert [row.species for row in inputs.boards] == ["wenge", "wenge", "wenge", "padauk"]
    assert at(inputs, "Stock!B3")[0].found == '"wenge", from the merged cell B2'


def test_an_incomplete_row_is_left_out_and_says_what_is_missing(read, at):
    inputs = read(Stock=[STOCK, FIRST, ["E2", None, 1.25], [None, "wenge", 1], ["E4", "wenge", None]])
    assert boards(inputs) == [(2, "E1")]
    assert str(at(inputs, "Stock!B3")[0]) == (
        "Stock!B3: found nothing for Species in row 3, wanted Species for each row of Stock. "
        "To fix: type the species of this board, or empty the whole row."
    )
    assert at(inputs, "Stock!A4")[0].fix == "type a name for this board, or empty the whole row"
    assert at(inputs, "Stock!C5")[0].harm is Harm.LEFT_OUT


def test_every_row_is_recorded_used_or_not(read):
    inputs = read(Stock=[STOCK, FIRST, ["E2", "wenge", "soft"], ["E3", "wenge", "1.2 (knot)"]])
    assert [(record.row, record.used) for record in inputs.records] == [(2, True), (3, False), (4, True)]
    entry = inputs.records[2].entries[2]
    assert (entry.field, entry.cell, entry.found, entry.value, entry.unit, entry.remark) == (
        "thickness_mm",
        "C4",
        '"1.2 (knot)"',
        30.48,
        "in",
        "knot",
    )


def test_a_sheet_of_thousands_of_rows_keeps_every_row_number(read):
    rows = [["Slice", "Board", "Reading 1 (in)", "Reading 2 (in)"]]
    rows += [[f"E1-{number}", "E1", 0.041, "0.042"] for number in range(1, 3001)]
    inputs = read(Measurements=rows)
    assert len(inputs.measurements) == 3000
    assert (inputs.measurements[-1].slice, inputs.measurements[-1].place.row) == ("E1-3000", 3001)
