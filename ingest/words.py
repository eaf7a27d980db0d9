"""Words with their boxes from a PDF page's text layer, by pdfium's character table.

Blanks of the text, blanks that pdfium supposes and gaps between the glyphs all end a word; letter-spaced text
is judged by the spacing of its own line. A few calls a character keep this at some hundreds of pages a second.
"""

import ctypes
import math
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from statistics import median
from typing import Any, NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Word

_BLANKS = frozenset(" \t\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000")
_ENDS = frozenset("\r\n\x0b\x0c\u2028\u2029")
_LINE_END_HYPHENS = frozenset("\x02\xad\ufffe")
_DROPPED = re.compile("[\u200b-\u200f\u2060\ufeff\ufffe\uffff\x00-\x08\x0e-\x1f]")
_HYPHENS = str.maketrans({"\xad": "-", "\u2010": "-", "\u2011": "-", "\x02": "-", "\ufffe": "-"})
_BOLD = re.compile(r"bold|black|heavy|demi|\bbd\b", re.IGNORECASE)
_BLANK_GAP, _FREE_GAP, _TRACKED = 0.12, 0.24, 0.07  # in ems: with a supposed blank, with none, letter-spaced
_INVISIBLE = 3
_MOST_TURNED = 0.75  # share of the glyphs from which the whole sheet counts as turned
_MATHS = frozenset("\u00b2\u00b3\u00b9\u2070\u2074\u2075\u2076\u2077\u2078\u2079\u00bd\u00bc\u00be\u215b\u215c\u215d\u215e")


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
    """What all glyphs of one text object share; `turn` is the displayed direction in degrees, 0 for upright."""

    size: float
    bold: bool
    turn: int
    visible: bool


class Glyph(NamedTuple):
    """One character; `blank` says that a blank stands before it, `sure` that the text itself has that blank."""

    text: str
    box: Box
    style: Style
    blank: bool
    sure: bool


class TextLayer(NamedTuple):
    """A page's words, and what should be known about them."""

    words: tuple[Word, ...]
    hidden: int  # words drawn invisibly, as text recognition does over a scan
    unmapped: int  # characters without a meaning in Unicode
    turn: int  # the direction that nearly all glyphs are drawn in, degrees clockwise as displayed


def bounds(box: Iterable[Box]) -> Box:
    """The smallest box around boxes."""
    x0s, tops, x1s, bottoms = zip(*box, strict=True)
    return Box(min(x0s), min(tops), max(x1s), max(bottoms))


def clean(text: str) -> str:
    """Ligatures undone, odd hyphens made plain, marks without width dropped; `mm²` keeps its raised figure."""
    if text.isascii() and text.isprintable():
        return text
    plain = "".join(c if c in _MATHS else unicodedata.normalize("NFKC", c) for c in text.translate(_HYPHENS))
    return _DROPPED.sub("", unicodedata.normalize("NFC", plain))


class _Styles:
    """Styles by text object: asking pdfium for each glyph would be slow."""

    def __init__(self, raw: Any, text_page: Any, sheet: Sheet) -> None:
        self._raw, self._page, self._sheet = raw, text_page, sheet
        self._by_object: dict[int, Style] = {}
        self._bold: dict[int, bool] = {}
        self._matrix = raw.FS_MATRIX()

    def of(self, index: int) -> Style:
        found = self._raw.FPDFText_GetTextObject(self._page, index)
        address = ctypes.cast(found, ctypes.c_void_p).value or 0
        style = self._by_object.get(address)
        if style is None or not address:
            style = self._by_object[address] = self._read(index, found if address else None)
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
        bold = self._font_is_bold(raw.FPDFTextObj_GetFont(text_object)) or mode == 2
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


def text_layer(text_page: Any, sheet: Sheet) -> TextLayer:
    """The words of a pypdfium2 text page, in the order they are drawn in."""
    lines, unmapped = _lines(text_page, sheet)
    words: list[Word] = []
    hidden = 0
    turns: dict[int, int] = {}
    for line in lines:
        for glyphs in _split(line):
            word = _word(glyphs)
            if not word.text or _off(word.box, sheet):
                continue
            words.append(word)
            hidden += not glyphs[0].style.visible
            turns[glyphs[0].style.turn] = turns.get(glyphs[0].style.turn, 0) + len(glyphs)
    turn = next((t for t, n in turns.items() if n > _MOST_TURNED * sum(turns.values())), 0)
    return TextLayer(tuple(_single(_letters_joined(words))), hidden, unmapped, turn)


def _lines(text_page: Any, sheet: Sheet) -> tuple[list[list[Glyph]], int]:
    """The glyphs by lines as drawn, and how many characters have no meaning."""
    import pypdfium2.raw as raw

    handle = text_page.raw
    count = raw.FPDFText_CountChars(handle)
    rect = raw.FS_RECTF()
    pointer = ctypes.byref(rect)
    loose, code, generated = raw.FPDFText_GetLooseCharBox, raw.FPDFText_GetUnicode, raw.FPDFText_IsGenerated
    styles = _Styles(raw, handle, sheet)
    lines: list[list[Glyph]] = [[]]
    blank = sure = False
    unmapped = 0
    style = Style(10.0, False, 0, True)
    fresh = True
    plain = sheet.turn == 0
    left, top = sheet.left, sheet.top
    for index in range(count):
        value = code(handle, index)
        text = chr(value) if value < 0x110000 else "\ufffd"
        if text in _BLANKS:
            blank = True
            sure = sure or not generated(handle, index)
            fresh = True
            continue
        if text in _ENDS:
            lines.append([])
            blank = sure = False
            fresh = True
            continue
        if value in (0, 0xFFFD):
            unmapped += 1
        if 0xD800 <= value < 0xE000 or not loose(handle, index, pointer):
            continue
        if fresh:
            style = styles.of(index)
        fresh = text in _LINE_END_HYPHENS
        if plain:
            box = Box(rect.left - left, top - rect.top, rect.right - left, top - rect.bottom)
        else:
            box = sheet.box(rect.left, rect.bottom, rect.right, rect.top)
        if box.x1 <= box.x0 or box.bottom <= box.top:
            box = _upright(box, style)
        lines[-1].append(Glyph(text, box, style, blank, sure))
        blank = sure = False
    return lines, unmapped


def _upright(box: Box, style: Style) -> Box:
    """A box for a glyph whose font has no measures."""
    return Box(box.x0, box.bottom - style.size, max(box.x1, box.x0 + 0.1), max(box.bottom, box.top + 0.1))


def _along(glyph: Glyph) -> tuple[float, float]:
    """Where a glyph begins and ends in its own reading direction."""
    turn, box = glyph.style.turn, glyph.box
    if turn == 90:
        return box.top, box.bottom
    if turn == 180:
        return -box.x1, -box.x0
    if turn == 270:
        return -box.bottom, -box.top
    return box.x0, box.x1


def _across(glyph: Glyph) -> tuple[float, float]:
    """A glyph's extent across its reading direction."""
    box = glyph.box
    return (box.top, box.bottom) if glyph.style.turn % 180 == 0 else (box.x0, box.x1)


def _split(line: Sequence[Glyph]) -> Iterator[list[Glyph]]:
    """The words of one drawn line."""
    if not line:
        return
    spacing = _letter_spacing(line)
    word = [line[0]]
    for before, glyph in zip(line, line[1:], strict=False):
        if _parts(before, glyph, spacing):
            yield word
            word = []
        word.append(glyph)
    yield word


def _letter_spacing(line: Sequence[Glyph]) -> float:
    """The usual free space between glyphs, in ems, if the line is letter-spaced; else 0."""
    gaps = []
    for before, glyph in zip(line, line[1:], strict=False):
        if not glyph.sure:
            gaps.append((_along(glyph)[0] - _along(before)[1]) / (before.style.size or 10.0))
    if len(gaps) < 3:
        return 0.0
    usual = median(gaps)
    return usual if _TRACKED < usual < 1.2 else 0.0


def _parts(before: Glyph, glyph: Glyph, spacing: float) -> bool:
    """True if a word ends between two glyphs that follow each other."""
    if glyph.sure:
        return True
    a, b = _across(before), _across(glyph)
    shared = min(a[1], b[1]) - max(a[0], b[0])
    if shared < 0.3 * min(a[1] - a[0], b[1] - b[0]):
        return True
    size = max(before.style.size, glyph.style.size) or 10.0
    gap = (_along(glyph)[0] - _along(before)[1]) / size
    if gap < -0.7:
        return True
    return gap > spacing + (_BLANK_GAP if glyph.blank else _FREE_GAP)


def _word(glyphs: Sequence[Glyph]) -> Word:
    style = glyphs[0].style
    text = clean("".join(g.text for g in glyphs))
    return Word(text, bounds(g.box for g in glyphs), style.size, style.bold)


def _off(box: Box, sheet: Sheet) -> bool:
    """True for a word that lies wholly outside the sheet."""
    return box.x1 < 0 or box.bottom < 0 or box.x0 > sheet.width or box.top > sheet.height


def _letters_joined(words: Sequence[Word]) -> Iterator[Word]:
    """`C A U T I O N` typed with blanks becomes one word: four or more single letters at even steps."""
    index = 0
    while index < len(words):
        run = _letter_run(words, index)
        if len(run) < 4:
            yield words[index]
            index += 1
            continue
        yield Word("".join(w.text for w in run), bounds(w.box for w in run), run[0].size, run[0].bold)
        index += len(run)


def _letter_run(words: Sequence[Word], start: int) -> list[Word]:
    run = [words[start]]
    if not _is_letter(words[start]):
        return run
    step = 0.0
    for word in words[start + 1 :]:
        last = run[-1]
        gap = word.box.x0 - last.box.x1
        even = step == 0.0 or gap < 1.5 * step
        level = abs(word.box.bottom - last.box.bottom) < 0.2 * last.size
        if not (_is_letter(word) and level and 0 < gap < 1.1 * last.size and even):
            break
        step = step or gap
        run.append(word)
    return run


def _is_letter(word: Word) -> bool:
    return len(word.text) == 1 and word.text.isupper()


def _single(words: Iterable[Word]) -> Iterator[Word]:
    """Words drawn twice with a tiny shift (a way to fake bold) are one bold word."""
    seen: dict[tuple[str, int, int], int] = {}
    kept: list[Word] = []
    for word in words:
        places = [(word.text, round(word.box.x0 / 2) + i, round(word.box.top / 2) + j) for i in (0, -1, 1) for j in (0, -1, 1)]
        twin = next((seen[p] for p in places if p in seen), None)
        if twin is not None and abs(kept[twin].box.x0 - word.box.x0) < 1.5 and abs(kept[twin].box.top - word.box.top) < 1.5:
            kept[twin] = kept[twin]._replace(bold=True)
            continue
        seen[places[0]] = len(kept)
        kept.append(word)
    yield from kept
