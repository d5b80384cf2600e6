"""Turns of phrase that findings and result sheets share."""


def counted(count: int, one: str, many: str = "") -> str:
    """A number of things.

    >>> counted(1, "layer"), counted(2, "layer"), counted(2, "pass", "passes")
    ('1 layer', '2 layers', '2 passes')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"
