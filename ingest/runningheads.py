"""Running heads and feet: what returns at the same height of the sheets, and the page numbers among it."""

import re
from collections.abc import Sequence
from itertools import takewhile
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.figures import figure_boxes
from benchleaf.ingest.folios import Folio, best_run, candidate
from benchleaf.ingest.grid import touching
from benchleaf.ingest.lines import Row, is_label, pieces, rows, text_of, usual_size
from benchleaf.ingest.shapes import Page, Word
from benchleaf.ingest.words import bounds

_ZONE = 0.14  # share of the sheet's height at head and foot
_DEEP = 3  # rows that a running head or foot has at most
_LEVEL = 4.0  # points by which the height may differ from sheet to sheet
_WINDOW = 4  # sheets before and after that are compared
_NUMBER_ROW = 8  # words beside a page number in its row, at most
_NUMBER = re.compile(r"[0-9]+")
_RULE_REACH = 9.0


class Furniture(NamedTuple):
    """The rows of one sheet that are no body: running heads, feet, and its page number."""

    heads: tuple[Row, ...]
    feet: tuple[Row, ...]
    folio: str | None


class _Edge(NamedTuple):
    """An outer row of a sheet: counted from the edge of the sheet inwards."""

    row: Row
    at_foot: bool
    depth: int
    top: float
    pattern: str
    size: float
    ruled: bool  # a long stroke parts it from the body
    apart: float  # free height between it and the next row inwards, in ems


def furniture(pages: Sequence[Page]) -> list[Furniture]:
    """Running heads, feet and page numbers of each sheet."""
    edges = [_edges(page) for page in pages]
    folios = _folios(pages, edges)
    return [_taken(edges, i, folios[i], usual_size(page.words)) for i, page in enumerate(pages)]


def _edges(page: Page) -> list[_Edge]:
    """The outer rows of a sheet within the zones at head and foot."""
    found: list[_Edge] = []
    drawn = figure_boxes(page)
    all_rows = rows(w for w in page.words if _in_body(w, drawn))
    boxes = [bounds(w.box for w in row) for row in all_rows]
    for at_foot in (False, True):
        order = range(len(all_rows))[::-1] if at_foot else range(len(all_rows))
        for depth, i in enumerate(order[:_DEEP]):
            box, size = boxes[i], all_rows[i][0].size or 10.0
            inside = box.top > page.height * (1 - _ZONE) if at_foot else box.bottom < page.height * _ZONE
            if not inside:
                break
            inwards = boxes[order[depth + 1]] if depth + 1 < len(order) else None
            free = (
                (box.top - inwards.bottom if at_foot else inwards.top - box.bottom) if inwards else 9 * size
            )
            ruled = _ruled(page, box.top, box.bottom, at_foot)
            found.append(
                _Edge(all_rows[i], at_foot, depth, box.top, _pattern(all_rows[i]), size, ruled, free / size)
            )
    return found


def _in_body(word: Word, drawn: Sequence[Box]) -> bool:
    """True for a word that is neither a figure's callout nor set along the sheet's side."""
    upright = word.box.bottom - word.box.top < 4 * word.size
    return upright and not (len(word.text) < 4 and any(touching(word.box, box, 2.0) for box in drawn))


def _pattern(row: Row) -> str:
    """The row's words for comparing: figures folded, but a step's number with its words is kept as it is."""
    text = text_of(row).casefold()
    return text if len(row) > 1 and is_label(row[0].text) else _NUMBER.sub("#", text)


def _ruled(page: Page, top: float, bottom: float, at_foot: bool) -> bool:
    """True if a long level stroke parts the row from the body."""
    for stroke in page.strokes:
        near = (
            top - _RULE_REACH < stroke.top <= top + 2
            if at_foot
            else bottom - 2 <= stroke.top < bottom + _RULE_REACH
        )
        if near and stroke.x1 - stroke.x0 > 0.5 * page.width:
            return True
    return False


def _folios(pages: Sequence[Page], edges: Sequence[Sequence[_Edge]]) -> list[Folio | None]:
    found = [
        [f for edge in one for f in _candidates(edge, page.width)]
        for page, one in zip(pages, edges, strict=True)
    ]
    if len(pages) == 1:
        lone = [f for f in found[0] if f.at_foot and f.worth >= 0.5 and _alone(f, edges[0])]
        return [lone[0] if len(lone) == 1 else None]
    return best_run([[f for f in one if not _static(f, found, i)] for i, one in enumerate(found)])


def _static(folio: Folio, sheets: Sequence[Sequence[Folio]], at: int) -> bool:
    """True if the very same number stands at the same place of a sheet nearby: no page number does."""
    near = [f for i in range(max(0, at - 2), min(len(sheets), at + 3)) if i != at for f in sheets[i]]
    return any(
        f.printed == folio.printed
        and abs(f.level - folio.level) < _LEVEL
        and abs(f.middle - folio.middle) < 0.02
        for f in near
    )


def _alone(folio: Folio, edges: Sequence[_Edge]) -> bool:
    """True if the number is the only thing in the last row of the sheet."""
    return any(e.at_foot and e.depth == 0 and e.row == folio.row for e in edges)


def _candidates(edge: _Edge, width: float) -> list[Folio]:
    """The pieces of an outer row that can be a page number, its first and last word included."""
    found: dict[tuple[int, ...], Folio] = {}
    parts = pieces(edge.row, 1.2 * edge.size)
    for part in parts:
        one = candidate(part, edge.at_foot, width)
        if one is not None:
            found[tuple(map(id, part))] = one
    for part in (edge.row[:1], edge.row[-1:]):
        one = candidate(part, edge.at_foot, width)
        if one is not None and len(edge.row) > 1 and edge.depth < 2 and edge.apart > 0.4:
            found.setdefault(tuple(map(id, part)), one._replace(worth=one.worth * 0.6))
    return list(found.values())


def _taken(edges: Sequence[Sequence[_Edge]], at: int, folio: Folio | None, body: float) -> Furniture:
    """The rows of one sheet that are furniture, from the sheet's edge inwards until the first that is
    body."""
    heads: list[Row] = []
    feet: list[Row] = []
    open_ = {False: True, True: True}
    for edge in edges[at]:
        rows_ = feet if edge.at_foot else heads
        number = folio.row if folio is not None and any(w is folio.row[0] for w in edge.row) else ()
        beside = len(edge.row) - len(number)
        if not open_[edge.at_foot]:
            continue
        if _returns(edges, at, edge, body) or (
            number and (not beside or (beside <= _NUMBER_ROW and edge.apart > 0.8))
        ):
            rows_.append(edge.row)
        else:
            rows_.extend([number] if number else [])
            open_[edge.at_foot] = False
    return Furniture(tuple(heads), tuple(reversed(feet)), folio.printed if folio is not None else None)


def _returns(edges: Sequence[Sequence[_Edge]], at: int, edge: _Edge, body: float) -> bool:
    """True if a row comes again on sheets nearby: the same words, or its slot in a running line's dress."""
    near = [o for i, o in enumerate(edges) if i != at and abs(i - at) <= _WINDOW]
    if not near or edge.size > 1.25 * body or _only_figures(edge.row):
        return False
    same = sum(any(_level(edge, o) and edge.pattern == o.pattern for o in other) for other in near)
    if same >= (1 if len(near) < 3 or (edge.depth == 0 and edge.apart > 0.8) else 2):
        return True
    if _partner(edge, near):
        return True
    dressed = sum(any(_level(edge, o) and _alike(edge, o, body) for o in other) for other in near)
    return dressed >= 0.5 * len(near)


def _partner(edge: _Edge, near: Sequence[Sequence[_Edge]]) -> bool:
    """True for the other one of two alternating heads: its place is a proven head's on the sheets nearby."""
    if edge.depth or edge.apart < 0.8 or is_label(edge.row[0].text):
        return False
    there = [o.pattern for other in near for o in other if _level(edge, o) and o.depth == 0]
    return len(there) - len(set(there)) > 0


def _only_figures(row: Row) -> bool:
    """True for several numbers without a word: a figure's callouts, not a running line."""
    return len(row) > 1 and not any(c.isalpha() for w in row for c in w.text)


def _level(one: _Edge, other: _Edge) -> bool:
    """True if two outer rows stand at the same place of their sheets in the same size."""
    return (
        one.at_foot == other.at_foot
        and abs(one.top - other.top) <= _LEVEL
        and abs(one.size - other.size) <= 0.6
    )


def _alike(one: _Edge, other: _Edge, body: float) -> bool:
    """True if two rows with other words look like one running line: parted from the body and dressed
    alike."""
    if one.depth or other.depth or (is_label(one.row[0].text) and len(one.row) > 1):
        return False
    small = max(one.size, other.size) <= 1.02 * body
    if small and one.ruled and other.ruled:
        return True
    parted = min(one.apart, other.apart)
    if all(w.bold for w in one.row) or parted < 0.8:
        return False
    shared = _shared(one.row, other.row)
    telling = len(shared) > 1 or any(c.isdecimal() for w in shared for c in w)
    if telling or (small and any(len(w) > 1 for w in shared)):
        return True
    return parted > 1.2 and max(one.size, other.size) <= 0.9 * body


def _shared(one: Row, other: Row) -> list[str]:
    """The words that two rows begin with alike, or else end with alike."""
    for ends in (zip(one, other, strict=False), zip(reversed(one), reversed(other), strict=False)):
        same = [a.text for a, b in takewhile(lambda p: p[0].text == p[1].text, ends)]
        if same:
            return same
    return []
