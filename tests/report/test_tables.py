from math import copysign, isnan

from sheetkit.report.builder import Figure, Heading, SheetBuilder
from sheetkit.report.model import Look


def cells_of(values):
    sheet = SheetBuilder("cost", "Cost", "Cost", [20])
    area = sheet.table([Heading("Length (mm)", "0.00")], [[value] for value in values])
    return [row[0] for row in sheet.sheet.rows[area.first_row - 1 :]]


def test_values_of_a_column_that_repeat_share_a_cell_and_keep_what_they_are():
    values = [2.5, 1.0, 1, True, "1", 2.5, 0.0, -0.0, float("nan"), None, "1", Figure(2.5, "A1")]
    cells = cells_of(values)
    found = [cell.value for cell in cells]
    assert list(map(repr, found)) == [*map(repr, values[:-1]), "2.5"]
    assert copysign(1, found[6]) == 1
    assert copysign(1, found[7]) == -1
    assert isnan(found[8])
    assert cells[0] is cells[5]
    assert cells[4] is cells[10]
    assert [cell.formula for cell in cells if cell.formula] == ["=A1"]
    assert {cell.look for cell in cells} == {Look.TEXT}
