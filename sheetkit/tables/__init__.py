"""The input sheets: every column, unit, range and help text declared once; typed rows out, problems collected."""
