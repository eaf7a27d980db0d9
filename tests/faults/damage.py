"""Papers drawn and then damaged, each in a known way; what they said before is known to the letter."""

import io
import random
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

WORDS = (
    "Fit the seal {n} flush with the housing and tighten the screws to {m} Nm.",
    "Seal 4471-{n} has been replaced by seal 4471-{m}.",
    "Turn the shaft by hand and check that it runs freely on all {n} rollers.",
    "Measure the play with a dial gauge: {n} hundredths, at most {m}.",
)


@dataclass(frozen=True, slots=True)
class Damaged:
    """A damaged file: the way and a number that make it again, its bytes, and the sound file's."""

    way: str
    number: int
    data: bytes
    sound: bytes

    @property
    def name(self) -> str:
        """A name unlike any other's."""
        return f"{self.number:04d}-{self.way}.pdf"


def sound(number: int, sheets: int = 3) -> bytes:
    """A bulletin of some sheets, of invented words that differ from number to number."""
    held = io.BytesIO()
    canvas = Canvas(held, invariant=1, pageCompression=number % 4 != 3)
    pick = random.Random(number)
    for sheet in range(sheets):
        head = ("Brackwell Hoists", f"Service bulletin BH-{number}", "Date: 12 November 1999", "Models: H 40")
        for at, line in enumerate(head if sheet == 0 else (f"BH-{number} sheet {sheet + 1}",)):
            canvas.drawString(72, 760 - 20 * at, line)
        for at in range(12):
            line = pick.choice(WORDS).format(n=pick.randrange(100, 1000), m=pick.randrange(10, 100))
            canvas.drawString(72, 640 - 24 * at, line)
        canvas.showPage()
    canvas.save()
    return held.getvalue()


def _truncated(data: bytes, pick: random.Random) -> bytes:
    return data[: pick.randrange(10, len(data) - 10)]


def _flipped(data: bytes, pick: random.Random) -> bytes:
    broken = bytearray(data)
    for _ in range(pick.choice((1, 4, 16, 64))):
        broken[pick.randrange(len(broken))] ^= 1 << pick.randrange(8)
    return bytes(broken)


def _blanked(data: bytes, pick: random.Random) -> bytes:
    start, size = pick.randrange(len(data) - 40), pick.choice((8, 64, 512))
    return data[:start] + bytes(min(size, len(data) - start)) + data[start + size :]


def _torn(data: bytes, pick: random.Random) -> bytes:
    start, size = pick.randrange(len(data) - 40), pick.choice((1, 16, 256))
    return data[:start] + data[start + size :]


def _repeated(data: bytes, pick: random.Random) -> bytes:
    start = pick.randrange(len(data) - 40)
    return data[: start + 30] + data[start:]


def _swapped(data: bytes, pick: random.Random) -> bytes:
    size = len(data) // 8
    pieces = [data[i : i + size] for i in range(0, len(data), size)]
    one, other = pick.sample(range(len(pieces)), 2)
    pieces[one], pieces[other] = pieces[other], pieces[one]
    return b"".join(pieces)


def _lines_changed(data: bytes, pick: random.Random) -> bytes:
    """As a mail program in text mode does it."""
    return data.replace(b"\n", b"\r\n") if pick.random() < 0.5 else bytes(b & 0x7F for b in data)


def _headless(data: bytes, pick: random.Random) -> bytes:
    return data[pick.randrange(1, 2000) :]


WAYS: dict[str, Callable[[bytes, random.Random], bytes]] = {
    "truncated": _truncated,
    "flipped": _flipped,
    "blanked": _blanked,
    "torn": _torn,
    "repeated": _repeated,
    "swapped": _swapped,
    "lines": _lines_changed,
    "headless": _headless,
}


def damaged(count: int, seed: int = 0) -> Iterator[Damaged]:
    """So many damaged bulletins, all ways in turn; the same again for the same seed."""
    ways = tuple(WAYS)
    for number in range(count):
        whole, way = sound(number, 2 + number % 4), ways[number % len(ways)]
        yield Damaged(way, number, WAYS[way](whole, random.Random(f"{seed} {number}")), whole)


def pdf(objects: dict[int, bytes], root: int = 1) -> bytes:
    """A PDF of given objects with a sound table of their places."""
    parts, places = [b"%PDF-1.7\n"], {}
    for number, body in objects.items():
        places[number] = sum(map(len, parts))
        parts.append(b"%d 0 obj\n%s\nendobj\n" % (number, body))
    start, size = sum(map(len, parts)), max(objects) + 1
    parts.append(b"xref\n0 %d\n0000000000 65535 f \n" % size)
    for number in range(1, size):
        parts.append(b"%010d 00000 n \n" % places[number] if number in places else b"0000000000 65535 f \n")
    parts.append(b"trailer\n<</Size %d/Root %d 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (size, root, start))
    return b"".join(parts)


def stream(data: bytes, extra: bytes = b"", filters: int = 1) -> bytes:
    """A stream object; `filters` is how many times it is packed."""
    for _ in range(filters):
        data = zlib.compress(data, 9)
    names = b"[" + b"/FlateDecode " * filters + b"]"
    return b"<</Length %d/Filter %s%s>>\nstream\n%s\nendstream" % (len(data), names, extra, data)


def one_page(content: bytes, box: bytes = b"0 0 595 842", resources: bytes = b"") -> dict[int, bytes]:
    """The objects of a PDF of one sheet, whose content is object 4 and whose font is object 5."""
    return {
        1: b"<</Type/Catalog/Pages 2 0 R>>",
        2: b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        3: b"<</Type/Page/Parent 2 0 R/MediaBox[%s]/Contents 4 0 R/Resources<</Font<</F 5 0 R>>%s>>>>"
        % (box, resources),
        4: content,
        5: b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>",
    }
