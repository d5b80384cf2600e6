"""Which blanks there are, and where the installed package keeps them."""

import shutil
from collections.abc import Mapping, Sequence
from importlib import resources
from pathlib import Path

from sheetkit.blank.content import Typed
from sheetkit.errors import CannotSave

BLANKS = {"inch.xlsx": "in", "inch.ods": "in", "metric.xlsx": "mm", "metric.ods": "mm"}
"""File name to the unit of its headings."""


def write_blank(path: Path, unit: str, typed: Mapping[str, Sequence[Sequence[Typed]]] | None = None) -> None:
    """Make a blank from the schema, or a workbook already filled in.

    Args:
        path: where to; its ending decides the format
        unit: "in" or "mm"
        typed: cells to type below the headings, row by row, by sheet name; of a settings sheet the pairs of a
            setting and its value

    Raises:
        KeyError: a sheet or a setting that the schema does not know
    """
    if path.suffix == ".ods":
        from sheetkit.blank.ods import write_ods

        write_ods(path, unit, typed or {})
    else:
        from sheetkit.blank.xlsx import write_xlsx

        write_xlsx(path, unit, typed or {})


def copy_blank(path: Path, unit: str) -> None:
    """Copy the blank that the package carries.

    Args:
        path: where to; its ending decides the format
        unit: "in" or "mm"

    Raises:
        CannotSave: the file exists already, or cannot be written
    """
    if path.exists():
        raise CannotSave(
            str(path), "a file of that name", "a new name", "choose another name, or move the old file away"
        )
    name = f"{'inch' if unit == 'in' else 'metric'}{path.suffix.lower()}"
    try:
        with resources.as_file(resources.files("sheetkit") / "templates" / name) as kept:
            source = kept if kept.exists() else Path(__file__).parents[2] / "templates" / name
            shutil.copyfile(source, path)
    except OSError as error:
        raise CannotSave(
            str(path),
            f"a folder that refused the file ({error.strerror or error})",
            "a folder that can be written to",
            "choose another folder",
        ) from error
