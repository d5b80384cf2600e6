"""Workbooks to fill in, made from the schema in both formats; `python -m sheetkit.blank FOLDER` makes them all."""
