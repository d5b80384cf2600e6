"""Plans thin sawn slices, learns the dial from readings, writes results into the maker's own workbook."""

__version__ = "0.1.0"
