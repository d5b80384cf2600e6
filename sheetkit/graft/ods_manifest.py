"""The manifest of an .ods package: entries of ours put in and taken out, everything else left as it was."""

import re
from collections.abc import Collection, Iterable, Iterator
from xml.sax.saxutils import escape

from odf.manifest import FileEntry
from odf.namespaces import MANIFESTNS

from sheetkit.graft.ods_content import Content, cut
from sheetkit.graft.ods_fragment import fragment
from sheetkit.graft.ods_markup import Edits, Node, qualified, read_markup
from sheetkit.graft.ods_objects import Objects
from sheetkit.reading.archive import fold

_ENTRY = qualified(MANIFESTNS, "file-entry")
_ATTRIBUTE_VALUE = re.compile(rb"""(?==\s*["'](?:\./)?([^"'<>]{1,400})["'])""")
_PICTURE_FOLDERS = frozenset({"pictures", "objectreplacements", "media"})
_PATH = qualified(MANIFESTNS, "full-path")


def edited_manifest(data: bytes, where: str, objects: Objects) -> bytes:
    """The manifest with the entries of removed members taken out and those of new ones put in last.

    Args:
        data: the manifest as it is
        where: file and part, for messages
        objects: what is new and what goes

    Raises:
        DamagedWorkbook: it is not well-formed
    """
    markup = read_markup(data, where, keep=lambda path: path[-1] == _ENTRY, plain_doctype=True)
    gone = {fold(name) for name in objects.removed} | {fold(path) for path, _ in objects.entries}
    edits = Edits()
    for entry in markup.root.named(_ENTRY):
        path = fold(entry.attributes.get(_PATH, ""))
        if path in gone or (path.endswith("/") and path != "/" and _is_emptied(path, gone)):
            edits.remove(entry)
    new = (FileEntry(fullpath=path, mediatype=media) for path, media in objects.entries)
    edits.append(markup, markup.root, "".join(fragment(each, markup.root.scope) for each in new))
    return markup.edited(edits)


def _is_emptied(folder: str, gone: Iterable[str]) -> bool:
    """Whether members of that folder go; ours go whole."""
    return any(name.startswith(folder) for name in gone) and folder.rstrip("/") not in {
        "pictures",
        "objectreplacements",
    }


def members_to_remove(
    names: Collection[str],
    links: Collection[str],
    content: Content,
    replaced: Collection[Node],
    common_styles: bytes,
) -> frozenset[str]:
    """The members that our tables of an earlier run point at and nothing else does.

    Args:
        names: the package's entry names
        links: what these tables point at
        content: the content.xml they stand in
        replaced: these tables
        common_styles: the file's styles.xml
    """
    present = {fold(name) for name in names}
    drawn = {link for link in links if _is_drawn(link, present)}
    if not drawn:
        return frozenset()
    elsewhere = cut(content.markup.text, replaced) + common_styles
    written = {link: escape(link).encode("utf-8") for link in drawn}
    # Looking for each link is quick; looking at every attribute of a large workbook is not.
    mentioned = (
        {match[1].rstrip(b"/") for match in _ATTRIBUTE_VALUE.finditer(elsewhere)}
        if any(link in elsewhere for link in written.values())
        else frozenset[bytes]()
    )
    unused = {fold(link) for link in drawn if written[link] not in mentioned}
    return frozenset(name for name in names if fold(name) in unused or any(_parents(fold(name), unused)))


def _parents(name: str, folders: Collection[str]) -> Iterator[str]:
    """Those of the folders that the member lies in."""
    parts = name.split("/")
    return (folder for count in range(1, len(parts)) if (folder := "/".join(parts[:count])) in folders)


def _is_drawn(link: str, names: Collection[str]) -> bool:
    """Whether a link leads to a picture or to a document of its own, and not to some other member."""
    return fold(link).partition("/")[0] in _PICTURE_FOLDERS or f"{fold(link)}/content.xml" in names
