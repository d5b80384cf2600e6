"""Puts result sheets into the maker's file; all else is copied as bytes, never parsed and saved again."""
