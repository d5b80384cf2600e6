"""Puts result sheets into the maker's file; all else is copied as bytes, never parsed and saved again."""

from sheetkit.graft.api import graft_into
from sheetkit.graft.outcome import GraftReport

__all__ = ["GraftReport", "graft_into"]
