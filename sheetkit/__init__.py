"""Plans thin sawn slices, learns the dial from readings, writes results into the maker's own workbook."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sheetkit.pipeline import Outcome, check, refresh

__version__ = "0.1.0"
__all__ = ["Outcome", "__version__", "check", "refresh"]


def __getattr__(name: str) -> Any:
    """Fetch a public name when it is first asked for, so that `sheetkit --help` need not load the engine."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from sheetkit import pipeline

    return getattr(pipeline, name)
