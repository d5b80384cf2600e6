"""The input sheets: every sheet, column, unit, range and help text declared once; typed rows out, problems collected."""
