"""A PDF page's glyphs, line by line as drawn, from pdfium's character table.

Two calls a character and one a word: this is where reading a PDF spends its time.
"""

import ctypes
import math
import re
import sys
from array import array
from itertools import repeat
from typing import Any, NamedTuple

from benchleaf.graph.model import Box

_PARTS = re.compile(
    "(?P<blank>[ \t\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]+)|(?P<end>[\r\n\x0b\x0c\u2028\u2029]+)"
    "|[^ \t\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000\r\n\x0b\x0c\u2028\u2029]+"
)
_BOLD = re.compile(r"bold|black|heavy|demi|\bbd\b", re.IGNORECASE)
_INVISIBLE, _OUTLINED = 3, 2  # text rendering modes of ISO 32000-1, from memory
NO_MEANING = "\ufffd"
_NO_CHARACTER = re.compile("[\x00\ud800-\udfff\uffff]")
_UTF_16 = f"utf-16-{'le' if sys.byteorder == 'little' else 'be'}"
NONE, SUPPOSED, SURE = 0, 1, 2  # the blank before a glyph: none, one that pdfium supposes, one of the text


class Sheet(NamedTuple):
    """How a page's own coordinates become points from the displayed sheet's top left corner."""

    left: float
    bottom: float
    right: float
    top: float
    turn: int  # clockwise, in degrees

    @property
    def width(self) -> float:
        """The displayed width in points."""
        return self.right - self.left if self.turn % 180 == 0 else self.top - self.bottom

    @property
    def height(self) -> float:
        """The displayed height in points."""
        return self.top - self.bottom if self.turn % 180 == 0 else self.right - self.left

    def point(self, x: float, y: float) -> tuple[float, float]:
        """The displayed place of a point."""
        if self.turn == 90:
            return y - self.bottom, x - self.left
        if self.turn == 180:
            return self.right - x, y - self.bottom
        if self.turn == 270:
            return self.top - y, self.right - x
        return x - self.left, self.top - y

    def box(self, x0: float, y0: float, x1: float, y1: float) -> Box:
        """The displayed box between two corners."""
        ax, ay = self.point(x0, y0)
        bx, by = self.point(x1, y1)
        return Box(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))


class Style(NamedTuple):
    """What all glyphs of one text object share; `turn` is the displayed direction in degrees, 0 upright."""

    size: float
    bold: bool
    turn: int
    visible: bool


class Run(NamedTuple):
    """Glyphs from one index to before another that no blank parts; the blank before them; their style."""

    first: int
    after: int
    blank: int
    style: Style


class Glyphs(NamedTuple):
    """A page's characters by pdfium's index: text and edges in displayed points. `odd` have no proper box."""

    text: str
    x0: list[float]
    top: list[float]
    x1: list[float]
    bottom: list[float]
    odd: frozenset[int]


class _Calls:
    """pdfium's functions of one text page, called with plain addresses: much faster than pointers."""

    def __init__(self, raw: Any, text_page: Any) -> None:
        page = ctypes.cast(text_page, ctypes.c_void_p).value
        self.raw, self.handle, self.page = raw, text_page, page
        at_index = ctypes.CFUNCTYPE(ctypes.c_void_p, ctypes.c_void_p, ctypes.c_int)
        into = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_int, ctypes.c_void_p)
        self.text_object = at_index(self._address(raw.FPDFText_GetTextObject))
        self.generated = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_int)(
            self._address(raw.FPDFText_IsGenerated)
        )
        self.box = into(self._address(raw.FPDFText_GetLooseCharBox))

    @staticmethod
    def _address(function: Any) -> int:
        return ctypes.cast(function, ctypes.c_void_p).value or 0


class _Styles:
    """Styles by text object: asking pdfium for each glyph would be slow."""

    def __init__(self, calls: _Calls, sheet: Sheet) -> None:
        self._raw, self._page, self._sheet = calls.raw, calls.handle, sheet
        self._calls = calls
        self._by_object: dict[int, Style] = {}
        self._bold: dict[int, bool] = {}
        self._matrix = calls.raw.FS_MATRIX()

    def of(self, index: int) -> Style:
        address = self._calls.text_object(self._calls.page, index) or 0
        style = self._by_object.get(address)
        if style is None or not address:
            found = ctypes.cast(address, self._raw.FPDF_PAGEOBJECT) if address else None
            style = self._by_object[address] = self._read(index, found)
        return style

    def _read(self, index: int, text_object: Any) -> Style:
        raw, m = self._raw, self._matrix
        scale, angle = 1.0, 0.0
        if raw.FPDFText_GetMatrix(self._page, index, ctypes.byref(m)):
            scale = math.hypot(m.c, m.d) or 1.0
            angle = -math.degrees(math.atan2(m.b, m.a))
        size = round(raw.FPDFText_GetFontSize(self._page, index) * scale, 2)
        turn = round((angle + self._sheet.turn) / 90) * 90 % 360
        if text_object is None:
            return Style(size, False, turn, True)
        mode = raw.FPDFTextObj_GetTextRenderMode(text_object)
        bold = self._font_is_bold(raw.FPDFTextObj_GetFont(text_object)) or mode == _OUTLINED
        return Style(size, bold, turn, mode != _INVISIBLE)

    def _font_is_bold(self, font: Any) -> bool:
        address = ctypes.cast(font, ctypes.c_void_p).value or 0
        if address not in self._bold:
            self._bold[address] = bool(address) and self._ask_bold(font)
        return self._bold[address]

    def _ask_bold(self, font: Any) -> bool:
        buffer = ctypes.create_string_buffer(256)
        self._raw.FPDFFont_GetBaseFontName(font, buffer, 256)
        if _BOLD.search(buffer.value.decode("utf-8", "replace")):
            return True
        return bool(self._raw.FPDFFont_GetWeight(font) >= 650)


def glyph_lines(text_page: Any, sheet: Sheet) -> tuple[Glyphs, list[list[Run]]]:
    """A page's glyphs, and its lines as drawn, each a list of runs."""
    import pypdfium2.raw as raw  # type: ignore[import-untyped]  # ships no types

    handle = text_page.raw
    calls = _Calls(raw, handle)
    glyphs = _glyphs(calls, _characters(raw, handle), sheet)
    styles = _Styles(calls, sheet)
    generated, page = calls.generated, calls.page
    lines: list[list[Run]] = [[]]
    blank = NONE
    for part in _PARTS.finditer(glyphs.text):
        first, after = part.span()
        if part.lastgroup == "blank":
            supposed = blank < SURE and all(map(generated, repeat(page), range(first, after)))
            blank = SUPPOSED if supposed else SURE
        elif part.lastgroup == "end":
            blank = NONE
            if lines[-1]:
                lines.append([])
        else:
            lines[-1].append(Run(first, after, blank, styles.of(first)))
            blank = NONE
    return glyphs, lines


def _glyphs(calls: _Calls, text: str, sheet: Sheet) -> Glyphs:
    """The boxes of all characters: one call each, read back as one array."""
    count = len(text)
    edges = array("f", bytes(16 * count))
    start, _ = edges.buffer_info()
    box, page = calls.box, calls.page
    missing = [i for i in range(count) if not box(page, i, start + 16 * i)]
    left, top, right, bottom = (edges[i::4] for i in range(4))
    if sheet.turn == 0:
        x, y = sheet.left, sheet.top
        x0, y0, x1, y1 = (
            [v - x for v in left],
            [y - v for v in top],
            [v - x for v in right],
            [y - v for v in bottom],
        )
    else:
        turned = [sheet.box(*corners) for corners in zip(left, bottom, right, top, strict=True)]
        x0, y0, x1, y1 = ([b[i] for b in turned] for i in range(4))
    flat = [i for i, (a, b) in enumerate(zip(y0, y1, strict=True)) if b <= a]
    return Glyphs(text, x0, y0, x1, y1, frozenset((*missing, *flat)))


def _characters(raw: Any, handle: Any) -> str:
    """The characters, each at its index; what has no meaning is the replacement character."""
    count = raw.FPDFText_CountChars(handle)
    if count <= 0:
        return ""
    units = (ctypes.c_ushort * (count + 1))()
    if raw.FPDFText_GetText(handle, 0, count, units) == count + 1:
        text = bytes(memoryview(units).cast("B")[: 2 * count]).decode(_UTF_16, "surrogatepass")
        if len(text) == count:  # no two units made one character
            return _NO_CHARACTER.sub(NO_MEANING, text)
        codes = list(units)[:count]
    else:
        codes = [raw.FPDFText_GetUnicode(handle, i) for i in range(count)]
    return "".join(chr(c) if 0 < c < 0xD800 or 0xE000 <= c < 0xFFFF else NO_MEANING for c in codes)
