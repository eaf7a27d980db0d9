"""What is left of a note when its head is taken off: the body, in reading order."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from benchleaf.graph.model import Box
from benchleaf.ingest.head.headlabels import Piece
from benchleaf.ingest.shapes import LaidPage, Line, Table, Word

_PLACE = re.compile(
    r"(?:affected |concerned )?(?:documents?|documentation|(?:workshop |service |repair )?manuals?"
    r"|handbooks?|books?|publications?|literature|instructions?|pages?|sheets?|steps?|operations?)"
    r"(?: (?:affected|concerned|no\.?|number))? ?:?",
    re.IGNORECASE,
)
_FAR = 1000.0  # free height that parts whatever follows something taken out


def without_head(page: LaidPage, pieces: Iterable[Piece]) -> LaidPage:
    """The page without the words of the pieces. Tables that held pieces lose those rows; rows of a form that
    hold one text only become text."""
    taken = list(pieces)
    words = {id(w) for p in taken for w in p.segment.words_in(p.start, p.end)}
    tables: list[Table] = []
    freed: list[Box] = []
    for index, table in enumerate(page.tables):
        used = [p.segment.box for p in taken if p.segment.table == index]
        if not used:
            tables.append(table)
            continue
        kept = _rows_left(table, used)
        if kept is not None:
            tables.append(kept)
        freed.append(table.box)
    lines = _remaining(page.lines, words, tables, freed)
    return replace(page, lines=tuple(lines), tables=tuple(tables), heads=(), feet=())


def _rows_left(table: Table, used: Sequence[Box]) -> Table | None:
    """The rows of a table below its header cells, if they are a table by themselves."""
    rows = [r for r in table.rows if not any(_in(c.box, used) for c in r if c.text.strip())]
    filled = [r for r in rows if sum(bool(c.text.strip()) for c in r) > 1]
    if len(filled) < 2 or _names_a_place([[c.text for c in r if c.text.strip()] for r in filled]):
        return None
    boxes = [c.box for r in rows for c in r if c.text.strip()]
    return Table(table.sheet, _hull(boxes), tuple(rows), table.ruled)


def _names_a_place(rows: Sequence[Sequence[str]]) -> bool:
    """True for a form one of whose fields gives the manual, the page or the steps: read as text, they hold
    for all of the note."""
    fields = all(len(cells) == 2 for cells in rows)
    return fields and any(_PLACE.fullmatch(a.strip()) and re.search("[0-9]", b) for a, b in rows)


def _hull(boxes: Sequence[Box]) -> Box:
    return Box(
        min(b.x0 for b in boxes),
        min(b.top for b in boxes),
        max(b.x1 for b in boxes),
        max(b.bottom for b in boxes),
    )


def _remaining(
    lines: Sequence[Line], words: set[int], tables: Sequence[Table], freed: Sequence[Box]
) -> list[Line]:
    left: list[Line] = []
    parted = freed_before = False
    for line in lines:
        kept = tuple(w for w in line.words if id(w) not in words)
        if not any(c.isalnum() for w in kept for c in w.text):
            parted = True
            continue
        whole = len(kept) == len(line.words)
        loose = line.place == "table" and _in(line.box, freed) and not _in(line.box, [t.box for t in tables])
        line = (
            line if whole else replace(line, words=_trimmed(kept), box=_hull([w.box for w in _trimmed(kept)]))
        )
        if loose:
            line = replace(line, place="text", frame=None)
        left.append(replace(line, gap=_FAR) if parted or not whole or loose != freed_before else line)
        parted, freed_before = not whole, loose
    return left


def _trimmed(words: tuple[Word, ...]) -> tuple[Word, ...]:
    """Without the marks that were left hanging between two values."""
    while words and not any(c.isalnum() for c in words[0].text):
        words = words[1:]
    return words


def _in(box: Box, boxes: Iterable[Box]) -> bool:
    x, y = (box.x0 + box.x1) / 2, (box.top + box.bottom) / 2
    return any(b.x0 - 1 <= x <= b.x1 + 1 and b.top - 1 <= y <= b.bottom + 1 for b in boxes)
