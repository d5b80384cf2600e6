"""`python -m sheetkit` is the command `sheetkit`."""

from sheetkit.cli import main

main(prog_name="sheetkit")
