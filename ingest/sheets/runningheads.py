"""Running heads and feet: what returns at the same height of the sheets, and the page numbers among it."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple, TypeVar

from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.foliogaps import completed
from benchleaf.ingest.sheets.folios import Folio, best_run, candidate, readings
from benchleaf.ingest.sheets.lines import Row, is_label, label_words, pieces, rows, text_of, usual_size
from benchleaf.ingest.sheets.outerrows import Edge, alike, level, outer_rows
from benchleaf.ingest.sheets.stepgrid import is_head

_T = TypeVar("_T")
_WINDOW = 4  # sheets before and after that are compared
_NUMBER_ROW = 8  # words beside a page number in its row, at most
_APART = 0.4  # ems of free height that part the innermost row of a running head from the body
_PARTED = 0.8  # the same for a row that is known by less than its own repetition
_HANG = 6.0  # ems from a step's number to its text, at most


class Furniture(NamedTuple):
    """The rows of one sheet that are no body: running heads, feet, and its page number. `places` are those of
    their words among the sheet's."""

    heads: tuple[Row, ...]
    feet: tuple[Row, ...]
    folio: str | None
    places: frozenset[int]


def furniture(pages: Sequence[Page]) -> list[Furniture]:
    """Running heads, feet and page numbers of each sheet."""
    edges: list[list[Edge]] = []
    sizes: list[float] = []
    places: list[dict[int, int]] = []
    for page in pages:  # once: the words of a long document's sheets are unpacked anew each time
        outer, words = outer_rows(page), page.words
        edges.append(outer)
        sizes.append(usual_size(words))
        own = {id(w) for edge in outer for w in edge.row}
        places.append({id(w): at for at, w in enumerate(words) if id(w) in own})
    folios = _folios(pages, edges)
    return [_taken(edges, i, folios[i], sizes[i], places[i]) for i in range(len(pages))]


def _folios(pages: Sequence[Page], edges: Sequence[Sequence[Edge]]) -> list[Folio | None]:
    """Each sheet's page number: on a single sheet only a lone number at its foot."""
    if len(pages) == 1:
        last = next((e for e in edges[0] if e.at_foot and e.depth == 0), None)
        return [_only(pages[0], last) if last is not None else None]
    found = [
        [f for edge in one for f in _candidates(edge, page, _near(edges, i))]
        for i, (page, one) in enumerate(zip(pages, edges, strict=True))
    ]
    moving = [[f for f in one if not _static(f, _near(found, i))] for i, one in enumerate(found)]
    return completed(best_run(moving), pages, edges)


def _only(page: Page, last: Edge) -> Folio | None:
    """The page number of a single sheet; right under its text only one with a chapter, and under steps."""
    one = candidate(last.row, True, page.width)
    if one is None or one.worth < 0.5 or last.in_zone:
        return one if one is not None and one.worth >= 0.5 else None
    steps = sum(0 < label_words(row) < len(row) for row in rows(page.words))
    return one if one.front and one.value < 1000 and last.apart > _APART and steps > 1 else None


def _near(sheets: Sequence[Sequence[_T]], at: int) -> list[Sequence[_T]]:
    """What the sheets around one hold."""
    return [s for i, s in enumerate(sheets) if i != at and abs(i - at) <= _WINDOW]


def _static(folio: Folio, near: Sequence[Sequence[Folio]]) -> bool:
    """True if the very same number stands at the same place of a sheet nearby: no page number does."""
    return any(
        f.printed == folio.printed
        and len(f.row) == len(folio.row)
        and abs(f.level - folio.level) < 4
        and abs(f.middle - folio.middle) < 0.02
        for sheet in near
        for f in sheet
    )


def _candidates(edge: Edge, page: Page, near: Sequence[Sequence[Edge]]) -> list[Folio]:
    """The pieces of an outer row that can be a page number, its first and last word included."""
    found: dict[tuple[int, ...], list[Folio]] = {}
    for part in pieces(edge.row, 1.2 * edge.size):
        read = readings(part, edge.at_foot, page.width, page.by_ocr)
        if read and not _names_step(edge, part, near):
            found[tuple(map(id, part))] = read
    for part in (edge.row[:1], edge.row[-1:]):
        read = readings(part, edge.at_foot, page.width, page.by_ocr)
        fits = len(edge.row) > 1 and edge.depth < 2 and edge.apart > _APART
        if read and fits and not _names_step(edge, part, near):
            found.setdefault(tuple(map(id, part)), [one._replace(worth=one.worth * 0.6) for one in read])
    return [one for read in found.values() for one in read]


def _names_step(edge: Edge, part: Row, near: Sequence[Sequence[Edge]]) -> bool:
    """True if a number with words close after it names a step: the words are no running head nearby."""
    after = [w for w in edge.row if w.box.x0 > part[-1].box.x1]
    if not after or after[0].box.x0 - part[-1].box.x1 > _HANG * edge.size or not is_label(text_of(part)):
        return False
    words = text_of(after)
    return not any(level(edge, o) and text_of(o.row).endswith(words) for other in near for o in other)


def _taken(
    edges: Sequence[Sequence[Edge]], at: int, folio: Folio | None, body: float, places: Mapping[int, int]
) -> Furniture:
    """The rows of one sheet that are furniture; `places` are those of its outer words, by identity."""
    sides = []
    for at_foot in (False, True):
        side = [e for e in edges[at] if e.at_foot is at_foot]
        sides.append(_side(side, _near(edges, at), folio, body))
    heads, feet = tuple(sides[0]), tuple(reversed(sides[1]))
    own = frozenset(places[id(w)] for row in (*heads, *feet) for w in row)
    return Furniture(heads, feet, folio.printed if folio is not None else None, own)


def _side(
    side: Sequence[Edge], near: Sequence[Sequence[Edge]], folio: Folio | None, body: float
) -> list[Row]:
    """The furniture at one side, from the sheet's edge inwards until the first row that is body."""
    taken: list[Edge] = []
    for edge in side:
        number = _number_in(edge, folio)
        beside = len(edge.row) - len(number)
        lone = number and (not beside or (beside <= _NUMBER_ROW and edge.apart > _PARTED))
        if not (lone or _returns(edge, near, body)):
            break
        taken.append(edge)
    while taken and taken[-1].apart <= _APART and not (taken[-1].ruled or _number_in(taken[-1], folio)):
        taken.pop()
    found = [edge.row for edge in taken]
    left = [number for edge in side[len(taken) :] if (number := _number_in(edge, folio))]
    return [*found, *left]


def _number_in(edge: Edge, folio: Folio | None) -> Row:
    """The words of the page number, if it stands in this row."""
    return folio.row if folio is not None and folio.row and any(w is folio.row[0] for w in edge.row) else ()


def _returns(edge: Edge, near: Sequence[Sequence[Edge]], body: float) -> bool:
    """True if a row comes again on sheets nearby: the same words, or its slot in a running line's dress."""
    if not near or edge.size > 1.25 * body or _only_figures(edge.row) or _is_step(edge, body):
        return False
    if is_head([text_of(p) for p in pieces(edge.row, 0.9 * edge.size)]):  # of a step table that goes on
        return False
    heading = edge.size > 1.1 * body and all(w.bold for w in edge.row)
    same = sum(any(level(edge, o) and edge.pattern == o.pattern for o in other) for other in near)
    once = len(near) < 3 or (edge.depth == 0 and edge.apart > _PARTED and not heading)
    if same >= (1 if once else 2):
        return True
    if _partner(edge, near):
        return True
    dressed = sum(any(level(edge, o) and alike(edge, o, body) for o in other) for other in near)
    return dressed >= 0.5 * len(near)


def _is_step(edge: Edge, body: float) -> bool:
    """True for a number with words after it, as a step has them: pages may begin with the same step.

    A chapter's number and name may still be a running head: under a rule, in smaller type, or without any
    mark or full stop and parted from the body.
    """
    count = label_words(edge.row)
    if not 0 < count < len(edge.row) or edge.ruled:
        return False
    ended = edge.row[-1].text[-1] in ".:;!?"
    marked = count > 1 or not edge.row[0].text.isalnum()
    plain = edge.size < 0.95 * body or (not marked and edge.apart > _PARTED)
    return ended or not plain


def _partner(edge: Edge, near: Sequence[Sequence[Edge]]) -> bool:
    """True for the other one of two alternating heads: its place is a proven head's on the sheets nearby."""
    if edge.depth or edge.apart < _PARTED or is_label(edge.row[0].text) or all(w.bold for w in edge.row):
        return False
    there = [o.pattern for other in near for o in other if level(edge, o) and o.depth == 0]
    return len(there) > len(set(there))


def _only_figures(row: Row) -> bool:
    """True for several numbers without a word: a figure's callouts, not a running line."""
    return len(row) > 1 and not any(c.isalpha() for w in row for c in w.text)
