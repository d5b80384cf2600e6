"""Files onto which a workbook is dropped, or which the right click calls, to refresh it without typing a command."""
