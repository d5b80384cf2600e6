"""Reads .ods into the common model."""

from collections.abc import Callable
from pathlib import Path

from sheetkit.reading.archive import Package
from sheetkit.reading.limits import Effort
from sheetkit.reading.merged import drop_covered
from sheetkit.reading.model import Sheet, Workbook
from sheetkit.reading.ods_content import ContentPart
from sheetkit.reading.ods_styles import Styles
from sheetkit.reading.safe_xml import Target


def read_ods(package: Package, path: Path, wanted: Callable[[Sheet], bool] | None = None) -> Workbook:
    """Read an .ods workbook.

    Args:
        package: the open file
        path: where it was read from
        wanted: told a sheet by its first rows, says whether the others are wanted

    Raises:
        DamagedWorkbook: a part is broken
    """
    content = _read_content(package, wanted, pass_over_ours=True)
    if content.own_words - {sheet.name for sheet in content.sheets if sheet.name.lower() in content.marks}:
        # A sheet with our words but without our mark is the maker's, such as a copy of one of ours.
        content.forget()
        content = _read_content(package, wanted, pass_over_ours=False)
    workbook = Workbook(path, package.format, content.sheets, day_zero_1904=content.day_zero.year == 1904)
    ours = set()
    for index, sheet in enumerate(workbook.sheets):
        key = content.marks.get(sheet.name.lower())
        if key is not None and sheet.name not in content.own_words:
            workbook.disowned.append(sheet.name)
            key = None
        if key is None:
            workbook.problems += drop_covered(sheet)
        else:
            ours.add(sheet.name)
            workbook.sheets[index] = Sheet(sheet.name, sheet.position, visibility=sheet.visibility, result_key=key)
    workbook.problems += [problem for problem in content.problems if problem.sheet not in ours]
    content.forget()
    return workbook


def _read_content(package: Package, wanted: Callable[[Sheet], bool] | None, *, pass_over_ours: bool) -> ContentPart:
    content = ContentPart(_common_styles(package), Effort(package.where), wanted, pass_over_ours=pass_over_ours)
    package.stream(package.main_part, content)
    return content


def _common_styles(package: Package) -> Styles:
    """The styles that styles.xml declares; a workbook may come without."""
    styles = Styles()
    part = package.find("styles.xml")
    if part is not None:
        target = Target()
        styles.listen(target)
        package.stream(part, target)
    return styles
