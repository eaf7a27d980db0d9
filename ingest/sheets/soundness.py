"""Signs that a PDF's bytes are not those that were written: readers mend such a file and lose words silently.

ISO 32000-1: a file ends with `%%EOF` (7.5.5), its table tells where each object stands (7.5.4), a stream is
as long as it says (7.3.8), and a packed one ends with a checksum over all that it unpacks to (RFC 1950).
"""

import base64
import re
import zlib
from collections import Counter
from collections.abc import Iterator

_END = 2048  # bytes at the end among which the mark of the end stands
_HEAD = 1024  # bytes before a stream within which its own description begins
_STREAM = re.compile(rb">>\s{0,4}stream\r?\n")
_LENGTH = re.compile(rb"/Length\s{1,4}([0-9]{1,10})(?!\s{1,4}[0-9]{1,10}\s{1,4}R)[\s/>]")
_PACKED = re.compile(
    rb"/(?:Filter|F)\s{0,4}(?:\[\s{0,4})?(/(?:ASCII85Decode|A85)\s{0,4})?"
    rb"((?:/(?:FlateDecode|Fl)(?![A-Za-z])\s{0,4}){1,8})"
)
_IMAGE = re.compile(rb"/Subtype\s{0,4}/Image")
_BROKEN, _SWELLING = "broken", "swelling"
_START = re.compile(rb"startxref\s{1,4}([0-9]{1,12})\s")
_SECTION = re.compile(rb"\s{0,4}([0-9]{1,9}) ([0-9]{1,9}) {0,2}\r?\n")
_ENTRY = re.compile(rb"([0-9]{10}) ([0-9]{5}) ([nf])[ \r\n]{2}")
_TABLE = re.compile(rb"\s{0,8}xref\s{1,4}")
_OBJECT = re.compile(rb"\s{0,8}([0-9]{1,9})\s{1,4}[0-9]{1,5}\s{1,4}obj")
_MOST = 200_000_000  # bytes unpacked in one file to look at their checksums
_PIECE = 1 << 20


def unsound(data: bytes) -> tuple[str, ...]:
    """What is wrong with a PDF's bytes, in plain words; nothing for a sound file.

    A change of letters in a part that is not packed cannot be told: nothing vouches for it.
    """
    told = []
    if b"%%EOF" not in data[-_END:]:
        told.append("its end is missing")
    if not _placed(data):
        told.append("its table of contents does not fit it")
    parts = Counter(_parts(data))
    if count := parts[_BROKEN]:
        told.append("a part of it is broken" if count == 1 else f"{count} parts of it are broken")
    if parts[_SWELLING]:
        told.append("a part of it swells to hundreds of megabytes")
    return tuple(told)


def _placed(data: bytes) -> bool:
    """Whether the last table of places is where it should be, and each object where the table says."""
    starts = _START.findall(data[-_END:])
    if not starts:
        return False
    before = max(data[:1024].find(b"%PDF-"), 0)  # what stands before the head counts for some writers
    return any(_table_fits(data, int(starts[-1]), shift) for shift in {0, before})


def _table_fits(data: bytes, start: int, shift: int) -> bool:
    table = _TABLE.match(data, start + shift)
    if table is None:
        return _OBJECT.match(data, start + shift) is not None  # a table that is itself an object
    at = table.end()
    while (section := _SECTION.match(data, at)) is not None:
        at = section.end()
        for number in range(int(section[1]), int(section[1]) + int(section[2])):
            entry = _ENTRY.match(data, at)
            if entry is None:
                return False
            at = entry.end()
            if entry[3] == b"n" and int(entry[1]) and not _stands(data, int(entry[1]) + shift, number):
                return False
    return True


def _stands(data: bytes, at: int, number: int) -> bool:
    found = _OBJECT.match(data, at)
    return found is not None and int(found[1]) == number


def _parts(data: bytes) -> Iterator[str]:
    """What is wrong with each stream that does not end as it says, does not unpack whole, or swells."""
    if b"/Encrypt" in data:
        return  # their bytes mean nothing before they are unlocked
    left = _MOST
    for found in _STREAM.finditer(data):
        begin = max(data.rfind(b"obj", max(0, found.start() - _HEAD), found.start()), 0)
        said = data[begin : found.start() + 2]
        length = _LENGTH.search(said)
        if length is not None and not _ends(data, found.end() + int(length[1])):
            yield _BROKEN
        elif left > 0 and (packed := _PACKED.search(said)) is not None:
            end = found.end() + int(length[1]) if length else data.find(b"endstream", found.end())
            body = data[found.end() : end if end >= 0 else len(data)]
            size = _unpacked(body, len(packed[2].split(b"/")) - 1, armoured=packed[1] is not None, most=left)
            left -= size or 0
            if size is None:
                yield _BROKEN
            elif left <= 0 and not _IMAGE.search(said):
                yield _SWELLING


def _ends(data: bytes, at: int) -> bool:
    return data[at : at + 16].lstrip(b"\r\n \t").startswith(b"endstream")


def _unpacked(body: bytes, times: int, *, armoured: bool, most: int) -> int | None:
    """How many bytes a stream packed so many times unpacks to, as far as that is looked at; None if it is
    broken."""
    size = 0
    try:
        pieces: Iterator[bytes] = iter((_plain(body) if armoured else body,))
        for _ in range(times):
            pieces = _inflated(pieces)
        for piece in pieces:
            size += len(piece)
            if size > most:
                break
    except (zlib.error, ValueError):
        return None
    return size


def _inflated(pieces: Iterator[bytes]) -> Iterator[bytes]:
    """What is packed, piece by piece. Raises zlib.error if it is broken or does not end."""
    packed = zlib.decompressobj()
    for piece in pieces:
        while piece and not packed.eof:
            yield packed.decompress(piece, _PIECE)
            piece = packed.unconsumed_tail
    if not packed.eof:
        raise zlib.error("it does not end")


def _plain(body: bytes) -> bytes:
    """Bytes from the letters that ASCII85 writes them in."""
    return base64.a85decode(body.strip().removesuffix(b"~>"))
