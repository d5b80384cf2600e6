"""What a file is, told from its content: .xlsx, .xlsm, .ods, or something that has to be refused, and why."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, BinaryIO, Final

from sheetkit.errors import DamagedWorkbook, EncryptedWorkbook, NotAWorkbook
from sheetkit.reading import safe_xml
from sheetkit.reading.model import Format
from sheetkit.reading.relationships import content_types, relationships

if TYPE_CHECKING:
    from sheetkit.reading.archive import Archive

_OLE2_MAGIC: Final = bytes.fromhex("D0CF11E0A1B11AE1")
_ZIP_MAGIC: Final = b"PK"
_WANTED: Final = "an .xlsx, .xlsm or .ods workbook"
_SAVE_AS: Final = "open it in the spreadsheet program and save it as .xlsx or .ods"

_OOXML: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml."
_MAIN_TYPES: Final = {
    f"{_OOXML}sheet.main+xml": Format.XLSX,
    "application/vnd.ms-excel.sheet.macroenabled.main+xml": Format.XLSM,
}
_OTHER_TYPES: Final = {
    f"{_OOXML}template.main+xml": "a template for workbooks",
    "application/vnd.ms-excel.template.macroenabled.main+xml": "a template for workbooks",
    "application/vnd.ms-excel.addin.macroenabled.main+xml": "an add-in",
    "application/vnd.ms-excel.sheet.binary.macroenabled.main": "a binary .xlsb workbook",
}
_ODS_TYPE: Final = "application/vnd.oasis.opendocument.spreadsheet"
_ODS_OTHERS: Final = {f"{_ODS_TYPE}-template": "a template for workbooks"}
_MANIFEST: Final = "META-INF/manifest.xml"
_MANIFEST_NS: Final = "{urn:oasis:names:tc:opendocument:xmlns:manifest:1.0}"
_SMALL: Final = 4 * 1024 * 1024


def refuse_other_kinds(file: BinaryIO, where: str) -> None:
    """Refuse what its first bytes show to be no zip file; leaves the file at its start.

    Raises:
        NotAWorkbook: empty, a legacy binary workbook, or something else altogether
        EncryptedWorkbook: a workbook wrapped for a password
    """
    head = file.read(512)
    if not head:
        raise NotAWorkbook(where, "an empty file", _WANTED, "restore it from a copy")
    if head.startswith(_OLE2_MAGIC):
        _refuse_ole2(file, where)
    if not head.startswith(_ZIP_MAGIC):
        raise NotAWorkbook(where, _what_head_shows(head), _WANTED, _SAVE_AS)
    file.seek(0)


def identify(archive: "Archive") -> tuple[Format, str, bool]:
    """Format, main part, and whether the package is signed.

    Raises:
        NotAWorkbook: a zip file of another kind
        EncryptedWorkbook: its parts are encrypted
        DamagedWorkbook: its own list of parts is broken
    """
    if archive.find("[Content_Types].xml"):
        return _identify_ooxml(archive)
    if archive.find("mimetype") or archive.find(_MANIFEST):
        return _identify_opendocument(archive)
    raise NotAWorkbook(archive.where, "a zip file of another kind", _WANTED, _SAVE_AS)


def _identify_ooxml(archive: "Archive") -> tuple[Format, str, bool]:
    types = content_types(archive)
    main_part = _main_part(archive)
    main_type = types.of(main_part)
    if main_type not in _MAIN_TYPES:
        found = _OTHER_TYPES.get(main_type, "a document that is not a workbook")
        raise NotAWorkbook(archive.where, found, _WANTED, _SAVE_AS)
    signed = any(name.lower().lstrip("/").startswith("_xmlsignatures/") for name in archive.names)
    return _MAIN_TYPES[main_type], main_part, signed


def _main_part(archive: "Archive") -> str:
    for relationship in relationships(archive, ""):
        if relationship.kind == "officeDocument" and not relationship.external:
            entry = archive.find(relationship.target)
            if entry is not None:
                return entry
            fix = "open it in the spreadsheet program and save it again"
            raise DamagedWorkbook(archive.where, f"no part named {relationship.target}", "a sound workbook", fix)
    raise NotAWorkbook(archive.where, "a package without a workbook in it", _WANTED, _SAVE_AS)


def _identify_opendocument(archive: "Archive") -> tuple[Format, str, bool]:
    from sheetkit.reading.archive import encrypted

    types = set(_opendocument_types(archive))
    if "encrypted" in types:
        raise encrypted(archive.where)
    if _ODS_TYPE not in types:
        found = next((words for media, words in _ODS_OTHERS.items() if media in types), "a document of another kind")
        raise NotAWorkbook(archive.where, found, _WANTED, _SAVE_AS)
    content = archive.find("content.xml")
    if content is None:
        fix = "open it in the spreadsheet program and save it again"
        raise DamagedWorkbook(archive.where, "no part named content.xml", "a sound workbook", fix)
    return Format.ODS, content, archive.find("META-INF/documentsignatures.xml") is not None


def _opendocument_types(archive: "Archive") -> Iterator[str]:
    """The media types that mimetype and manifest give for the whole, and "encrypted" where the manifest says so."""
    if archive.find("mimetype"):
        yield archive.read("mimetype", _SMALL)[:200].decode("ascii", "replace").strip()
    manifest = archive.find(_MANIFEST)
    if manifest is None:
        return
    root = safe_xml.parse_tree(archive.read(manifest, _SMALL), f"{archive.where} ({manifest})", plain_doctype=True)
    for entry in root.iter(f"{_MANIFEST_NS}file-entry"):
        if entry.get(f"{_MANIFEST_NS}full-path") == "/":
            yield (entry.get(f"{_MANIFEST_NS}media-type") or "").strip()
    if root.find(f".//{_MANIFEST_NS}encryption-data") is not None:
        yield "encrypted"


def _refuse_ole2(file: BinaryIO, where: str) -> None:
    """An OLE2 file is either the wrapping of an encrypted workbook or a legacy binary one: say which."""
    if _holds(file, "EncryptedPackage".encode("utf-16-le")):
        fix = "open it in the spreadsheet program and save it without a password"
        raise EncryptedWorkbook(where, "a password", "a workbook that opens without one", fix)
    file.seek(0)
    legacy = _holds(file, "Workbook".encode("utf-16-le"))
    found = "an old binary .xls workbook" if legacy else "an old binary office file"
    raise NotAWorkbook(where, found, _WANTED, _SAVE_AS)


def _holds(file: BinaryIO, wanted: bytes) -> bool:
    tail = b""
    while chunk := file.read(1024 * 1024):
        if wanted in tail + chunk:
            return True
        tail = chunk[-len(wanted) :]
    return False


def _what_head_shows(head: bytes) -> str:
    text = head.lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if text.startswith(b"%pdf"):
        return "a PDF file"
    if b"office:document" in text:
        return "a workbook in one flat XML file"
    if text.startswith(b"<"):
        return "a web page or XML file"
    printable = all(byte >= 32 or byte in b"\t\r\n" for byte in head)
    return "plain text" if printable else "a file of another kind"
