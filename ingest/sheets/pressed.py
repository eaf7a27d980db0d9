"""Sheets of long documents held small: their words pressed to bytes, and unpacked when they are asked for.

A word with its box takes some 370 bytes, pressed some 20. The first sheets of a document are held whole, so
that a short one is never pressed, and of the others the last few that were asked for. What a pressed sheet
gives is equal each time it is asked, and the same object only while few other sheets are asked in between.
"""

import gc
import pickle
import zlib
from array import array
from collections import OrderedDict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import fields
from functools import partial
from itertools import islice
from typing import Any, TypeVar

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import LaidPage, Line, Page, Table, Word

WHOLE = 64
"""Sheets of a document that are held whole."""
_ASKED = 12  # sheets last asked for, which are held whole too
_LEVEL = 1  # of packing: the quickest

_box, _word = partial(tuple.__new__, Box), partial(tuple.__new__, Word)
_last: "OrderedDict[int, Any]" = (
    OrderedDict()
)  # by the address of the pressed bytes, which the entry keeps alive
Given = TypeVar("Given")


def pressed(page: Page, at: int) -> Page:
    """A sheet to hold, pressed unless it is among a document's first; `at` is its index."""
    if at < WHOLE or isinstance(page, _PressedPage):
        return page
    return _filled(_PressedPage, page, _squeezed(_columns(page.words)))


def pressed_laid(page: LaidPage, at: int) -> LaidPage:
    """A laid-out sheet to hold, pressed unless it is among a document's first; `at` is its index."""
    if at < WHOLE or isinstance(page, _PressedLaid):
        return page
    lines = (*page.heads, *page.lines, *page.feet)
    parts = (len(page.heads), len(page.feet), page.tables, [_bare(line) for line in lines])
    counts = [len(line.words) for line in lines]
    words = _columns([w for line in lines for w in line.words])
    return _filled(_PressedLaid, page, _squeezed((parts, counts, words)))


class _PressedPage(Page):
    """A sheet whose words are pressed. A changed copy (`dataclasses.replace`) is a plain sheet."""

    __slots__ = ("_pressed",)
    _pressed: bytes

    def __new__(cls, *args: Any, **changed: Any) -> Page:  # type: ignore[misc]  # a plain sheet, as said
        return Page(*args, **changed)

    @property
    def words(self) -> tuple[Word, ...]:
        """The words, unpacked."""
        return _unpacked(self._pressed, _words)


class _PressedLaid(LaidPage):
    """A laid-out sheet whose lines and tables are pressed. A changed copy is a plain sheet."""

    __slots__ = ("_pressed",)
    _pressed: bytes

    def __new__(cls, *args: Any, **changed: Any) -> LaidPage:  # type: ignore[misc]  # a plain sheet, as said
        return LaidPage(*args, **changed)

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines, unpacked."""
        return _unpacked(self._pressed, _lines)[1]

    @property
    def heads(self) -> tuple[Line, ...]:
        """The running heads, unpacked."""
        return _unpacked(self._pressed, _lines)[0]

    @property
    def feet(self) -> tuple[Line, ...]:
        """The running feet, unpacked."""
        return _unpacked(self._pressed, _lines)[2]

    @property
    def tables(self) -> tuple[Table, ...]:
        """The tables, unpacked."""
        return _unpacked(self._pressed, _lines)[3]


def _filled(kind: type[Given], page: Given, held: bytes) -> Given:
    """A pressed sheet with the fields of a plain one that it does not press."""
    made = object.__new__(kind)
    for field in fields(page):  # type: ignore[arg-type]  # a dataclass
        if not isinstance(vars(kind).get(field.name), property):
            object.__setattr__(made, field.name, getattr(page, field.name))
    object.__setattr__(made, "_pressed", held)
    return made


def _squeezed(content: object) -> bytes:
    return zlib.compress(pickle.dumps(content, pickle.HIGHEST_PROTOCOL), _LEVEL)


def _unpacked(held: bytes, made: Callable[[Any], Given]) -> Given:
    """What some bytes hold; that of the last few is kept."""
    found = _last.get(id(held))
    if found is None:
        found = _taken(held, made)
    else:
        _last.move_to_end(id(held))
    answer: Given = found[1]
    return answer


def _taken(held: bytes, made: Callable[[Any], Given]) -> tuple[bytes, Given]:
    """Unpacks, and lets go of the sheet asked for longest ago. The collector of cycles would be called by so
    many new objects each time, and would look in vain at all that there is."""
    collects = gc.isenabled()
    gc.disable()
    try:
        found = _last[id(held)] = held, made(pickle.loads(zlib.decompress(held)))
        if len(_last) > _ASKED:
            _last.popitem(last=False)
        return found
    finally:
        if collects:
            gc.enable()


Columns = tuple[list[str], bytes, bytes, bytes, bytes]


def _columns(words: Sequence[Word]) -> Columns:
    """Words as columns: texts, edges, sizes, weights, confidences (none where every one is sure)."""
    edges = array("d", [edge for w in words for edge in w.box])
    sure = all(w.confidence == 1.0 for w in words)
    confidences = b"" if sure else array("d", [w.confidence for w in words]).tobytes()
    sizes = array("d", [w.size for w in words]).tobytes()
    return [w.text for w in words], edges.tobytes(), sizes, bytes(w.bold for w in words), confidences


def _words(columns: Columns) -> tuple[Word, ...]:
    texts, edges, sizes, bolds, confidences = columns
    four = iter(_numbers(edges))
    boxes = map(_box, zip(four, four, four, four, strict=True))
    sure = _numbers(confidences) if confidences else [1.0] * len(texts)
    return tuple(map(_word, zip(texts, boxes, _numbers(sizes), map(bool, bolds), sure, strict=True)))


def _numbers(held: bytes) -> "array[float]":
    found = array("d")
    found.frombytes(held)
    return found


def _bare(line: Line) -> tuple[Any, ...]:
    return tuple(line.box), line.sheet, line.column, line.gap, line.place, line.frame


def _lines(
    held: tuple[Any, list[int], Columns],
) -> tuple[tuple[Line, ...], tuple[Line, ...], tuple[Line, ...], tuple[Table, ...]]:
    """The heads, lines, feet and tables of a sheet."""
    (heads, feet, tables, bare), counts, columns = held
    words = iter(_words(columns))
    lines = [
        Line(tuple(islice(words, count)), _box(box), *rest)
        for count, (box, *rest) in zip(counts, bare, strict=True)
    ]
    after = len(lines) - feet
    return tuple(lines[:heads]), tuple(lines[heads:after]), tuple(lines[after:]), tables


def held_small(pages: Iterable[Page]) -> tuple[Page, ...]:
    """The sheets of a document, those beyond its first ones pressed as they come."""
    return tuple(pressed(page, at) for at, page in enumerate(pages))
