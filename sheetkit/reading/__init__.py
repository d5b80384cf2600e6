"""Workbooks in: one model of sheets and cells over .xlsx, .xlsm and .ods, behind `open_workbook()`."""
