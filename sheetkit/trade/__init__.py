"""The trade's calculations: pure sums on plain numbers, each with its units and its source; knows no workbook."""
