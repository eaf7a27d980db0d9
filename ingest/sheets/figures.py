"""Parts of a sheet that stand as one: figures, framed notices and tables, each with the words inside."""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Page, Place, Table, Word
from benchleaf.ingest.sheets.grid import clusters, grids, touching
from benchleaf.ingest.sheets.lines import pieces, rows, within
from benchleaf.ingest.sheets.words import bounds

_CAPTION = re.compile(
    r"(?:fig|figure|figura|abb|abbildung|bild|plate|illus|illustration|diagram)\b\.?", re.IGNORECASE
)
_REACH = 6.0  # points between shapes of one figure
_CALLOUT_REACH = 12.0  # points between a figure and a callout outside it
_SMALLEST = 14.0  # points: less is a bullet or a mark
_BACKGROUND = 0.7  # share of the sheet from which a bitmap or a border is background
_FRAME_SHARE = 0.4  # share of the sheet that a framed notice may take
_FRAME_LINES = 14
_TALKATIVE, _TALK = 5, 3  # words in a line of running text, and how many such lines make text of it
_DIAGRAM_EDGES = 14  # strokes that a block diagram has at least
_ROOMY = 60.0  # points: a smaller figure holds no words, only callouts


class Block(NamedTuple):
    """A part of a sheet that reading order takes as one: its box, what it is, and the words in it."""

    box: Box
    place: Place
    words: tuple[Word, ...]
    table: Table | None = None


def blocks(page: Page, words: Sequence[Word]) -> tuple[list[Block], Sequence[Word]]:
    """The blocks of a sheet and the words that stand in none."""
    found: list[Block] = []
    free = tuple(words)
    for table in page.tables:
        found.append(Block(table.box, "table", tuple(w for w in free if within(w.box, table.box)), table))
        free = tuple(w for w in free if not within(w.box, table.box))
    shapes = figure_boxes(page)
    for box in _frame_boxes(page, shapes):
        inside = [w for w in free if within(w.box, box)]
        if inside and len(rows(inside)) <= _FRAME_LINES:
            found.append(Block(box, "frame", tuple(inside)))
            free = tuple(w for w in free if not within(w.box, box))
    for box in shapes:
        labels = _labels(box, free)
        found.append(Block(bounds([box, *(w.box for w in labels)]), "figure", tuple(labels)))
        gone = set(map(id, labels))
        free = tuple(w for w in free if id(w) not in gone)
    return found, free


def set_upright(words: Sequence[Word]) -> list[Word]:
    """The words set along the sheet's side, as titles in margins are, short ones between them included."""
    sure = [w for w in words if _tall(w)]
    found, waiting = list(sure), [w for w in words if len(w.text) < 4 and not _tall(w)] if sure else []
    for word in waiting:
        if any(_in_strip(word, tall) for tall in sure):
            found.append(word)
    return found


def _tall(word: Word) -> bool:
    wide, high = word.box.x1 - word.box.x0, word.box.bottom - word.box.top
    return len(word.text) > 1 and high > 1.8 * word.size and high > 1.3 * wide


def _in_strip(word: Word, tall: Word) -> bool:
    """True for a word that stands right above or below an upright one, as wide as that."""
    level = abs(word.box.x0 - tall.box.x0) < 1 and abs(word.box.x1 - tall.box.x1) < 1
    return level and max(word.box.top - tall.box.bottom, tall.box.top - word.box.bottom) < 6 * word.size


def _share(box: Box, page: Page) -> float:
    return (box.x1 - box.x0) * (box.bottom - box.top) / (page.width * page.height or 1.0)


def figure_boxes(page: Page) -> list[Box]:
    """Clusters of curves, slanted strokes and bitmaps, with their frames, and drawn block diagrams."""
    drawn = [b for b in page.curves if _share(b, page) < _BACKGROUND]
    drawn += [b for c in clusters(page.images, _REACH) for b in c if not _is_ground(bounds(c), page)]
    drawn = [b for b in drawn if not any(within(b, t.box) for t in page.tables)]
    found = [bounds(c) for c in clusters(drawn, _REACH)]
    big = [b for b in found if b.x1 - b.x0 > _SMALLEST and b.bottom - b.top > _SMALLEST]
    grown = [_grown(b, page) for b in big]
    grown = _with_loose(grown, [b for b in found if b not in big], page) if grown else []
    return [bounds(c) for c in clusters([*grown, *_diagrams(page)], 0.0)]


def _with_loose(figures: Sequence[Box], small: Sequence[Box], page: Page) -> list[Box]:
    """Figures with the flat shapes, as leaders of callouts are, and the empty rectangles that touch them."""
    flat = [b for b in small if max(b.x1 - b.x0, b.bottom - b.top) > _SMALLEST]
    bare = [f for f in page.frames if _share(f, page) < _FRAME_SHARE and not _holds_text(f, page)]
    own = set(figures)
    joined = clusters([*own, *flat, *bare], 1.0)
    return [bounds(c) for c in joined if not own.isdisjoint(c)]


def _holds_text(frame: Box, page: Page) -> bool:
    return any(len(w.text) > 2 and within(w.box, frame) for w in page.words)


def _is_ground(box: Box, page: Page) -> bool:
    """True for a bitmap behind text: nearly the whole sheet, or with lines of running text on it (a scan)."""
    if _share(box, page) >= _BACKGROUND:
        return True
    talk = sum(len(row) >= _TALKATIVE for row in rows(w for w in page.words if within(w.box, box)))
    return talk >= _TALK


def _diagrams(page: Page) -> list[Box]:
    """Boxes joined by strokes with short words in few of them: no table, no notice."""
    if len(page.strokes) + 4 * len(page.frames) < _DIAGRAM_EDGES:
        return []
    found = []
    for grid in grids(page.strokes, page.frames):
        box = grid.box
        if (
            len(grid.cells) < 4
            or min(box.x1 - box.x0, box.bottom - box.top) < _ROOMY
            or _share(box, page) > _BACKGROUND
        ):
            continue
        inside = [w for w in page.words if within(w.box, box)]
        full = sum(any(within(w.box, cell, 0.0) for w in inside) for _, _, cell in grid.cells)
        if not any(within(t.box, box) for t in page.tables) and (
            full * 3 < len(grid.cells) or not grid.regular
        ):
            found.extend([] if any(len(row) >= _TALKATIVE for row in rows(inside)) else [box])
    return found


def _grown(box: Box, page: Page) -> Box:
    """A figure with the strokes that touch it and the frame that holds it."""
    near = [
        s
        for s in page.strokes
        if touching(s, box, 1.0)
        and max(s.x1 - s.x0, s.bottom - s.top) < 1.3 * max(box.x1 - box.x0, box.bottom - box.top)
    ]
    whole = bounds([box, *near])
    holding = [
        f
        for f in page.frames
        if within(box, f) and _share(f, page) < _BACKGROUND and _share(box, page) > 0.1 * _share(f, page)
    ]
    return bounds([whole, *holding])


def _frame_boxes(page: Page, figures: Sequence[Box]) -> list[Box]:
    """Rectangles that may frame a notice: neither a figure's, nor a table's, nor the sheet's border."""
    squares = [g.box for g in grids(page.strokes, page.frames)] if page.strokes or page.frames else []
    boxes = sorted({*page.frames, *squares}, key=lambda b: -_share(b, page))
    kept: list[Box] = []
    for box in boxes:
        small = box.x1 - box.x0 < 20 or box.bottom - box.top < 8
        if small or _share(box, page) > _FRAME_SHARE or any(within(box, k) for k in kept):
            continue
        if any(within(f, box) or within(box, f) for f in figures) or any(
            within(box, t.box) for t in page.tables
        ):
            continue
        kept.append(box)
    return kept


def _labels(box: Box, words: Sequence[Word]) -> list[Word]:
    """The callouts of a figure: short pieces inside or just outside, no running text, no captions."""
    near = [w for w in words if touching(w.box, box, _CALLOUT_REACH)]
    found: list[Word] = []
    roomy = min(box.x1 - box.x0, box.bottom - box.top) >= _ROOMY
    for row in rows(near):
        for piece in pieces(row, 1.2 * row[0].size):
            inside = all(within(w.box, box) for w in piece) and (roomy or _is_callout(piece))
            if _CAPTION.match(piece[0].text) or len(piece) >= _TALKATIVE:
                continue
            if inside or (_is_callout(piece) and _alone(piece, words)):
                found.extend(piece)
    return found


def _is_callout(piece: Sequence[Word]) -> bool:
    return len(piece) == 1 and len(piece[0].text) <= 4


def _alone(piece: Sequence[Word], words: Iterable[Word]) -> bool:
    """True if no other word stands beside a piece within three ems."""
    box, reach = bounds(w.box for w in piece), 3 * piece[0].size
    own = set(map(id, piece))
    for word in words:
        level = min(box.bottom, word.box.bottom) - max(box.top, word.box.top) > 0.3 * (box.bottom - box.top)
        if (
            level
            and id(word) not in own
            and touching(word.box, box._replace(x0=box.x0 - reach, x1=box.x1 + reach), 0.0)
            and len(word.text) > 3
        ):
            return False
    return True
