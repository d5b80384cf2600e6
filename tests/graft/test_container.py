"""The zip container: everything untouched stays as packed bytes."""

import io
import struct
import zipfile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.errors import DamagedWorkbook, EncryptedWorkbook
from sheetkit.graft.container import rewrite


class _NoSeek(io.RawIOBase):
    """Makes zipfile write data descriptors, as programs that stream do."""

    def __init__(self, target):
        self.target = target

    def writable(self):
        return True

    def write(self, data):
        return self.target.write(data)


def build(entries, *, streamed=False, comment=b""):
    target = io.BytesIO()
    with zipfile.ZipFile(_NoSeek(target) if streamed else target, "w") as archive:
        archive.comment = comment
        for info, data in entries:
            archive.writestr(info, data)
    return target.getvalue()


def info(name, method=zipfile.ZIP_DEFLATED, *, extra=b"", comment=b"", date=(2019, 5, 17, 8, 30, 2)):
    made = zipfile.ZipInfo(name, date)
    made.compress_type, made.extra, made.comment = method, extra, comment
    return made


def written(source, **changes):
    out = io.BytesIO()
    rewrite(io.BytesIO(source), out, **{"replaced": {}, **changes})
    return out.getvalue()


def refused(source):
    with pytest.raises(DamagedWorkbook) as caught:
        written(bytes(source))
    return str(caught.value)


def said(found):
    return (
        f"the file: found {found}, wanted a sound workbook. "
        "To fix: open it in the spreadsheet program and save it again."
    )


def packed_bytes(archive_bytes, name):
    with zipfile.ZipFile(io.BytesIO(archive_bytes)) as archive:
        entry = archive.getinfo(name)
    name_length, extra_length = struct.unpack_from("<2H", archive_bytes, entry.header_offset + 26)
    start = entry.header_offset + 30 + name_length + extra_length
    return archive_bytes[start : start + entry.compress_size]


@pytest.mark.parametrize("streamed", [False, True])
def test_an_untouched_entry_keeps_packed_bytes_date_extra_and_comment(streamed):
    extra = struct.pack("<2H4s", 0xCAFE, 4, b"abcd")
    source = build(
        [(info("b.xml", extra=extra, comment=b"kept"), b"x" * 5000), (info("a.bin", zipfile.ZIP_STORED), b"plain")],
        streamed=streamed,
        comment=b"whole file",
    )
    result = written(source, added=[("new.xml", b"<new/>")])
    with zipfile.ZipFile(io.BytesIO(result)) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == ["b.xml", "a.bin", "new.xml"]
        assert archive.comment == b"whole file"
        entry = archive.getinfo("b.xml")
        assert (entry.date_time, entry.extra, entry.comment) == ((2019, 5, 17, 8, 30, 2), extra, b"kept")
        assert all(not each.flag_bits & 8 for each in archive.infolist())
    for name in ("b.xml", "a.bin"):
        assert packed_bytes(result, name) == packed_bytes(source, name)


def test_a_replaced_entry_keeps_its_place_and_a_removed_one_goes():
    source = build([(info("one"), b"1"), (info("two", zipfile.ZIP_STORED), b"2"), (info("three"), b"3")])
    result = written(source, replaced={"/TWO": b"two again"}, removed=["one", "absent"])
    with zipfile.ZipFile(io.BytesIO(result)) as archive:
        assert {name: archive.read(name) for name in archive.namelist()} == {"two": b"two again", "three": b"3"}
        assert archive.namelist() == ["two", "three"]
        assert archive.getinfo("two").compress_type == zipfile.ZIP_STORED


def test_a_second_run_with_the_same_content_gives_the_same_bytes():
    source = build([(info("one"), b"1" * 99), (info("folder/"), b""), (info("two"), b"2" * 99)], streamed=True)
    changes = {"replaced": {"one": b"uno"}, "added": [("z", b"last"), ("y", b"not sorted")]}
    once = written(source, **changes)
    assert written(once, **changes) == once


def test_name_bytes_are_not_decoded_and_encoded_again():
    source = build([(info("caf_.xml"), b"1")]).replace(b"caf_.xml", b"caf\x82.xml")
    assert b"caf\x82.xml" in written(source, added=[("b", b"2")])


def test_a_package_with_zip64_fields_is_read_and_written_without_them():
    target = io.BytesIO()
    with (
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("big", "w", force_zip64=True) as part,
    ):
        part.write(b"content" * 1000)
    result = written(target.getvalue())
    with zipfile.ZipFile(io.BytesIO(result)) as archive:
        assert archive.read("big") == b"content" * 1000
        assert archive.getinfo("big").extra == b""
    assert struct.unpack_from("<H", result, 28) == (0,)


def test_an_offset_beyond_four_gigabytes_gets_a_zip64_field():
    class Far(io.BytesIO):
        """Pretends that 5 GB stand before its first byte."""

        shift = 5 * 1024**3

        def tell(self):
            return super().tell() + self.shift

    out = Far()
    rewrite(io.BytesIO(build([(info("a"), b"1")])), out, replaced={})
    raw = out.getvalue()
    central = raw.index(b"PK\x01\x02")
    assert struct.unpack_from("<I", raw, central + 42) == (0xFFFFFFFF,)
    assert struct.unpack_from("<2HQ", raw, central + 46 + 1) == (1, 8, Far.shift)
    end = raw.index(b"PK\x06\x06")
    assert struct.unpack_from("<Q", raw, end + 48) == (Far.shift + central,)


def test_replacing_what_is_not_there_is_a_mistake_of_the_caller():
    with pytest.raises(ValueError, match="nothing to replace: b"):
        written(build([(info("a"), b"1")]), replaced={"b": b"2"})


def test_entries_that_share_their_bytes_are_refused():
    source = bytearray(build([(info("a", zipfile.ZIP_STORED), b"1" * 50), (info("b", zipfile.ZIP_STORED), b"1" * 50)]))
    second = source.rindex(b"PK\x01\x02")
    struct.pack_into("<I", source, second + 42, 0)
    assert refused(source) == said("parts that overlap in the file")


def test_an_entry_that_goes_on_beyond_the_file_is_refused():
    source = bytearray(build([(info("a", zipfile.ZIP_STORED), b"1" * 50)]))
    struct.pack_into("<I", source, source.index(b"PK\x01\x02") + 20, 5000)
    assert refused(source) == said("a part that goes on beyond the end of the file")


def test_an_entry_that_does_not_begin_where_the_list_says_is_refused():
    source = bytearray(build([(info("a", zipfile.ZIP_STORED), b"1" * 50)]))
    struct.pack_into("<I", source, source.index(b"PK\x01\x02") + 42, 2)
    assert refused(source) == said("no part at the place where a should be")


def test_an_entry_whose_own_header_pushes_it_beyond_the_file_is_refused():
    source = bytearray(build([(info("a", zipfile.ZIP_STORED), b"1" * 50)]))
    struct.pack_into("<H", source, 28, 60_000)
    assert refused(source) == said("a file that is cut short")


def test_an_encrypted_entry_is_refused():
    source = bytearray(build([(info("a"), b"1")]))
    central = source.index(b"PK\x01\x02")
    struct.pack_into("<H", source, central + 8, 1)
    with pytest.raises(EncryptedWorkbook) as caught:
        written(bytes(source))
    assert str(caught.value) == (
        "the file: found a password, wanted a workbook that opens without one. "
        "To fix: open it in the spreadsheet program and save it without a password."
    )


@pytest.mark.parametrize("keep", [0.2, 0.9])
def test_a_file_cut_short_is_refused(keep):
    source = build([(info("a"), bytes(range(256)) * 40)])
    assert refused(source[: int(len(source) * keep)]) == said("a file that is cut short or broken")


@settings(deadline=None)
@given(
    entries=st.dictionaries(
        st.text("abcé/", min_size=1).filter(lambda n: not n.endswith("/")), st.binary(), min_size=1
    ),
    added=st.dictionaries(st.text("xyzß", min_size=1), st.binary()),
    streamed=st.booleans(),
)
def test_whatever_goes_in_comes_out(entries, added, streamed):
    source = build([(info(name), data) for name, data in entries.items()], streamed=streamed)
    result = written(source, added=list(added.items()))
    with zipfile.ZipFile(io.BytesIO(result)) as archive:
        assert {name: archive.read(name) for name in archive.namelist()} == entries | added
