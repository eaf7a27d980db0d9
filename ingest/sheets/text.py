"""Plain text files to pages: sheets end at form feeds; every character stands on a grid."""

import codecs

from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Page, Word
from benchleaf.ingest.sheets.words import clean

SIZE, ADVANCE, LEADING, MARGIN = 10.0, 6.0, 12.0, 36.0  # points: a common typewriter grid
_SNIFFED = 65_536
_MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))


def is_text(data: bytes) -> bool:
    """True if the bytes decode to text without control characters."""
    try:
        start = decode(data[:_SNIFFED])
    except RefusedFile:
        return False
    odd = sum(c < " " and c not in "\t\r\n\f\x1a" for c in start)
    return odd * 200 <= len(start)


def decode(data: bytes) -> str:
    """The text of the bytes: UTF-8, UTF-16 with or without a mark, or Windows-1252.

    Raises RefusedFile if they hold NULs and are no UTF-16.
    """
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return data.decode(encoding, "replace")
    if b"\0" in data:
        return _unmarked_utf16(data)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.start >= len(data) - 3 and len(data) == _SNIFFED:
            return data[: error.start].decode("utf-8")
        return data.decode("cp1252", "replace")


def _unmarked_utf16(data: bytes) -> str:
    """UTF-16 without its mark shows a NUL at every second byte of plain letters."""
    even, odd = data[0::2].count(0), data[1::2].count(0)
    half = len(data) / 2
    if odd > 0.7 * half and even < 0.05 * half:
        return data.decode("utf-16-le", "replace")
    if even > 0.7 * half and odd < 0.05 * half:
        return data.decode("utf-16-be", "replace")
    raise RefusedFile("not plain text", "Save or print the document as a PDF and add that.")


def read_text(data: bytes) -> tuple[Page, ...]:
    """The sheets of a plain text file. Raises RefusedFile if it is empty or no text."""
    text = decode(data).replace("\r\n", "\n").replace("\r", "\n").rstrip("\x1a\n \t\f")
    if not text:
        raise RefusedFile("the file is empty", "Fetch the file again and add it once more.")
    return tuple(_page(number, sheet) for number, sheet in enumerate(text.split("\f"), 1))


def _page(number: int, text: str) -> Page:
    lines = [line.expandtabs(8) for line in text.split("\n")]
    words = [w for row, line in enumerate(lines) for w in _words(line, row)]
    widest = max((len(line) for line in lines), default=0)
    return Page(
        sheet=number,
        width=max(595.0, 2 * MARGIN + ADVANCE * widest),
        height=max(842.0, 2 * MARGIN + LEADING * len(lines)),
        words=tuple(words),
    )


def _words(line: str, row: int) -> list[Word]:
    found = []
    at = 0
    top = MARGIN + LEADING * row
    for part in line.replace("\u00a0", " ").split(" "):
        if text := clean(part):
            x0 = MARGIN + ADVANCE * at
            found.append(Word(text, Box(x0, top, x0 + ADVANCE * len(part), top + SIZE), SIZE))
        at += len(part) + 1
    return found
