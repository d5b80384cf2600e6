"""Answers to a maker's wish: met, or not met with the nearest thing that can be made."""

from collections.abc import Callable
from dataclasses import dataclass


def _plain_mm(length_mm: float) -> str:
    return f"{length_mm:.3f} mm"


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a wish; never a clamped number that looks like the one asked for.

    Attributes:
        met: whether the wish can be made as asked
        value: what answers the wish, or the nearest that can be made [mm, deg or 1, as the function says]
        reason: a sentence with one pair of braces for each of the lengths; empty when the wish is met
        lengths_mm: the lengths that belong into the sentence, in order [mm]
    """

    met: bool
    value: float
    reason: str = ""
    lengths_mm: tuple[float, ...] = ()

    def sentence(self, in_words: Callable[[float], str] = _plain_mm) -> str:
        """The reason with its lengths in the maker's unit; empty when the wish is met."""
        return self.reason.format(*(in_words(length) for length in self.lengths_mm))

    def demand(self) -> float:
        """The value of a wish that is met.

        Raises:
            ValueError: with the sentence, if it is not.
        """
        if not self.met:
            raise ValueError(self.sentence())
        return self.value
