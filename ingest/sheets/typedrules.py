"""Rules typed with dashes, equals signs or underscores, and boxes typed with bars: drawing, not words.

A row of nothing but such signs becomes a stroke. Bars and rules around cells make a ruled table, around one
cell a frame. What stands under a header with a rule beneath it is a table whose columns the header tells.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Page, Table, Word
from benchleaf.ingest.sheets.grid import touching
from benchleaf.ingest.sheets.lines import Row, pieces, rows
from benchleaf.ingest.sheets.typedtables import box_table, underlined
from benchleaf.ingest.sheets.words import bounds

_RULE = "-=_~*#–—─━═"
_BARS = "|│║"
_CORNERS = "+┌┐└┘├┤┬┴┼╔╗╚╝╠╣╦╩╬"
_SIGNS = frozenset(_RULE + _BARS + _CORNERS)
_LEAST = 5  # signs that make a rule
_NEAR = 1.3  # line heights of free space between two rows of one box, at most
_ONLY_SIGNS = re.compile(f"\n[{re.escape(_RULE + _BARS + _CORNERS)}]++\n")
_PARTS = re.compile(f"[{_BARS}]|[^{_BARS}]+")


class _Typed(NamedTuple):
    """One row of a sheet: its words, and whether it is a rule or has bars around its cells."""

    words: Row
    box: Box
    rule: bool
    barred: bool


class Untyped(NamedTuple):
    """A sheet without typed rules and bars, and the rules of no table: they end what is above."""

    page: Page
    bars: tuple[Box, ...]


def untyped(page: Page) -> Untyped:
    """The sheet with its typed rules as strokes, its typed boxes as ruled tables and frames.

    A sheet without such signs is given back as it is.
    """
    if not _has_signs(page.words):
        return Untyped(page, ())
    whole = rows(page.words)
    seen = [_typed(row) for row in whole]
    tables, frames = list(page.tables), list(page.frames)
    strokes = [_stroke(w.box) for r in seen if r.rule and not _cornered(r) for w in r.words]
    boxed: set[int] = set()
    for block in _blocks(seen):
        table = box_table([[r.words for r in part] for part in _parted(block)], page.sheet, _BARS)
        if table is not None and len(table.rows[0]) > 1:
            tables.append(table)
        else:
            frames.append(bounds(r.box for r in block))
        boxed.update(map(id, block))
    free = [r for r in seen if id(r) not in boxed]
    tables.extend(_underlined(free, page.sheet))
    bars = tuple(s for s in strokes if not any(touching(s, t.box, 0.0) for t in tables))
    kept = [
        w
        for row, r in zip(whole, seen, strict=True)
        for w in (r.words if id(r) in boxed else row)
        if not r.rule and not (id(r) in boxed and w.text in _BARS)
    ]
    plain = replace(
        page,
        words=tuple(kept),
        strokes=(*page.strokes, *strokes),
        frames=tuple(frames),
        tables=tuple(tables),
    )
    return Untyped(plain, bars)


def _has_signs(words: Sequence[Word]) -> bool:
    """True if a word is nothing but signs, or has a bar in it."""
    text = "\n\n".join([w.text for w in words])
    barred = any(b in text for b in _BARS) or not all(w.text for w in words)
    return bool(words) and (barred or _ONLY_SIGNS.search(f"\n{text}\n") is not None)


def _typed(row: Row) -> _Typed:
    """A row told apart; bars that cling to a cell's words are parted from them."""
    box, text = bounds(w.box for w in row), "".join(w.text for w in row)
    rule = len(text) >= _LEAST and _SIGNS.issuperset(text) and sum(c in _RULE for c in text) * 2 > len(text)
    if rule and len(text) == len(row):  # signs far apart are the blank cells of a table
        rule = len(pieces(row, 1.2 * row[0].size)) == 1
    barred = not rule and text[0] in _BARS and text[-1] in _BARS and len(text) > 2
    words = tuple(p for w in row for p in _parts(w)) if barred or _between(row) else row
    return _Typed(words, box, rule, barred or _between(row))


def _between(row: Row) -> bool:
    """True for cells parted by lone bars, with or without outer ones."""
    return any(w.text in _BARS for w in row[1:-1])


def _parts(word: Word) -> Iterator[Word]:
    """A word parted at its bars, its width shared out evenly over its letters."""
    if len(word.text) < 2 or not any(b in word.text for b in _BARS):
        yield word
        return
    step = (word.box.x1 - word.box.x0) / len(word.text)
    for part in _PARTS.finditer(word.text):
        x0, x1 = word.box.x0 + step * part.start(), word.box.x0 + step * part.end()
        yield word._replace(text=part[0], box=word.box._replace(x0=x0, x1=x1))


def _cornered(row: _Typed) -> bool:
    return any(c in _CORNERS or c in _BARS for w in row.words for c in w.text)


def _stroke(box: Box) -> Box:
    middle = (box.top + box.bottom) / 2
    return box._replace(top=middle, bottom=middle)


def _blocks(seen: Sequence[_Typed]) -> Iterator[list[_Typed]]:
    """Rows that make one typed box: barred ones with the rules among them, at least one of each."""
    block: list[_Typed] = []
    for row in seen:
        fits = row.barred or (row.rule and (_cornered(row) or (bool(block) and block[-1].barred)))
        far = bool(block) and row.box.top - block[-1].box.bottom > _NEAR * (row.box.bottom - row.box.top)
        if block and (far or not fits):
            yield from _whole(block)
            block = []
        if fits:
            block.append(row)
    yield from _whole(block)


def _whole(block: list[_Typed]) -> Iterator[list[_Typed]]:
    """The block if it is a box: a rule with corners, a rule among barred rows, or rows with bars at both
    ends."""
    barred = [r for r in block if r.barred]
    closed = all(r.words[0].text in _BARS and r.words[-1].text in _BARS for r in barred)
    several = len(barred) > 1 and (closed or any(r.rule for r in block))
    if several or (barred and any(r.rule and _cornered(r) for r in block)):
        yield block


def _parted(block: Sequence[_Typed]) -> list[list[_Typed]]:
    """The barred rows of a box in the groups that its rules part."""
    parts: list[list[_Typed]] = [[]]
    for row in block:
        if row.rule:
            parts.append([])
        else:
            parts[-1].append(row)
    return [p for p in parts if p]


def _underlined(seen: Sequence[_Typed], sheet: int) -> Iterator[Table]:
    """The tables under headers that have a rule right beneath them."""
    done = -1
    for index, (head, rule) in enumerate(pairwise(seen)):
        high = head.box.bottom - head.box.top
        near = rule.box.top - head.box.bottom < _NEAR * high
        if index <= done or head.rule or not rule.rule or not near:
            continue
        below = [(r.words, r.rule) for r in seen[index + 2 :]]
        found = underlined(head.words, rule.words, below, sheet)
        if found is not None:
            done = index + 1 + found.rows
            yield found.table
