"""sheetkit: plans thin sawn slices, learns the dial from their measurements, writes the results into the maker's workbook."""

__version__ = "0.1.0"
