"""Make every blank workbook: `python -m sheetkit.blank templates`."""

import sys
from pathlib import Path

from sheetkit.blank.write import BLANKS, write_blank

folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path("templates")
for name, unit in BLANKS.items():
    write_blank(folder / name, unit)
    sys.stdout.write(f"{folder / name}\n")
