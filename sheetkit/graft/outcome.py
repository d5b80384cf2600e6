"""What a graft did."""

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class GraftReport:
    """What a graft did to the workbook.

    Attributes:
        names: key of each result sheet to the tab name it has in the written file
        kept: keys of result sheets from an earlier run that were not given this time and stand as they were
    """

    names: dict[str, str]
    kept: tuple[str, ...] = field(default=())
