"""Which wood a name means: every spelling of one wood gets one key, and nothing is assumed in silence."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache

from sheetkit.errors import UnreadableValue
from sheetkit.trade.species_data import NameKind, Wood, woods
from sheetkit.trade.species_words import LOOKS, NOISE, TREATED, is_near, plain_words

NOT_LISTED = "it is not in the list of woods"
_LAST_NUMBER = re.compile(r"(?<=[^\W\d])\W*[\s#]0*(\d{1,9})\s*$")
"""A number that ends a name, which tells woods of one's own apart: dyed veneer 12."""


class Outcome(StrEnum):
    """How a name was understood."""

    NAMED = "named"
    """The canonical or the scientific name, give or take case, spaces and word order."""
    ALIAS = "another name"
    """Another name that the trade uses for the same wood."""
    GUESSED = "read with a guess"
    """A slip of typing, an abbreviation, or a bare word that nearly always means one wood."""
    SEVERAL = "several woods"
    """A bare word for several woods: good enough to plan with, but no figures until it says which."""
    UNKNOWN = "not known"
    """Not in the list: kept as the maker's own label, no figures."""


@dataclass(frozen=True, slots=True)
class SpeciesMatch:
    """A wood's name as it was understood. Two names of one wood have the same key.

    Attributes:
        written: the name as the maker wrote it
        key: what to compare and to group by
        label: what to print: the name that the maker uses, in its usual spelling
        outcome: how it was understood
        wood: the entry of the list of woods, None where there is none
        qualifiers: words about figure, cut or treatment that set these pieces apart, such as "curly"
        candidates: the woods it may mean, where it may mean several
        figures_hold: the entry's figures and traits apply; False where the wood has been treated
        reason: why it was read so, one clause; empty where it is plainly the wood's name
    """

    written: str
    key: str
    label: str
    outcome: Outcome
    wood: Wood | None
    qualifiers: tuple[str, ...] = ()
    candidates: tuple[str, ...] = ()
    figures_hold: bool = True
    reason: str = ""

    @property
    def certain(self) -> bool:
        """Nothing needs to be asked about which wood it is."""
        return self.outcome in (Outcome.NAMED, Outcome.ALIAS)

    @property
    def oily(self) -> bool:
        """Its oil is known to hinder gluing."""
        return self.wood is not None and self.wood.oily

    @property
    def dark_dust(self) -> bool:
        """Its dust is known to stain pale wood beside it."""
        return self.wood is not None and self.wood.dark_dust

    @property
    def pale(self) -> bool:
        """It shows such stains; not said of a treated wood."""
        return self.wood is not None and self.wood.pale and self.figures_hold


@dataclass(frozen=True, slots=True)
class _Reading:
    outcome: Outcome
    name: str
    reason: str = ""
    candidates: tuple[str, ...] = ()
    own_name: str = ""


def find_species(text: str) -> SpeciesMatch:
    """Find which wood a name means.

    Args:
        text: the name as the maker wrote it: any case, word order, spelling or plural

    Raises:
        UnreadableValue: if the text holds no name at all.

    Source: names, common practice, no source; the rules of reading are our own.

    >>> find_species("Maple, hard").key, find_species(" padouk ").key, find_species("maple").candidates[:2]
    ('sugar maple', 'padauk', ('sugar maple', 'red maple'))
    """
    words = plain_words(text)
    if not any(sign.isalpha() for word in words for sign in word):
        raise UnreadableValue(found=f'"{text}"', wanted="the name of a wood", fix="type the wood's name")
    named = _woods_named_side_by_side(text)
    if len(named) > 1:
        reason = f"it names {' and '.join(named)}"
        return SpeciesMatch(text, _own_key(words), _tidy(text), Outcome.UNKNOWN, None, candidates=named, reason=reason)
    return _match(text, plain_words(named[0]) if named else words)


def without_last_number(text: str) -> str | None:
    """Take off the number that ends the name of a wood of the maker's own; None for any other name.

    Args:
        text: the name as the maker wrote it

    Source: own rule: such a number tells woods apart, unless it only counts boards.

    >>> without_last_number("gorblewood 2"), without_last_number("black cherry 2"), without_last_number("gorblewood")
    ('gorblewood', None, None)
    """
    plain = _LAST_NUMBER.sub("", text)
    return plain if plain != text and find_species(text).outcome is Outcome.UNKNOWN else None


def species_names() -> tuple[str, ...]:
    """List the names that a maker can choose from, in alphabetical order; bare words for several woods left out.

    Source: common practice, no source.

    >>> "sugar maple" in species_names(), "maple" in species_names()
    (True, False)
    """
    return tuple(sorted(wood.name for wood in woods().values() if wood.kind is NameKind.WOOD))


def may_be_the_same(matches: Iterable[SpeciesMatch]) -> list[tuple[str, str]]:
    """List the bare labels of a job that may mean the same wood as another of its labels, such as maple and red maple.

    Args:
        matches: every name in the job

    Returns:
        Pairs of keys, the bare one first, in the order they appear.

    Source: own rule: one label's candidates hold the other label's wood.

    >>> may_be_the_same([find_species("maple"), find_species("hard maple"), find_species("wenge")])
    [('maple', 'sugar maple')]
    """
    by_key = {match.key: match for match in matches}
    return [
        (bare.key, other.key)
        for bare in by_key.values()
        for other in by_key.values()
        if bare is not other
        and other.wood is not None
        and other.wood.name in bare.candidates
        and bare.qualifiers == other.qualifiers
    ]


@lru_cache(maxsize=4096)
def _match(text: str, words: tuple[str, ...]) -> SpeciesMatch:
    base, reading = words, _known(words)
    qualifiers: tuple[str, ...] = ()
    if reading is None:
        base, qualifiers = _without_qualifiers(words)
        reading = _known(base) or _without_wood_ending(base) or _genus(base) or _near(base)
    if reading is None:
        key = " ".join((*qualifiers, _own_key(base), *_LAST_NUMBER.findall(text)))
        return SpeciesMatch(text, key, _tidy(text), Outcome.UNKNOWN, None, qualifiers, reason=NOT_LISTED)
    key = " ".join((*qualifiers, reading.name or _own_key(base)))
    if qualifiers and key in woods():
        reason = reading.reason or f"it is taken as {key}"
        return SpeciesMatch(text, key, key, Outcome.GUESSED, woods()[key], reason=reason)
    return SpeciesMatch(
        written=text,
        key=key,
        label=" ".join((*qualifiers, reading.own_name)) if reading.own_name else key,
        outcome=reading.outcome,
        wood=woods().get(reading.name),
        qualifiers=qualifiers,
        candidates=reading.candidates,
        figures_hold=not set(qualifiers) & set(TREATED.values()),
        reason=reading.reason,
    )


def _known(words: Sequence[str]) -> _Reading | None:
    index = _index()
    kept = [word for word in words if word not in NOISE]
    for attempt in (words, kept, ["".join(words)], ["".join(kept)]):
        found = index.get(_sorted(attempt))
        if found:
            return found
    return None


def _without_qualifiers(words: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The words that name the wood, and those that set it apart, in their usual spelling."""
    told = LOOKS | TREATED
    base = tuple(word for word in words if word not in told and word not in NOISE)
    if not base:
        return tuple(words), ()
    return base, tuple(sorted({told[word] for word in words if word in told}))


def _without_wood_ending(words: Sequence[str]) -> _Reading | None:
    if len(words) == 1 and len(words[0]) > 6 and words[0].endswith("wood"):
        return _index().get((words[0].removesuffix("wood"),))
    return None


def _genus(words: Sequence[str]) -> _Reading | None:
    members = tuple(wood.name for wood in woods().values() if wood.scientific.casefold().split()[:1] == list(words))
    if not members:
        return None
    if len(members) == 1:
        return _Reading(Outcome.GUESSED, members[0], f"{words[0].title()} is taken as {members[0]}")
    return _Reading(Outcome.SEVERAL, "", _which(words[0], members), members)


def _near(words: Sequence[str]) -> _Reading | None:
    """The one known name that differs by slips in one of its words."""
    found: dict[str, _Reading] = {}
    spellings = {_sorted(words), ("".join(words),)}
    for name, reading in _index().items():
        if any(_one_word_is_near(spelling, name) for spelling in spellings):
            found[reading.name] = reading
    if len(found) == 1:
        (reading,) = found.values()
        written = " ".join(words)
        reason = f"{written!r} is taken as a slip for {reading.name}"
        if reading.outcome is Outcome.SEVERAL:
            return _Reading(Outcome.SEVERAL, reading.name, f"{reason}; {reading.reason}", reading.candidates)
        return _Reading(Outcome.GUESSED, reading.name, reason)
    if found:
        return _Reading(Outcome.SEVERAL, "", _which(" ".join(words), tuple(found)), tuple(sorted(found)))
    return None


def _one_word_is_near(written: tuple[str, ...], name: tuple[str, ...]) -> bool:
    if len(written) != len(name):
        return False
    extra, missing = list(written), list(name)
    for word in written:
        if word in missing:
            missing.remove(word)
            extra.remove(word)
    return len(extra) == 1 and is_near(extra[0], missing[0])


@cache
def _index() -> dict[tuple[str, ...], _Reading]:
    """Every spelling of every wood, as sorted words and as one word, to how it is read."""
    index: dict[tuple[str, ...], _Reading] = {}
    for wood in woods().values():
        for spelling, reading in _spellings(wood):
            words = plain_words(spelling)
            for form in (_sorted(words), ("".join(words),)):
                index.setdefault(form, reading)
    return index


def _spellings(wood: Wood) -> list[tuple[str, _Reading]]:
    if wood.kind is NameKind.GROUP:
        several = _Reading(Outcome.SEVERAL, wood.name, _which(wood.name, wood.members), wood.members)
        return [(name, several) for name in (wood.name, *wood.aliases, *wood.short_forms)]
    if wood.kind is NameKind.USUAL:
        (meant,) = wood.members
        reason = f"plain {wood.name} is taken as {meant}; write the full name if it is another"
        usual = _Reading(Outcome.GUESSED, meant, reason)
        return [(name, usual) for name in (wood.name, *wood.short_forms)]
    named = [(name, _Reading(Outcome.NAMED, wood.name)) for name in (wood.name, *_scientific(wood))]
    alias = [
        (name, _Reading(Outcome.ALIAS, wood.name, f"another name of {wood.name}", own_name=_own_name(name, wood)))
        for name in wood.aliases
    ]
    short = [
        (name, _Reading(Outcome.GUESSED, wood.name, f"{name!r} is taken as short for {wood.name}"))
        for name in wood.short_forms
    ]
    return named + alias + short


def _own_name(alias: str, wood: Wood) -> str:
    """What to print for the maker who uses this name: itself, unless it is the wood's name in another spelling."""
    usual = plain_words(wood.name)
    spelling = any(word != other and is_near(word, other) for word in plain_words(alias) for other in usual)
    return "" if spelling or "".join(plain_words(alias)) == "".join(usual) else alias


def _scientific(wood: Wood) -> tuple[str, ...]:
    genus, _, rest = wood.scientific.partition(" ")
    return (wood.scientific, f"{genus[0]} {rest}") if rest else ()


def _woods_named_side_by_side(text: str) -> tuple[str, ...]:
    """The different woods that a text such as "maple/walnut" names; empty where it is not such a list."""
    parts = [plain_words(part) for part in re.split(r"[/&+;]|\band\b|\bor\b", text, flags=re.IGNORECASE)]
    parts = [part for part in parts if part]
    readings = [reading for part in parts if (reading := _known(part))]
    if len(parts) < 2 or len(readings) < len(parts):
        return ()
    return tuple(dict.fromkeys(reading.name for reading in readings))


def _which(word: str, members: Sequence[str]) -> str:
    return f"{word} may be {', '.join(members[:-1])} or {members[-1]}"


def _sorted(words: Sequence[str]) -> tuple[str, ...]:
    return tuple(sorted(words))


def _own_key(words: Sequence[str]) -> str:
    return " ".join(_sorted(words))


def _tidy(text: str) -> str:
    return " ".join(text.split())
