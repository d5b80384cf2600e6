"""Elements built with odfpy, written as a piece of XML that fits where it is put in."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Final
from xml.sax.saxutils import escape

from odf.element import Element, Node, Text
from odf.namespaces import OFNS, nsdict

ATTRIBUTE_ESCAPES: Final = {'"': "&quot;", "\t": "&#9;", "\n": "&#10;", "\r": "&#13;"}
TEXT_ESCAPES: Final = {"\r": "&#13;"}


class Raw:
    """Contents that are written straight, as a child of an element.

    Args:
        namespaces: those it uses
        write: gives its XML in pieces, by the prefix of each namespace
    """

    childNodes: Sequence[Element] = ()  # noqa: N815 # odfpy asks what it is given for its children
    ownerDocument: object = None  # noqa: N815 # and tells it the document

    def __init__(self, namespaces: Sequence[str], write: Callable[[Mapping[str, str]], Iterable[str]]) -> None:
        self.namespaces, self.write = namespaces, write


def written(element: Element, prefixes: Mapping[str, str]) -> str:
    """An element as XML, where these prefixes hold."""
    return "".join(_write(element, prefixes))


def namespaces_of(element: Element) -> set[str]:
    """The namespaces of an element and its contents."""
    return set(_namespaces(element))


def fragment(element: Element, scope: Mapping[str, str]) -> str:
    """The element as XML; as `pieces`."""
    return "".join(pieces(element, scope))


def pieces(element: Element, scope: Mapping[str, str], *, formulas: bool = False, raw: str = "") -> Iterator[str]:
    """The element as XML, in pieces.

    Args:
        element: what to write
        scope: prefixes that hold where it is put in; what it needs beyond them it declares itself
        formulas: values in it begin with ``of:``, so that prefix must hold as well
        raw: XML to put in as its last content, written for the same scope

    The XML is the same for the same element and scope, whatever was written before.
    """
    prefixes = _prefixes(element, scope)
    declared = {prefix: namespace for namespace, prefix in prefixes.items() if scope.get(prefix) != namespace}
    if formulas and scope.get("of") != OFNS:
        declared["of"] = OFNS
    return _write(element, prefixes, "".join(f' xmlns:{p}="{declared[p]}"' for p in sorted(declared)), raw)


def _prefixes(element: Element, scope: Mapping[str, str]) -> dict[str, str]:
    """A prefix for each namespace used: one that holds already, else the usual one, else one that is free."""
    prefixes: dict[str, str] = {}
    for namespace in sorted(set(_namespaces(element))):
        usual = nsdict[namespace]
        holding = sorted(prefix for prefix, bound in scope.items() if bound == namespace and prefix)
        candidates = [usual] if usual in holding else [*holding, usual, *(f"{usual}{number}" for number in range(99))]
        prefixes[namespace] = next(prefix for prefix in candidates if prefix not in prefixes.values())
    return prefixes


def _namespaces(element: Element) -> Iterator[str]:
    """The namespaces of its name, its attributes and its contents."""
    yield element.qname[0]
    for namespace, _ in element.attributes:
        yield namespace
    for child in element.childNodes:
        if isinstance(child, Raw):
            yield from child.namespaces
        elif child.nodeType == Node.ELEMENT_NODE:
            yield from _namespaces(child)


def _write(element: Element, prefixes: Mapping[str, str], declarations: str = "", raw: str = "") -> Iterator[str]:
    """Write one element with its contents."""
    tag = f"{prefixes[element.qname[0]]}:{element.qname[1]}"
    yield f"<{tag}{declarations}"
    for (namespace, name), value in element.attributes.items():
        yield f' {prefixes[namespace]}:{name}="{escape(str(value), ATTRIBUTE_ESCAPES)}"'
    if not element.childNodes and not raw:
        yield "/>"
        return
    yield ">"
    for child in element.childNodes:
        if isinstance(child, Raw):
            yield from child.write(prefixes)
        elif isinstance(child, Text):
            yield escape(str(child.data), TEXT_ESCAPES)
        else:
            yield from _write(child, prefixes)
    yield f"{raw}</{tag}>"
