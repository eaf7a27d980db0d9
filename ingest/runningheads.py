"""Running heads and feet: what returns at the same height of the sheets, and the page numbers among it."""

import re
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from benchleaf.ingest.folios import Folio, best_run, candidate
from benchleaf.ingest.lines import Row, pieces, rows, text_of, usual_size
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.words import bounds

_ZONE = 0.14  # share of the sheet's height at head and foot
_DEEP = 3  # rows that a running head or foot has at most
_LEVEL = 4.0  # points by which the height may differ from sheet to sheet
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
    ruled: bool


def furniture(pages: Sequence[Page]) -> list[Furniture]:
    """Running heads, feet and page numbers of each sheet."""
    edges = [_edges(page) for page in pages]
    folios = _folios(pages, edges)
    body = [usual_size(p.words) for p in pages]
    return [
        _taken(edges[i], _repeats(edges, i), folios[i], body[i], len(pages)) for i in range(len(pages))
    ]


def _edges(page: Page) -> list[_Edge]:
    """The outer rows of a sheet within the zones at head and foot."""
    found: list[_Edge] = []
    all_rows = rows(w for w in page.words if w.box.bottom - w.box.top < 4 * w.size)
    for at_foot, ordered in ((False, all_rows), (True, all_rows[::-1])):
        for depth, row in enumerate(ordered[:_DEEP]):
            box = bounds(w.box for w in row)
            inside = box.top > page.height * (1 - _ZONE) if at_foot else box.bottom < page.height * _ZONE
            if not inside:
                break
            found.append(_Edge(row, at_foot, depth, box.top, _pattern(row), row[0].size, _ruled(page, box.top, box.bottom, at_foot)))
    return found


def _pattern(row: Row) -> str:
    return _NUMBER.sub("#", text_of(row).casefold())


def _ruled(page: Page, top: float, bottom: float, at_foot: bool) -> bool:
    """True if a long level stroke parts the row from the body."""
    for stroke in page.strokes:
        near = top - _RULE_REACH < stroke.top <= top + 2 if at_foot else bottom - 2 <= stroke.top < bottom + _RULE_REACH
        if near and stroke.x1 - stroke.x0 > 0.5 * page.width:
            return True
    return False


def _folios(pages: Sequence[Page], edges: Sequence[Sequence[_Edge]]) -> list[Folio | None]:
    found = [[f for edge in one for f in _candidates(edge, page.width)] for page, one in zip(pages, edges, strict=True)]
    if len(pages) == 1:
        lone = [f for f in found[0] if f.at_foot and f.worth >= 0.5 and _alone(f, edges[0])]
        return [lone[0] if len(lone) == 1 else None]
    return best_run(found)


def _alone(folio: Folio, edges: Sequence[_Edge]) -> bool:
    """True if the number is the only thing in the last row of the sheet."""
    return any(e.at_foot and e.depth == 0 and e.row == folio.row for e in edges)


def _candidates(edge: _Edge, width: float) -> list[Folio]:
    """The pieces of an outer row that can be a page number, its first and last word included."""
    parts = pieces(edge.row, 1.2 * edge.size)
    if len(edge.row) > 1:
        parts = [*parts, edge.row[:1], edge.row[-1:]]
    found: dict[tuple[int, ...], Folio] = {}
    for number, part in enumerate(parts):
        one = candidate(part, edge.at_foot, width)
        if one is None:
            continue
        whole = number < len(parts) - 2 or len(edge.row) == 1
        found.setdefault(tuple(map(id, part)), one if whole else one._replace(worth=one.worth * 0.6))
    return list(found.values())


def _repeats(edges: Sequence[Sequence[_Edge]], at: int) -> dict[int, float]:
    """For each outer row of a sheet, the share of the other sheets that have its like."""
    others = [e for i, e in enumerate(edges) if i != at]
    if not others:
        return {}
    found = {}
    for index, edge in enumerate(edges[at]):
        found[index] = sum(any(_like(edge, o) for o in other) for other in others) / len(others)
    return found


def _like(one: _Edge, other: _Edge) -> bool:
    """True if two outer rows of two sheets are the same running line."""
    if one.at_foot != other.at_foot or abs(one.top - other.top) > _LEVEL or abs(one.size - other.size) > 0.6:
        return False
    if one.pattern == other.pattern:
        return True
    if one.ruled and other.ruled:
        return True
    a, b = one.pattern.split(), other.pattern.split()
    return a[0] == b[0] and len(a[0]) > 1 or a[-1] == b[-1] and len(a[-1]) > 2


def _taken(edges: Sequence[_Edge], repeats: dict[int, float], folio: Folio | None, body: float, sheets: int) -> Furniture:
    heads: list[Row] = []
    feet: list[Row] = []
    open_ = {False: True, True: True}
    for index, edge in enumerate(edges):
        with_folio = folio is not None and any(w is folio.row[0] for w in edge.row)
        least = 0.5 if sheets <= 3 else 0.25
        again = repeats.get(index, 0.0) >= least and edge.size <= 1.25 * body
        only = with_folio and len(edge.row) - len(folio.row) <= 8 if folio is not None else False
        if open_[edge.at_foot] and (again or only):
            (feet if edge.at_foot else heads).append(edge.row)
        else:
            open_[edge.at_foot] = False
    return Furniture(tuple(heads), tuple(reversed(feet)), folio.printed if folio is not None else None)
