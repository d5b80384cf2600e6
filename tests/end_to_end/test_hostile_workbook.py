"""A refresh of a hostile workbook opens nothing but the workbook: no macro, link, query, picture or entity is followed.

Every call of Python's for files, processes and the network is recorded in the refreshing process. What a library does
in C is caught from outside: the traps are a listening port, which counts who calls, and a named pipe, which stops
whoever opens it.
"""

import json
import os
import socket
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path
from xml.sax.saxutils import quoteattr

import pytest
from openpyxl import load_workbook

from sheetkit import check
from sheetkit.errors import DamagedWorkbook

ROOT = Path(__file__).parents[2]
WATCHED = """
import json, os, sys
calls, wanted = [], ("open", "os.", "socket.", "subprocess.", "urllib.", "http.", "ftplib.", "shutil.", "ctypes.dlopen")
from pathlib import Path
def note(event, arguments):
    if event.startswith(wanted) and event not in {"os.putenv", "os.fwalk", "os.walk"}:
        calls.append([event, *map(str, arguments)])
import sheetkit.pipeline
sys.addaudithook(note)
from sheetkit.pipeline import check, refresh
from sheetkit.errors import SheetkitError
path = sys.argv[1]
said = []
for act in (check, refresh, refresh):
    try:
        said.append(getattr(act(path), "written", None))
    except SheetkitError as refusal:
        said.append(str(refusal))
print(json.dumps([said, calls]))
"""
JOB = {
    "Stock": [["A1", "black cherry", 20, 3, 1.5], ["B1", "wenge", 20, 3, 1.2]],
    "Targets": [["P", "black cherry", 0.05, 0.002, 4], ["P", "wenge", 0.02, 0.002, 3]],
    "Panels": [["P", 9, 2.5]],
}
SETTING, NAMESPACE = "http://schemas.openxmlformats.org/officeDocument/2006", "http://schemas.openxmlformats.org"
MAIN = f"{NAMESPACE}/spreadsheetml/2006/main"


@pytest.fixture
def traps(tmp_path):
    """A port that listens and a pipe that blocks: addresses to be put into the workbook, and the port to look at."""
    pipe = tmp_path / "secret.xlsx"
    os.mkfifo(pipe)
    with socket.socket() as port:
        port.bind(("127.0.0.1", 0))
        port.listen()
        port.setblocking(False)
        yield {"file": f"file://{pipe}", "path": str(pipe), "web": f"http://127.0.0.1:{port.getsockname()[1]}/x"}, port


def changed(path, edits, added):
    """Rewrite a package: edits are (part, old, new), added are parts by name."""
    with zipfile.ZipFile(path) as package:
        members = {name: package.read(name) for name in package.namelist()}
    for name, old, new in edits:
        assert old.encode() in members[name], (name, old)
        members[name] = members[name].replace(old.encode(), new.encode(), 1)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in members.items():
            package.writestr(name, data)
        for name, data in added.items():
            package.writestr(name, data)
    return path


def relationships(*pairs):
    """A relationships part of external targets."""
    lines = "".join(
        f'<Relationship Id="rId{number}" Type="{SETTING}/relationships/{kind}" Target="{target}" '
        'TargetMode="External"/>'
        for number, (kind, target) in enumerate(pairs, 1)
    )
    return f'<Relationships xmlns="{NAMESPACE}/package/2006/relationships">{lines}</Relationships>'


def hostile_xlsx(path, traps):
    """Links to other books, a query of the web, pictures and templates from elsewhere, macros, formulas that fetch."""
    web, file = traps["web"], traps["file"]
    formulas = [
        f'WEBSERVICE("{web}")', f'HYPERLINK("{web}","x")', f'IMAGE("{web}")', "[1]Sheet1!A1", f"'{traps['path']}'!A1",
        "cmd|'/c calc'!A0", 'CALL("libc.so.6","system","JC","true")', 'EXEC("true")', f'INDIRECT("[{file}]A!A1")',
        'RTD("x",,"y")', f'FILES("{traps["path"]}")', f'CUBEVALUE("{web}","x")', "SUM([1]Sheet1!A:A)",
    ]  # fmt: skip
    rows = "".join(
        f'<row r="{row}"><c r="E{row}"><f>{formula.replace("&", "&amp;")}</f></c></row>'
        for row, formula in enumerate(formulas, 20)
    )
    sheet = stock_part(path)
    workbook_kind = f"{SETTING}/relationships"
    edits = [
        (sheet, "</sheetData>", f"{rows}</sheetData>"),
        (
            "xl/workbook.xml",
            "</sheets>",
            f'</sheets><externalReferences><externalReference xmlns:r="{workbook_kind}" r:id="rId901"/>'
            "</externalReferences>",
        ),
        (
            "xl/_rels/workbook.xml.rels",
            "</Relationships>",
            f'<Relationship Id="rId901" Type="{workbook_kind}/externalLink" Target="externalLinks/externalLink1.xml"/>'
            f'<Relationship Id="rId902" Type="{workbook_kind}/connections" Target="connections.xml"/>'
            f'<Relationship Id="rId903" Type="{workbook_kind}/attachedTemplate" Target="{web}" TargetMode="External"/>'
            f'<Relationship Id="rId904" Type="{workbook_kind}/image" Target="{file}" TargetMode="External"/>'
            "</Relationships>",
        ),
        (
            "[Content_Types].xml",
            "</Types>",
            '<Override PartName="/xl/externalLinks/externalLink1.xml" ContentType="application/vnd.openxmlformats-'
            'officedocument.spreadsheetml.externalLink+xml"/><Override PartName="/xl/connections.xml" ContentType='
            '"application/vnd.openxmlformats-officedocument.spreadsheetml.connections+xml"/>'
            '<Default Extension="bin" ContentType="application/vnd.ms-office.vbaProject"/></Types>',
        ),
    ]
    added = {
        "xl/externalLinks/externalLink1.xml": f'<externalLink xmlns="{MAIN}"><externalBook r:id="rId1" '
        f'xmlns:r="{workbook_kind}"><sheetNames><sheetName val="Sheet1"/></sheetNames></externalBook></externalLink>',
        "xl/externalLinks/_rels/externalLink1.xml.rels": relationships(
            ("externalLinkPath", traps["path"]), ("oleObject", web)
        ),
        "xl/connections.xml": f'<connections xmlns="{MAIN}"><connection id="1" type="4" refreshOnLoad="1">'
        f'<webPr url="{web}"/></connection></connections>',
        "xl/vbaProject.bin": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1Attribut\0Sub Auto_Open()\r\nShell \"calc\"\r\nEnd Sub",
        "../../escaped.txt": b"climbs out",
        f"{path.parent}/absolute.txt": b"wants a place of its own",
        "customXml/item1.xml": f'<!DOCTYPE a [<!ENTITY b SYSTEM "{file}">]><a>&b;</a>',
    }  # fmt: skip
    return changed(path, edits, added)


def stock_part(path):
    """Name of the part of Stock."""
    return f"xl/worksheets/sheet{load_workbook(path, read_only=True).sheetnames.index('Stock') + 1}.xml"


def hostile_ods(path, traps):
    """Linked tables, live links to programs, scripts, pictures and objects from elsewhere, formulas that fetch."""
    web, file = traps["web"], traps["file"]
    formulas = [
        f'WEBSERVICE("{web}")', f'HYPERLINK("{web}";"x")', f'DDE("soffice";"{traps["path"]}";"A1")',
        f"['{file}'#$Sheet1.A1]", f"INDIRECT(\"'{file}'#$Sheet1.A1\")", 'MULTIPLE.OPERATIONS([.A1];[.A2];[.A3])',
        "COM.SUN.STAR.SHEET.ADDIN.X()", "MYMACRO()",
    ]  # fmt: skip
    cells = "".join(
        f"<table:table-row><table:table-cell/><table:table-cell table:formula={quoteattr('of:=' + formula)}/>"
        "</table:table-row>"
        for formula in formulas
    )
    link = 'xmlns:xlink="http://www.w3.org/1999/xlink" xlink:type="simple" xlink:actuate="onLoad"'
    linked = (
        f'<table:table table:name="Linked" xmlns:draw="urn:oasis:names:tc:opendocument:xmlns:drawing:1.0">'
        f'<table:table-source {link} xlink:href="{file}" table:refresh-delay="PT1S"/>'
        f'<table:shapes><draw:frame><draw:image {link} xlink:href="{web}"/><draw:image {link} xlink:href="{file}"/>'
        f'<draw:object {link} xlink:href="{file}"/><draw:plugin {link} xlink:href="{web}"/></draw:frame></table:shapes>'
        f'<table:table-row><table:table-cell><table:cell-range-source {link} table:name="x" xlink:href="{file}"/>'
        "</table:table-cell></table:table-row></table:table>"
    )
    script = (
        '<office:scripts xmlns:script="urn:oasis:names:tc:opendocument:xmlns:script:1.0"><office:event-listeners>'
        f'<script:event-listener {link} script:language="ooo:script" script:event-name="dom:load" '
        'xlink:href="vnd.sun.star.script:Standard.Module1.Main?language=Basic&amp;location=document"/>'
        "</office:event-listeners></office:scripts>"
    )
    with zipfile.ZipFile(path) as package:
        behind_stock = (
            package.read("content.xml").decode().partition('table:name="Stock"')[2].partition("</table:table>")
        )
    edits = [
        ("content.xml", behind_stock[0], behind_stock[0] + cells),
        ("content.xml", "</office:spreadsheet>", f"{linked}</office:spreadsheet>"),
        ("content.xml", "<office:automatic-styles", f"{script}<office:automatic-styles"),
    ]
    added = {
        "Basic/Standard/Module1.xml": '<module name="Module1">Sub Main\nShell("true")\nEnd Sub</module>',
        "../../escaped.txt": b"climbs out",
        f"{path.parent}/absolute.txt": b"wants a place of its own",
        "Object 9/content.xml": f'<!DOCTYPE a [<!ENTITY b SYSTEM "{file}">]><a>&b;</a>',
    }
    return changed(path, edits, added)


def watched(path):
    """Check and refresh in a process that tells of every call; gives what was said and the calls."""
    command = [sys.executable, "-c", WATCHED, str(path)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False, cwd=path.parent)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


OWN_PLACES = [
    *(os.path.realpath(path) for path in {sys.prefix, sys.base_prefix, *sysconfig.get_paths().values()}),
    *(str(ROOT / "sheetkit"), "/proc/", "/sys/", "/dev/null", "/dev/urandom", "/lib", "/usr/lib"),
]
"""Where Python, its packages and this one lie; the system's own devices."""
NEVER = (
    "socket.", "subprocess.", "urllib.", "http.", "ftplib.", "os.system", "os.exec", "os.fork", "os.posix_spawn",
    "os.spawn", "os.startfile", "shutil.",
)  # fmt: skip
CHANGES = {"os.remove", "os.rename", "os.link", "os.symlink", "os.mkdir", "os.rmdir", "os.truncate"}


def strangers(calls, path):
    """Calls that have no business in a refresh."""
    return [call for call in calls if _is_strange(call[0], call[1:], path)]


def _is_strange(event, arguments, path):
    if event == "open" and not arguments[0].isdigit():
        place = Path(os.path.realpath(path.parent / arguments[0]))
        writing = set(arguments[1]) & set("wa+x") or int(arguments[2]) & (os.O_WRONLY | os.O_RDWR)
        if place in {path.resolve(), path.parent.resolve(), Path(os.devnull)} or place.name.startswith(".sheetkit-"):
            return False
        if place.parent == path.parent.resolve() and place.name.startswith((".~lock.", "~$")):
            return False
        return bool(writing) or not str(place).startswith(tuple(OWN_PLACES))
    return event.startswith(NEVER) or (event in CHANGES and Path(arguments[0]).parent != path.parent)


@pytest.fixture
def hostile(fill, tmp_path, suffix, traps):
    folder = tmp_path / "inner" / "most"
    folder.mkdir(parents=True)
    path = fill(folder / f"job{suffix}", JOB)
    return (hostile_xlsx if suffix == ".xlsx" else hostile_ods)(path, traps[0])


def test_a_hostile_workbook_is_refreshed_and_nothing_else_is_opened(hostile, tmp_path, traps):
    with zipfile.ZipFile(hostile) as package:
        before = {name: package.read(name) for name in package.namelist()}
    worked_out = [problem.found for problem in check(hostile).problems if "could not be worked out" in problem.found]
    assert len(worked_out) >= 8, "the formulas are looked at"
    said, calls = watched(hostile)
    assert said == [False, True, False]
    assert len([event for event, *_ in calls if event == "open"]) >= 4, "the recorder records"
    assert strangers(calls, hostile) == []
    with pytest.raises(BlockingIOError):
        traps[1].accept()
    assert sorted(entry.name for entry in hostile.parent.iterdir()) == [hostile.name]
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["inner", "secret.xlsx"]
    with zipfile.ZipFile(hostile) as package:
        for name, content in before.items():
            if name.startswith(("xl/external", "xl/connections", "xl/vba", "..", "/", "customXml", "Basic", "Object")):
                assert package.read(name) == content, name


def test_the_recorder_sees_what_it_must_see(tmp_path):
    """The same net around a process that does fetch and start things catches each of them."""
    bad = "import urllib.request, subprocess, socket\n" + WATCHED.partition("path = sys.argv[1]")[0] + (
        "open('/etc/hostname').close()\nsubprocess.run(['true'])\n"
        "try:\n    urllib.request.urlopen('http://127.0.0.1:9/')\nexcept OSError: pass\nprint(json.dumps([[], calls]))"
    )  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", bad], capture_output=True, text=True, timeout=60, check=True, cwd=tmp_path
    )
    found = {event for event, *_ in strangers(json.loads(done.stdout)[1], tmp_path / "job.xlsx")}
    assert {"open", "subprocess.Popen", "urllib.Request", "socket.connect"} <= found


ENTITY = '<!DOCTYPE a [<!ENTITY b SYSTEM "{file}"><!ENTITY % c SYSTEM "{web}"> %c;]>'
PARTS = {
    ".xlsx": ["xl/workbook.xml", "[Content_Types].xml", "_rels/.rels", "xl/styles.xml", "xl/_rels/workbook.xml.rels",
              "xl/worksheets/sheet3.xml", "xl/sharedStrings.xml"],
    ".ods": ["content.xml", "styles.xml", "META-INF/manifest.xml"],
}  # fmt: skip


@pytest.mark.parametrize("part", [(suffix, part) for suffix, parts in PARTS.items() for part in parts], ids="".join)
def test_an_entity_from_elsewhere_is_refused_unread(fill, tmp_path, traps, part):
    """The pipe would stop whoever opens it, and the port counts who calls."""
    suffix, name = part
    path = fill(tmp_path / f"job{suffix}", JOB)
    with zipfile.ZipFile(path) as package:
        text = package.read(name).decode()
    head, behind = text[: text.index("?>") + 2] if text.startswith("<?xml") else "", text
    behind = behind[len(head) :]
    changed(path, [(name, text, head + ENTITY.format(**traps[0]) + behind)], {})
    before = path.read_bytes()
    command = [sys.executable, "-m", "sheetkit", "refresh", str(path)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False, cwd=ROOT)
    assert (done.returncode, done.stdout, len(done.stderr.splitlines())) == (2, "", 1)
    assert "document type" in done.stderr
    assert path.read_bytes() == before
    with pytest.raises(BlockingIOError):
        traps[1].accept()


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_a_bomb_in_a_part_that_is_read_is_refused_in_one_line(fill, tmp_path, suffix):
    """300 MB of blanks pack into 300 kB."""
    path = fill(tmp_path / f"job{suffix}", JOB)
    part = "content.xml" if suffix == ".ods" else "xl/worksheets/sheet3.xml"
    with zipfile.ZipFile(path) as package:
        end = package.read(part).decode()[-20:]
    changed(path, [(part, end, end + " " * 300_000_000)], {})
    with pytest.raises(DamagedWorkbook) as caught:
        check(path)
    assert str(caught.value) == (
        f"job{suffix}: found {part} unpacks to more than 268,435,456 bytes, wanted a sound workbook. "
        "To fix: open it in the spreadsheet program and save it again."
    )
