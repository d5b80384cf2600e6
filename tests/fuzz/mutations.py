"""Ways to damage a workbook: bytes, zip structure, XML, single cells. Each is a function of bytes and a Random."""

import io
import re
import struct
import zipfile
import zlib
from collections.abc import Callable, Sequence
from random import Random
from typing import Final

from random_jobs import ODD_NUMBERS, ODD_TEXTS
from write_books import zipped

Members = list[tuple[str, bytes]]


def members_of(data: bytes) -> Members:
    """Entries in order, those that cannot be unpacked left out."""
    found = []
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            for entry in archive.infolist():
                try:
                    found.append((entry.filename, archive.read(entry)))
                except (zipfile.BadZipFile, zlib.error, RuntimeError, NotImplementedError, EOFError, OSError):
                    continue
    except (zipfile.BadZipFile, ValueError, OSError):
        return []
    return found


# Bytes


def mutate_bytes(data: bytes, random: Random) -> bytes:
    """Bits flipped, pieces cut out, doubled, zeroed or moved, the end cut off, something put before or behind."""
    changed = bytearray(data)
    for _ in range(random.choice([1, 1, 2, 5, 20])):
        at = random.randrange(len(changed) + 1)
        if random.random() < 0.4:  # near the end, where the list of entries stands
            at = max(0, len(changed) - 1 - int(random.expovariate(1 / 400)))
        length = random.choice([1, 2, 4, 16, 256, 4096])
        piece = bytes(changed[at : at + length])
        if random.random() < 0.1:
            where = random.choice([0, len(changed)])
            changed[where:where] = random.choice([bytes(100), b"PK\x05\x06", piece, b"#!/bin/sh\n"])
        elif random.random() < 0.05:
            del changed[at:]
        else:
            flipped = bytes(byte ^ (1 << random.randrange(8)) for byte in piece[:1]) + piece[1:]
            others = [flipped, random.randbytes(len(piece)), b"", piece * 2, bytes(len(piece)), b"\xff" * len(piece)]
            changed[at : at + length] = random.choice(others)
    return bytes(changed)


# Zip structure

ODD_NAMES: Final = (
    "../../escaped.xml", "/etc/passwd", "C:\\Windows\\x.xml", "xl/../xl/workbook.xml", "XL/WORKBOOK.XML", "a" * 5000,
    "content.xml\0.png", "meta\ninf.xml", "\x1b[31mred.xml", "💥.xml", "xl//workbook.xml", "./content.xml", "",
    "META-INF/documentsignatures.xml", "_xmlsignatures/sig1.xml", "EncryptionInfo", "con", "xl\\workbook.xml",
)  # fmt: skip


def mutate_zip(data: bytes, random: Random) -> bytes:
    """Entries dropped, doubled, renamed, moved, swapped, emptied; odd headers and fields."""
    members = members_of(data)
    if not members:
        return mutate_bytes(data, random)
    for _ in range(random.choice([1, 1, 2, 3])):
        members = _mutate_members(members, random) or members
    packed = zipped_with_flaws(members, random) if random.random() < 0.5 else zipped(members, random)
    return _mutate_headers(packed, random) if random.random() < 0.5 else packed


def _mutate_members(members: Members, random: Random) -> Members:
    at, other = random.randrange(len(members)), random.randrange(len(members))
    name, data = members[at]
    changed = list(members)
    match random.randrange(9):
        case 0:
            del changed[at]
        case 1:
            changed.insert(other, (name, data if random.random() < 0.5 else members[other][1]))
        case 2:
            changed[at] = (random.choice([*ODD_NAMES, name.upper(), name[:-1], name + "/"]), data)
        case 3:
            changed.insert(other, changed.pop(at))
        case 4:
            changed[at], changed[other] = (name, members[other][1]), (members[other][0], data)
        case 5:
            changed[at] = (name, random.choice([b"", b"\0", b"<a/>", b"<", data[: len(data) // 2], b"PK\3\4"]))
        case 6:
            changed.append((random.choice(ODD_NAMES), random.choice([data, b"", b"<a/>"])))
        case 7:
            changed[at] = (name, data + b" " * 30_000_000)
        case _:
            changed += [(f"{number}/", b"") for number in range(random.choice([1, 300, 21_000]))]
    return changed


def zipped_with_flaws(members: Members, random: Random) -> bytes:
    """Written with comments, extra fields, odd dates, other methods, data in front."""
    target = io.BytesIO()
    target.write(random.choice([b"", b"", b"MZ" + bytes(500)]))
    with zipfile.ZipFile(target, "w", allowZip64=True) as archive:
        for name, data in members:
            info = zipfile.ZipInfo(name, random.choice([(1980, 1, 1, 0, 0, 0), (2107, 12, 31, 23, 59, 58)]))
            methods = [zipfile.ZIP_DEFLATED] * 12 + [zipfile.ZIP_STORED] * 4 + [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA]
            info.compress_type = random.choice(methods)
            info.comment = random.choice([b"", b"", b"remark \xff"])
            info.extra = random.choice([b"", b"", b"\x99\x99\x02\0ab", b"\x55\x54\x05\0\x03abcd"])
            info.external_attr = random.choice([0, 0o120777 << 16, 0xFFFFFFFF])
            info.create_system = random.choice([0, 3, 255])
            with archive.open(info, "w", force_zip64=random.random() < 0.1) as entry:
                entry.write(data)
        archive.comment = random.choice([b"", b"", b"all of it", b"PK\x05\x06" * 20])
    return target.getvalue()


def _mutate_headers(packed: bytes, random: Random) -> bytes:
    """One field of one header gets another value."""
    changed = bytearray(packed)
    heads = {b"PK\x01\x02": 46, b"PK\x03\x04": 30, b"PK\x05\x06": 22}
    signature = random.choice(list(heads))
    places = [match.start() for match in re.finditer(re.escape(signature), packed)]
    if not places:
        return packed
    start = random.choice(places)
    at = start + 4 + 2 * random.randrange((heads[signature] - 4) // 2)
    if at + 4 <= len(changed):
        wide = struct.pack("<I", random.choice([0, 1, 0xFFFFFFFF, 0x7FFFFFFF, random.getrandbits(32)]))
        narrow = struct.pack("<H", random.choice([0, 1, 8, 9, 99, 0xFFFF, 1 << random.randrange(16)]))
        value = random.choice([wide, narrow, narrow])
        changed[at : at + len(value)] = value
    return bytes(changed)


# XML

TAG: Final = re.compile(rb"<[^!?][^<>]*>")
ATTRIBUTE: Final = re.compile(rb'([\w:.-]+)="([^"]*)"')
ODD_VALUES: Final = tuple(
    value.encode("utf-8", "ignore")
    for value in (
        "", "-1", "0", "1", "99999999999999999999", "1e308", "NaN", "A0", "A1", "XFD1048576", "XFE1048577", "A1:A1",
        "B2:A1", "A1:XFD1048576", "ZZZZZ99999999", "true", "yes", "../../../etc/passwd", "file:///etc/passwd",
        "http://127.0.0.1:9/x", "rId1", "rId999", "&#10;", "&lt;", "&#xD800;", "&amp;amp;", "&undefined;", "\u202e",
        "é", "x" * 40_000, "9" * 5000, "visible", "hidden", "shared", "array", "str", "s", "b", "e", "d", "n",
        "inlineStr", "float", "date", "PT1H",
        "2026-13-45", "1899-12-30", "0000-00-00", "1048576", "16384", "1048577", "=1", "of:=[.A1]", "sheetkit",
    )
)  # fmt: skip
ODD_MARKUP: Final = (
    b"", b"<", b">", b"&", b"]]>", b"<!--", b"<!-- -->", b"<?x y?>", b"<![CDATA[ <a> ]]>", b"\0", b"\xff\xfe", b"\xc3",
    b'<!DOCTYPE a [<!ENTITY b "c">]>', b'<!DOCTYPE a SYSTEM "file:///etc/passwd">', b"&b;", b"&#0;", b"&#x1F600;",
    b"<a>" * 300, b"<x:a/>", b'<a xmlns="urn:other"/>', b" " * 100_000, b"\r\n", b"\t",
)  # fmt: skip


def mutate_xml(data: bytes, random: Random) -> bytes:
    """Tags and attributes of one part dropped, doubled, moved, exchanged; odd markup; another encoding."""
    members = members_of(data)
    likely = re.compile(r"workbook\.xml|content\.xml|styles\.xml|sheet\d+\.xml|rels$|sharedStrings|Types|manifest")
    parts = [at for at, (name, _) in enumerate(members) if name.endswith((".xml", ".rels", ".vml"))]
    preferred = [at for at in parts if likely.search(members[at][0])]
    if not parts:
        return mutate_bytes(data, random)
    for _ in range(random.choice([1, 1, 1, 2, 4])):
        at = random.choice(preferred if preferred and random.random() < 0.85 else parts)
        name, part = members[at]
        members[at] = (name, _mutate_part(part, random))
    return zipped(members, random)


def _mutate_part(part: bytes, random: Random) -> bytes:
    action = random.choice([_tag, _tag, _tag, _attribute, _attribute, _attribute, _markup, _encoding, _element])
    return action(part, random)


def _tag(part: bytes, random: Random) -> bytes:
    tags = [match.span() for match in TAG.finditer(part)]
    if not tags:
        return part
    start, end = random.choice(tags)
    other_start, other_end = random.choice(tags)
    tag, other = part[start:end], part[other_start:other_end]
    new = random.choice([b"", tag + tag, other, tag.replace(b"/>", b">"), tag[:-1] + b"/>", tag + other])
    return part[:start] + new + part[end:]


def _element(part: bytes, random: Random) -> bytes:
    """A whole element, as far as a plain search finds its end, dropped, doubled, or put elsewhere."""
    tags = [match.span() for match in TAG.finditer(part) if part[match.start() + 1 : match.start() + 2] != b"/"]
    if not tags:
        return part
    start, end = random.choice(tags)
    name = re.match(rb"<([\w:.-]+)", part[start:end])
    if name and not part[start:end].endswith(b"/>"):
        close = part.find(b"</" + name[1] + b">", end)
        end = close + len(name[1]) + 3 if close > 0 else end
    element = part[start:end]
    match random.randrange(3):
        case 0:
            return part[:start] + part[end:]
        case 1:
            return part[:start] + element * random.choice([2, 2, 50]) + part[end:]
        case _:
            where = random.choice(tags)[0]
            return part[:where] + element + part[where:]


def _attribute(part: bytes, random: Random) -> bytes:
    found = list(ATTRIBUTE.finditer(part))
    if not found:
        return part
    one, other = random.choice(found), random.choice(found)
    value = random.choice([*ODD_VALUES, other[2], one[2] + other[2], one[2].swapcase()])
    new = random.choice([
        one[1] + b'="' + value + b'"', one[1] + b'="' + value + b'"', b"", other[0], one[1] + b"='" + one[2] + b"'",
        b"x:" + one[0],
    ])  # fmt: skip
    return part[: one.start()] + new + part[one.end() :]


def _markup(part: bytes, random: Random) -> bytes:
    at = random.choice([0, len(part), random.randrange(len(part) + 1), part.find(b"?>") + 2, part.find(b">") + 1])
    return part[:at] + random.choice(ODD_MARKUP) + part[at + random.choice([0, 0, 1, 10]) :]


def _encoding(part: bytes, random: Random) -> bytes:
    text = part.decode("utf-8", "replace")
    bare = re.sub(r"^\s*<\?xml[^>]*\?>", "", text)
    match random.randrange(6):
        case 0:
            return ('<?xml version="1.0" encoding="UTF-16"?>' + bare).encode("utf-16")
        case 1:
            return b"\xef\xbb\xbf" + part
        case 2:
            return ('<?xml version="1.0" encoding="ISO-8859-1"?>' + bare).encode("latin-1", "xmlcharrefreplace")
        case 3:
            return ('<?xml version="1.1" encoding="UTF-8"?>' + bare).encode()
        case 4:
            return ('<?xml version="1.0" encoding="no-such"?>' + bare).encode()
        case _:
            return bare.encode("utf-32")


# Cells

XLSX_CELL: Final = re.compile(rb"<c [^>]*?/>|<c [^>]*?>.*?</c>", re.DOTALL)
ODS_CELL: Final = re.compile(
    rb"<table:table-cell[^>]*?/>|<table:table-cell[^>]*?>.*?</table:table-cell>", re.DOTALL
)  # fmt: skip


def mutate_cells(data: bytes, random: Random) -> bytes:
    """Cells of a sound workbook get other contents: odd numbers, texts, types, formulas without result, repeats."""
    members = members_of(data)
    sheets = [at for at, (name, _) in enumerate(members) if name == "content.xml" or "/sheet" in name]
    sheets = [at for at in sheets if members[at][0].endswith(".xml")]
    if not sheets:
        return mutate_xml(data, random)
    for _ in range(random.choice([1, 2, 4])):
        at = random.choice(sheets)
        name, part = members[at]
        pattern, made = (ODS_CELL, _ods_cell) if name == "content.xml" else (XLSX_CELL, _xlsx_cell)
        members[at] = (name, _with_other_cells(part, pattern, made, random))
    return zipped(members, random)


def _with_other_cells(
    part: bytes, pattern: re.Pattern[bytes], made: Callable[[bytes, Random], bytes], random: Random
) -> bytes:
    found = list(pattern.finditer(part))[:3000]
    chosen = sorted(random.sample(range(len(found)), min(len(found), random.choice([1, 2, 5, 30]))))
    pieces, after = [], 0
    for index in chosen:
        match = found[index]
        pieces += [part[after : match.start()], made(match[0], random)]
        after = match.end()
    return b"".join([*pieces, part[after:]])


def _text(random: Random) -> bytes:
    text = random.choice(ODD_TEXTS)
    kept = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")
    return kept.encode("utf-8", "ignore")


def _number(random: Random) -> bytes:
    return repr(random.choice(ODD_NUMBERS)).encode()


def _xlsx_cell(cell: bytes, random: Random) -> bytes:
    place = re.search(rb' r="[^"]*"', cell)
    where = place[0] if place else b""
    value = random.choice([_number(random), _text(random)])
    kind = random.choice([b"n", b"s", b"str", b"b", b"e", b"d", b"inlineStr", b"zzz"])
    formula = random.choice(
        [b"A1", b"1/0", b"SUM(A1:XFD1048576)", b"WEBSERVICE(1)", _text(random), b"Nope!A1", b"A" * 9000]
    )
    style = random.choice([b"", b' s="1"', b' s="99999"', b' s="-1"'])
    return random.choice([
        b"<c%s%s><v>%s</v></c>" % (where, style, _number(random)),
        b"<c%s%s><v>%s</v></c>" % (where, style, value),
        b'<c%s t="%s"><v>%s</v></c>' % (where, kind, value),
        b'<c%s t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>' % (where, _text(random)),
        b'<c%s t="inlineStr"><is><r><t>%s</t></r><rPh><t>x</t></rPh></is></c>' % (where, _text(random)),
        b"<c%s><f>%s</f></c>" % (where, formula),
        b"<c%s><f>%s</f><v>%s</v></c>" % (where, formula, value),
        b'<c%s><f t="shared" si="%d" ref="A1:XFD9">%s</f><v>1</v></c>' % (where, random.choice([0, 7]), formula),
        b'<c r="%s"><v>1</v></c>' % random.choice(ODD_VALUES),
        cell + cell,
        b"",
    ])  # fmt: skip


def _ods_cell(cell: bytes, random: Random) -> bytes:
    kind = random.choice([b"float", b"string", b"date", b"time", b"boolean", b"percentage", b"currency", b"zzz"])
    repeated = random.choice([b"", b"", b' table:number-columns-repeated="%s"' % random.choice(ODD_VALUES)])
    value = random.choice([_number(random), _text(random), *ODD_VALUES[:8]])
    name = {b"date": b"date-value", b"time": b"time-value", b"boolean": b"boolean-value", b"string": b"string-value"}
    formula = random.choice([b"of:=1/0", b"of:=[.A1]", b"of:=[$Nope.A1]", b"msoxl:=A1", b"oooc:=[.A1]", _text(random)])
    typed = b'office:value-type="%s" office:%s="%s"' % (kind, name.get(kind, b"value"), value)
    return random.choice([
        b'<table:table-cell%s office:value-type="float" office:value="%s"/>' % (repeated, _number(random)),
        b"<table:table-cell%s %s><text:p>%s</text:p></table:table-cell>" % (repeated, typed, _text(random)),
        b'<table:table-cell%s table:style-name="%s"><text:p>%s</text:p></table:table-cell>' % (repeated, kind, value),
        b'<table:table-cell table:formula="%s"/>' % formula,
        b'<table:table-cell table:formula="%s" %s/>' % (formula, typed),
        b'<table:table-cell table:number-rows-spanned="9999" table:number-columns-spanned="9" %s/>' % typed,
        b"<table:covered-table-cell%s/>" % repeated,
        cell * 2,
        b"",
    ])  # fmt: skip


MUTATIONS: Final[dict[str, Callable[[bytes, Random], bytes]]] = {
    "bytes": mutate_bytes,
    "zip structure": mutate_zip,
    "XML": mutate_xml,
    "cells": mutate_cells,
}
"""What is done to a starting workbook, by the name in the table of faults."""

KINDS: Final[Sequence[str]] = (*MUTATIONS, "random rows")
