"""Results as plain values: rows, number formats, formulas, charts and pictures; knows no file format."""
