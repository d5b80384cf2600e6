"""Which blanks there are, and where the installed package keeps them."""

import shutil
from importlib import resources
from pathlib import Path

from sheetkit.errors import CannotSave

BLANKS = {"inch.xlsx": "in", "inch.ods": "in", "metric.xlsx": "mm", "metric.ods": "mm"}
"""File name to the unit of its headings."""


def write_blank(path: Path, unit: str) -> None:
    """Make a blank from the schema.

    Args:
        path: where to; its ending decides the format
        unit: "in" or "mm"
    """
    if path.suffix == ".ods":
        from sheetkit.blank.ods import write_ods

        write_ods(path, unit)
    else:
        from sheetkit.blank.xlsx import write_xlsx

        write_xlsx(path, unit)


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
            str(path), f"{error.strerror or error}", "a folder that can be written to", "choose another folder"
        ) from error
