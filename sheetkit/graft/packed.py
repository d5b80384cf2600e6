"""New content of an entry, packed as it is made, so that the whole of it need not be held in memory."""

import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

_LEVEL: Final = 5
"""A third quicker than the usual 6, and 3 % larger."""
_CHUNK: Final = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Packed:
    """Content as an entry holds it.

    Attributes:
        data: packed by deflate, without a header
        size: bytes before packing
        crc: checksum of what was packed
    """

    data: bytes
    size: int
    crc: int

    def chunks(self) -> Iterator[bytes]:
        """What was packed, piece by piece."""
        unpacker = zlib.decompressobj(-zlib.MAX_WBITS)
        rest = self.data
        while rest and not unpacker.eof:
            yield unpacker.decompress(rest, _CHUNK)
            rest = unpacker.unconsumed_tail
        yield unpacker.flush()


def pack(pieces: Iterable[bytes | memoryview]) -> Packed:
    """Pack content piece by piece."""
    packer = zlib.compressobj(_LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
    made: list[bytes] = []
    size = crc = 0
    for piece in pieces:
        made.append(packer.compress(piece))
        size, crc = size + len(piece), zlib.crc32(piece, crc)
    made.append(packer.flush())
    return Packed(b"".join(made), size, crc)


def gathered(texts: Iterable[str]) -> Iterator[bytes]:
    """Many short texts as few pieces worth packing."""
    waiting: list[str] = []
    length = 0
    for text in texts:
        waiting.append(text)
        length += len(text)
        if length >= _CHUNK:
            yield "".join(waiting).encode("utf-8")
            waiting, length = [], 0
    yield "".join(waiting).encode("utf-8")
