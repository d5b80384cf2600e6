"""How the parts of an .xlsx or .xlsm package name their types and point at each other."""

import posixpath
from dataclasses import dataclass
from typing import Final, Protocol
from urllib.parse import unquote

from sheetkit.reading import safe_xml

_TYPES_PART: Final = "[Content_Types].xml"
_SMALL: Final = 4 * 1024 * 1024


class Parts(Protocol):
    """What gives the bytes of parts: an archive or a package."""

    where: str

    def find(self, name: str) -> str | None:
        """The entry that is this part, or None."""

    def read(self, name: str, ceiling: int) -> bytes:
        """The part's bytes."""


@dataclass(frozen=True, slots=True)
class Relationship:
    """One pointer from a part.

    Attributes:
        id: its identifier within the part
        kind: last word of its type ("worksheet", "officeDocument"), the same in both dialects of the standard
        target: part name without leading slash; for an external one its address as written
        external: it points outside the package, and is never followed
    """

    id: str
    kind: str
    target: str
    external: bool


@dataclass(frozen=True, slots=True)
class ContentTypes:
    """The types of the parts, all in lower case."""

    overrides: dict[str, str]
    defaults: dict[str, str]

    def of(self, part: str) -> str:
        """The content type of a part in lower case; empty where none is given."""
        folded = "/" + part.replace("\\", "/").lstrip("/").lower()
        return self.overrides.get(folded) or self.defaults.get(posixpath.splitext(folded)[1].lstrip("."), "")


def content_types(parts: Parts) -> ContentTypes:
    """The types that [Content_Types].xml gives; raises DamagedWorkbook."""
    root = safe_xml.parse_tree(parts.read(_TYPES_PART, _SMALL), f"{parts.where} ({_TYPES_PART})")
    overrides, defaults = {}, {}
    for entry in root:
        media = (entry.get("ContentType") or "").strip().lower()
        if part := entry.get("PartName"):
            overrides["/" + part.replace("\\", "/").lstrip("/").lower()] = media
        elif extension := entry.get("Extension"):
            defaults[extension.lower()] = media
    return ContentTypes(overrides, defaults)


def relationships(parts: Parts, part: str) -> list[Relationship]:
    """The pointers of a part, in the file's order; none where it has no list of them.

    Args:
        parts: the package
        part: part name; empty for the package itself

    Raises:
        DamagedWorkbook: the list is broken
    """
    folder, name = posixpath.split(part.replace("\\", "/").lstrip("/"))
    entry = parts.find(posixpath.join(folder, "_rels", f"{name}.rels"))
    if entry is None:
        return []
    root = safe_xml.parse_tree(parts.read(entry, _SMALL), f"{parts.where} ({entry})")
    found = []
    for element in root:
        external = element.get("TargetMode") == "External"
        target = element.get("Target") or ""
        kind = (element.get("Type") or "").rsplit("/", 1)[-1]
        resolved = target if external else _resolve(parts, folder, target)
        found.append(Relationship(element.get("Id") or "", kind, resolved, external))
    return found


def _resolve(parts: Parts, folder: str, target: str) -> str:
    """The part that a target names; targets are relative to the folder of their own part, or absolute."""
    for spelling in (target, unquote(target)):
        path = posixpath.normpath(posixpath.join("/", folder, spelling.replace("\\", "/"))).lstrip("/")
        entry = parts.find(path)
        if entry is not None:
            return entry
    return path
