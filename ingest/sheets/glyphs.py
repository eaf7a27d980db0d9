"""A PDF page's glyphs, line by line as drawn, from pdfium's character table.

Two calls a character and one a word: this is where reading a PDF spends its time.
"""

import ctypes
import math
import re
import sys
from array import array
from collections.abc import Callable
from functools import partial
from itertools import repeat
from operator import le
from typing import Any, NamedTuple

from benchleaf.graph.model import Box

_BLANKS, _ENDS = " \t\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000", "\r\n\x0b\x0c\u2028\u2029"
_LINES = re.compile(f"[^{_ENDS}]+")
_UNBROKEN = re.compile(f"[^{_BLANKS}{_ENDS}]+")
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
    """Glyphs from one index to before another that no blank parts, and their style."""

    first: int
    after: int
    style: Style


class Glyphs(NamedTuple):
    """A page's characters by pdfium's index: text and edges in displayed points. `odd` have no proper box."""

    text: str
    x0: list[float]
    top: list[float]
    x1: list[float]
    bottom: list[float]
    odd: frozenset[int]
    supposed: Callable[[int], bool]  # whether no file says so but pdfium supposes the character at an index

    def blank(self, first: int, after: int) -> int:
        """The blank that the characters from one index to before another are."""
        if first >= after:
            return NONE
        return SUPPOSED if all(map(self.supposed, range(first, after))) else SURE


class _Calls:
    """pdfium's functions of one text page, called with plain addresses: much faster than pointers."""

    def __init__(self, raw: Any, text_page: Any) -> None:
        page = ctypes.cast(text_page, ctypes.c_void_p).value
        self.raw, self.page = raw, page
        self.text_object = self._at(raw.FPDFText_GetTextObject, ctypes.c_void_p)
        self.generated = self._at(raw.FPDFText_IsGenerated, ctypes.c_int)
        self.font_size = self._at(raw.FPDFText_GetFontSize, ctypes.c_double)
        self.box = self._at(raw.FPDFText_GetLooseCharBox, ctypes.c_int, ctypes.c_void_p)
        self.matrix = self._at(raw.FPDFText_GetMatrix, ctypes.c_int, ctypes.c_void_p)
        address = ctypes.c_void_p
        self.mode = ctypes.PYFUNCTYPE(ctypes.c_int, address)(self._address(raw.FPDFTextObj_GetTextRenderMode))
        self.font = ctypes.PYFUNCTYPE(address, address)(self._address(raw.FPDFTextObj_GetFont))

    @classmethod
    def _at(cls, function: Any, answer: Any, *into: Any) -> Any:
        """A function that is asked by page and index. It is called with the interpreter's lock held: to give
        that up and take it again would cost more than the call."""
        return ctypes.PYFUNCTYPE(answer, ctypes.c_void_p, ctypes.c_int, *into)(cls._address(function))

    @staticmethod
    def _address(function: Any) -> int:
        return ctypes.cast(function, ctypes.c_void_p).value or 0


class _Styles:
    """Styles by text object: asking pdfium for each glyph would be slow."""

    def __init__(self, calls: _Calls, sheet: Sheet) -> None:
        self._calls, self._sheet = calls, sheet
        self._by_object: dict[int, Style] = {}
        self._bold: dict[int, bool] = {}
        self._matrix = calls.raw.FS_MATRIX()
        self._matrix_at = ctypes.addressof(self._matrix)

    def of(self, index: int) -> Style:
        """The style of the character at an index."""
        address = self._calls.text_object(self._calls.page, index) or 0
        style = self._by_object.get(address)
        if style is None or not address:
            style = self._by_object[address] = self._read(index, address)
        return style

    def _read(self, index: int, address: int) -> Style:
        calls, m = self._calls, self._matrix
        scale, angle = 1.0, 0.0
        if calls.matrix(calls.page, index, self._matrix_at):
            scale = math.hypot(m.c, m.d) or 1.0
            angle = -math.degrees(math.atan2(m.b, m.a))
        size = round(calls.font_size(calls.page, index) * scale, 2)
        turn = round((angle + self._sheet.turn) / 90) * 90 % 360
        if not address:
            return Style(size, False, turn, True)
        mode = calls.mode(address)
        bold = self._font_is_bold(calls.font(address) or 0) or mode == _OUTLINED
        return Style(size, bold, turn, mode != _INVISIBLE)

    def _font_is_bold(self, address: int) -> bool:
        if address not in self._bold:
            self._bold[address] = bool(address) and self._ask_bold(
                ctypes.cast(address, self._calls.raw.FPDF_FONT)
            )
        return self._bold[address]

    def _ask_bold(self, font: Any) -> bool:
        buffer = ctypes.create_string_buffer(256)
        self._calls.raw.FPDFFont_GetBaseFontName(font, buffer, 256)
        if _BOLD.search(buffer.value.decode("utf-8", "replace")):
            return True
        return bool(self._calls.raw.FPDFFont_GetWeight(font) >= 650)


def glyph_lines(text_page: Any, sheet: Sheet) -> tuple[Glyphs, list[list[Run]]]:
    """A page's glyphs, and its lines as drawn, each a list of runs."""
    import pypdfium2.raw as raw  # type: ignore[import-untyped]  # ships no types

    handle = text_page.raw
    calls = _Calls(raw, handle)
    glyphs = _glyphs(calls, _characters(raw, handle), sheet)
    text, style = glyphs.text, _Styles(calls, sheet).of
    lines = [
        [
            Run(first := part.start(), part.end(), style(first))
            for part in _UNBROKEN.finditer(text, *line.span())
        ]
        for line in _LINES.finditer(text)
    ]
    return glyphs, lines


def _glyphs(calls: _Calls, text: str, sheet: Sheet) -> Glyphs:
    """The boxes of all characters: one call each, read back as one array."""
    count = len(text)
    edges = array("f", bytes(16 * count))
    start, _ = edges.buffer_info()
    box, page = calls.box, calls.page
    came = bytes(map(bool, map(box, repeat(page), range(count), range(start, start + 16 * count, 16))))
    missing = [i for i, there in enumerate(came) if not there] if 0 in came else []
    left, top, right, bottom = (edges[i::4].tolist() for i in range(4))
    if sheet.turn == 0:
        x, y = sheet.left, sheet.top
        x0, y0, x1, y1 = (
            [v - x for v in left] if x else left,
            [y - v for v in top],
            [v - x for v in right] if x else right,
            [y - v for v in bottom],
        )
    else:
        turned = [sheet.box(*corners) for corners in zip(left, bottom, right, top, strict=True)]
        x0, y0, x1, y1 = ([b[i] for b in turned] for i in range(4))
    level = any(map(le, y1, y0))
    flat = [i for i, (a, b) in enumerate(zip(y0, y1, strict=True)) if b <= a] if level else []
    return Glyphs(text, x0, y0, x1, y1, frozenset((*missing, *flat)), partial(calls.generated, page))


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
