"""Refresh workbooks by themselves whenever they have been saved and closed."""
