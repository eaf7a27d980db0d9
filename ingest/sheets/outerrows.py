"""The outer rows of sheets: what stands at their head and foot, where running heads and page numbers are."""

import re
from collections.abc import Sequence
from itertools import takewhile
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Page, Word
from benchleaf.ingest.sheets.figures import figure_boxes
from benchleaf.ingest.sheets.folios import candidate
from benchleaf.ingest.sheets.grid import touching
from benchleaf.ingest.sheets.lines import Row, is_label, rows, text_of
from benchleaf.ingest.sheets.words import bounds

_ZONE = 0.14  # share of the sheet's height at head and foot
_DEEP = 3  # rows that a running head or foot has at most
_LEVEL = 4.0  # points by which the height may differ from sheet to sheet
_RULE_REACH = 9.0
_SCATTER = 0.15  # share by which OCR may take the size of the same line larger or smaller
_NUMBER = re.compile(r"[0-9]+")
_LONE_DASH = re.compile(r" [-_~=\u4e00\u2010-\u2015\u2212](?= )")


class Edge(NamedTuple):
    """An outer row of a sheet, counted from the edge of the sheet inwards."""

    row: Row
    at_foot: bool
    depth: int
    top: float
    pattern: str  # its words in lower case, figures folded
    size: float
    ruled: bool  # a long stroke parts it from the body
    apart: float  # free height between it and the next row inwards, in ems
    in_zone: bool = True  # False for a lone page number right under a text that ends early
    by_ocr: bool = False


def outer_rows(page: Page) -> list[Edge]:
    """The outer rows of a sheet within the zones at head and foot, callouts of figures left aside."""
    drawn = figure_boxes(page)
    all_rows = rows(tuple(w for w in page.words if _in_body(w, drawn)))
    return [*_side(page, all_rows, False), *_side(page, all_rows, True)]


def _side(page: Page, all_rows: Sequence[Row], at_foot: bool) -> list[Edge]:
    found: list[Edge] = []
    order = range(len(all_rows))[::-1] if at_foot else range(len(all_rows))
    boxes = {i: bounds(w.box for w in all_rows[i]) for i in order[: _DEEP + 1]}
    for depth, i in enumerate(order[:_DEEP]):
        row, box, size = all_rows[i], boxes[i], all_rows[i][0].size or 10.0
        inside = box.top > page.height * (1 - _ZONE) if at_foot else box.bottom < page.height * _ZONE
        stray = not inside and at_foot and depth == 0 and _is_stray(page, all_rows, i)
        if not inside and not stray:
            break
        free = 9 * size
        if depth + 1 < len(order):
            inwards = boxes[order[depth + 1]]
            free = box.top - inwards.bottom if at_foot else inwards.top - box.bottom
        found.append(
            Edge(
                row,
                at_foot,
                depth,
                box.top,
                _pattern(row),
                size,
                _ruled(page, box, at_foot),
                free / size,
                inside,
                page.by_ocr,
            )
        )
        if stray:
            break
    return found


def _is_stray(page: Page, all_rows: Sequence[Row], at: int) -> bool:
    """True for a lone page number under text that ends far above the sheet's foot, the only such row."""
    last = candidate(all_rows[at], True, page.width) if len(all_rows[at]) < 4 else None
    if last is None or len(all_rows) < 3:
        return False
    others = (candidate(row, True, page.width) for row in all_rows[:at] if len(row) < 4)
    return not any(o is not None and bool(o.front) == bool(last.front) for o in others)


def _in_body(word: Word, drawn: Sequence[Box]) -> bool:
    """True for a word that is neither a figure's callout nor set along the sheet's side."""
    upright = word.box.bottom - word.box.top < 4 * word.size
    return upright and not (len(word.text) < 4 and any(touching(word.box, box, 2.0) for box in drawn))


def _pattern(row: Row) -> str:
    """The row's words for comparing: figures folded, dashes between words left out, for OCR often loses
    them, but a step's number with its words is kept as it is."""
    text = _LONE_DASH.sub("", text_of(row).casefold())
    return text if len(row) > 1 and is_label(row[0].text) else _NUMBER.sub("#", text)


def _ruled(page: Page, box: Box, at_foot: bool) -> bool:
    for stroke in page.strokes:
        above, below = (
            box.top - _RULE_REACH < stroke.top <= box.top + 2,
            stroke.top < box.bottom + _RULE_REACH,
        )
        near = above if at_foot else below and stroke.top >= box.bottom - 2
        if near and stroke.x1 - stroke.x0 > 0.5 * page.width:
            return True
    return False


def level(one: Edge, other: Edge) -> bool:
    """True if two outer rows stand at the same place of their sheets in the same size."""
    slack = _SCATTER * max(one.size, other.size) if one.by_ocr and other.by_ocr else 0.0
    return (
        one.at_foot == other.at_foot
        and abs(one.top - other.top) <= _LEVEL
        and abs(one.size - other.size) <= max(0.6, slack)
    )


def alike(one: Edge, other: Edge, body: float) -> bool:
    """True if two rows with other words look like one running line: parted from the body and dressed alike.

    `body` is the size of the running text in points. Headings are bold or larger, and are no running lines.
    """
    if one.depth or other.depth or (is_label(one.row[0].text) and len(one.row) > 1):
        return False
    largest = max(one.size, other.size)
    if largest <= 1.02 * body and one.ruled and other.ruled:
        return True
    parted = min(one.apart, other.apart)
    if all(w.bold for w in one.row) or parted < 0.8:
        return False
    shared = _shared(one.row, other.row)
    telling = len(shared) > 1 or any(c.isdecimal() for w in shared for c in w)
    if telling or (largest <= 1.02 * body and any(len(w) > 1 for w in shared)):
        return True
    return parted > 1.2 and largest <= 0.9 * body


def _shared(one: Row, other: Row) -> list[str]:
    """The words that two rows begin with alike, or else end with alike."""
    for ends in (zip(one, other, strict=False), zip(reversed(one), reversed(other), strict=False)):
        same = [a.text for a, b in takewhile(lambda p: p[0].text == p[1].text, ends)]
        if same:
            return same
    return []
