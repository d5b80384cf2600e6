"""Who is who in a picture: each wood with a letter, its name, how often and how thick; and the order of the layers."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from string import ascii_uppercase

from sheetkit.report.pictures.pieces import LayerLook, PanelLook
from sheetkit.trade.steps import shortest_run

LEAST_HALF = 4
"""A mirrored order longer than this is written as its half."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a legend.

    Attributes:
        letter: stands for the wood wherever colour alone would not do; empty for glue
        colour: RRGGBB
        text: name, number of layers, thicknesses
    """

    letter: str
    colour: str
    text: str


def legend_of(panel: PanelLook, in_words: Callable[[float], str]) -> list[Entry]:
    """Every wood of a panel in order of first use, then the glue lines."""
    letters = letters_of(panel.layers)
    entries = []
    for (species, colour), letter in letters.items():
        own = [layer.thickness_mm for layer in panel.layers if (layer.species, layer.colour) == (species, colour)]
        entries.append(Entry(letter, colour, f"{species}, {_many(len(own))} of {_range(own, in_words)}"))
    lines = len(panel.layers) - 1
    if lines and panel.glue_mm > 0:
        text = f"{lines} glue {'line' if lines == 1 else 'lines'} of {in_words(panel.glue_mm)}"
        entries.append(Entry("", panel.glue_colour, text))
    return entries


def letters_of(layers: Sequence[LayerLook]) -> dict[tuple[str, str], str]:
    """A letter for every wood, in order of first use: A to Z, then A1, B1 and on."""
    kinds = dict.fromkeys((layer.species, layer.colour) for layer in layers)
    return {
        kind: ascii_uppercase[number % 26] + (str(number // 26) if number >= 26 else "")
        for number, kind in enumerate(kinds)
    }


def order_of(layers: Sequence[LayerLook]) -> str:
    """The layers from the first face to the last by their letters, a repeated run or a mirrored half written once."""
    known = letters_of(layers)
    letters = [known[layer.species, layer.colour] for layer in layers]
    half = letters[: (len(letters) + 1) // 2]
    if len(half) > LEAST_HALF and letters == letters[::-1] and "times" not in _in_runs(letters):
        return f"{_in_runs(half)}; then back again" + (" from the one before the last" if len(letters) % 2 else "")
    return _in_runs(letters)


def _in_runs(letters: Sequence[str]) -> str:
    run = shortest_run(letters)
    if not letters or run > len(letters) // 2:
        return " ".join(letters)
    times, rest = divmod(len(letters), run)
    ending = f", then {' '.join(letters[:rest])}" if rest else ""
    return f"{' '.join(letters[:run])}, {times} times{ending}"


def _many(count: int) -> str:
    return "1 layer" if count == 1 else f"{count} layers"


def _range(thicknesses_mm: Sequence[float], in_words: Callable[[float], str]) -> str:
    least, most = in_words(min(thicknesses_mm)), in_words(max(thicknesses_mm))
    return least if least == most else f"{least} to {most}"
