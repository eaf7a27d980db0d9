"""Parts lists of a manual: rows under a heading row that names part numbers and descriptions.

The grid of an unruled list is taken from where its heading words stand, so that an indented or a narrow
column is not joined to its neighbour.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.model import Box, KitLine
from benchleaf.ingest.shapes import Cell, LaidPage, Line, Table, Word

_PART = re.compile(
    r"\b(?:part|stock|order|drawing|catalogue|catalog|material|article)s?\.?\s{0,2}(?:no|number|nr|num|code)s?\b\.?"
    r"|\bp/?n\b|\bpart\b(?! name)",
    re.IGNORECASE,
)
_REFERENCE = re.compile(r"\bref(?:erence)?\.?\s{0,2}(?:no|number|nr|num)\b\.?", re.IGNORECASE)
_DESCRIPTION = re.compile(
    r"\b(?:description|designation|name|denomination|title|component|part name|nomenclature|naming"
    r"|appellation)\b",
    re.IGNORECASE,
)
_QUANTITY = re.compile(
    r"\b(?:q['’ ]?ty|quantity|quant|amount|no\.? off|off|pcs|pieces|number per"
    r"|units? per|per (?:assy|assembly|unit)|req(?:uired|'?d)?|qpa|upa)\b\.?",
    re.IGNORECASE,
)
_ITEM = re.compile(r"\b(?:item|pos|position)\b", re.IGNORECASE)
_OTHER_ITEM = re.compile(r"\b(?:index|key|ref|reference|no|nr|fig)\b", re.IGNORECASE)
_NUMBER = re.compile(r"(?=[^\n]{0,24}[0-9])[0-9A-Z][0-9A-Za-z ./-]{2,24}$")
_COUNT = re.compile(r"[0-9]{1,4}$")
_ONLY = re.compile(r"[-–—./\s]*$")
_SIGN = re.compile(r"(?<=[0-9A-Za-z)])\s?(?P<sign>[*†‡§#]{1,3})$|^(?P<lead>[*†‡§#]{1,3})\s?")
_GOES_ON = re.compile(r"[a-z(]")
_OPEN_END = re.compile(r"(?:[,&–-]|\b(?:of|for|with|and|to|incl\.?))$", re.IGNORECASE)
BULLET = re.compile(r"^(?:[•◦▪■●○·.–—-]\s?){1,4}(?=[A-Za-z(])")
# A short sentence below a list on its items and kits: "Kit 4471 (items 3, 4)", "* In repair kit 4471".
_SAYS = re.compile(
    r"^(?=.{0,80}[0-9])(?=.{0,80}\b(?:kit|set)\b).{0,90}\b(?:items?|parts|pos|nos|marked)\b"
    r"|^[*•†‡#] ?(?:=|[A-Za-z]{2})",
    re.IGNORECASE,
)
_COLUMN_GAP = 0.8  # ems of free room that part two columns; blanks within a cell are under 0.65
_ROW_GAP = 3.0  # line heights of free room below which a list goes on


@dataclass(frozen=True, slots=True)
class PartRow:
    """One row as printed. `indent` is how far its description stands in, in points; `others` are the cells
    under further headings; `signs` are marks such as `*` that stood on number, part or name."""

    item: str
    part: str
    description: str
    quantity: str
    indent: float
    box: Box
    others: tuple[tuple[str, str], ...] = ()
    signs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PartsTable:
    """A parts list on one sheet. `counted` is false where no column, or several columns, give quantities."""

    page: LaidPage
    rows: tuple[PartRow, ...]
    heads: tuple[str, ...]
    box: Box
    counted: bool = True


@dataclass(slots=True)
class _Columns:
    """Which of a heading row's columns hold what; `quantity` is None where it is not the one column."""

    heads: tuple[str, ...]
    part: int
    description: int
    quantity: int | None
    item: int | None
    rest: tuple[int, ...] = ()


_Cells = list[tuple[str, Box | None]]


def read_parts(pages: Sequence[LaidPage]) -> tuple[KitLine, ...]:
    """Every row of every parts list: number as printed, description, quantity (None for `AR`, as
    required, and where several columns give it for several models)."""
    return tuple(
        line
        for page in pages
        for table in parts_tables(page)
        for row in table.rows
        if (line := _line(row)) is not None
    )


def parts_tables(page: LaidPage) -> tuple[PartsTable, ...]:
    """The parts lists of one sheet, ruled or only aligned."""
    ruled = [t for t in page.tables if t.ruled]
    found = [t for table in ruled if (t := _of_cells(page, table)) is not None]
    free = [li for li in page.lines if not any(_inside(li.box, t.box) for t in ruled)]
    found.extend(_of_lines(page, free))
    for table in page.tables:
        if not table.ruled and not any(_inside(table.box, f.box, 0.3) for f in found):
            other = _of_cells(page, table)
            found.extend([other] if other is not None else [])
    return tuple(found)


def _line(row: PartRow) -> KitLine | None:
    words = BULLET.sub("", row.description).strip(" .")
    if not words or not _NUMBER.match(row.part):
        return None
    count = row.quantity.strip()
    return KitLine(row.part, words, int(count) if _COUNT.match(count) else None)


def _of_cells(page: LaidPage, table: Table) -> PartsTable | None:
    """A ruled list by its cells."""
    for at, row in enumerate(table.rows[:4]):
        columns = _columns([c.text for c in row])
        if columns is None:
            continue
        words = [w for li in page.lines if _inside(li.box, table.box) for w in li.words]
        below = [[(c.text, _printed(c, words)) for c in r] for r in table.rows[at + 1 :]]
        return _made(page, columns, below, table.box)
    return None


def _printed(cell: Cell, words: Sequence[Word]) -> Box | None:
    """Where a cell's words stand: its ruled box does not tell how far they are set in."""
    return _bounds([w.box for w in words if _inside(w.box, cell.box)]) or (cell.box if cell.text else None)


def _of_lines(page: LaidPage, lines: Sequence[Line]) -> Iterator[PartsTable]:
    """Lists by their lines: the heading's words give the columns, what stands below falls into them."""
    at = 0
    while at < len(lines):
        heads = stretches(lines[at])
        columns = _columns([_said(h) for h in heads]) if 2 <= len(heads) <= 12 else None
        if columns is None:
            at += 1
            continue
        rows, end = _below(lines, at, [_reach(h) for h in heads])
        made = _made(page, columns, rows, _around(lines[at:end]))
        if made.rows:
            yield made
        at = max(end, at + 1)


def _below(
    lines: Sequence[Line], at: int, reaches: Sequence[tuple[float, float]]
) -> tuple[list[_Cells], int]:
    """The rows under a heading line, up to running text, another heading or a wide gap."""
    rows: list[_Cells] = []
    last = lines[at]
    end = at + 1
    for line in lines[at + 1 :]:
        clusters = stretches(line)
        far = line.box.top - last.box.bottom > _ROW_GAP * max(line.size, 1.0)
        if far or line.column != last.column or line.box.top < last.box.top - 1:
            break
        if _is_prose(clusters, reaches) or _columns([_said(c) for c in clusters]) is not None:
            break
        rows.append(_placed(clusters, reaches))
        last, end = line, end + 1
    return rows, end


def _is_prose(clusters: Sequence[Sequence[Word]], reaches: Sequence[tuple[float, float]]) -> bool:
    """A sentence across columns is no row."""
    return (
        len(clusters) == 1
        and len(reaches) > 2
        and (len(clusters[0]) > 6 or (len(clusters[0]) > 2 and _SAYS.search(_said(clusters[0])) is not None))
        and clusters[0][0].box.x0 < (reaches[1][0] - 4)
    )


def stretches(line: Line) -> list[list[Word]]:
    """A line's words, parted where the free room between two is a column's."""
    found: list[list[Word]] = []
    for word in line.words:
        near = found and word.box.x0 - found[-1][-1].box.x1 <= _COLUMN_GAP * max(word.size, 1.0)
        if near:
            found[-1].append(word)
        else:
            found.append([word])
    return found


def _said(words: Sequence[Word]) -> str:
    return " ".join(w.text for w in words)


def _reach(words: Sequence[Word]) -> tuple[float, float]:
    return words[0].box.x0, words[-1].box.x1


def _placed(clusters: Sequence[Sequence[Word]], reaches: Sequence[tuple[float, float]]) -> _Cells:
    """Each stretch of words under the heading that it overlaps, or the nearest to its left."""
    cells: list[list[Word]] = [[] for _ in reaches]
    for words in clusters:
        cells[_column_of(_reach(words), reaches)].extend(words)
    return [(_said(c), _box(c)) if c else ("", None) for c in cells]


def _column_of(reach: tuple[float, float], reaches: Sequence[tuple[float, float]]) -> int:
    shared = [min(reach[1], b) - max(reach[0], a) for a, b in reaches]
    if max(shared) > 0:
        starting = [i for i, s in enumerate(shared) if s > 0]
        return starting[0] if len(starting) > 1 else shared.index(max(shared))
    return min(range(len(reaches)), key=lambda i: min(abs(reach[0] - reaches[i][0]), -shared[i]))


def _columns(heads: Sequence[str]) -> _Columns | None:
    """What the columns of a heading row hold; None if it is no such row."""
    if any(len(h) > 60 for h in heads):
        return None
    description = _first(heads, _DESCRIPTION, ())
    part = _first(heads, _PART, (description,))
    part = part if part is not None else _first(heads, _REFERENCE, (description,))
    if part is None or description is None:
        return None
    counts = [i for i, h in enumerate(heads) if i not in (part, description) and _QUANTITY.search(h)]
    quantity = counts[0] if len(counts) == 1 else None
    taken = (part, description, *counts)
    item = _first(heads, _ITEM, taken)
    item = item if item is not None else _first(heads, _OTHER_ITEM, taken)
    rest = tuple(i for i in range(len(heads)) if i not in (part, description, quantity, item))
    return _Columns(tuple(heads), part, description, quantity, item, rest)


def _first(heads: Sequence[str], pattern: "re.Pattern[str]", taken: Sequence[int | None]) -> int | None:
    return next((i for i, h in enumerate(heads) if i not in taken and pattern.search(h[:60])), None)


def _made(page: LaidPage, columns: _Columns, rows: Sequence[_Cells], box: Box) -> PartsTable:
    made: list[PartRow] = []
    left = min((b.x0 for cells in rows if (b := cells[columns.description][1]) is not None), default=0.0)
    for cells in rows:
        row = _row(cells, columns, left, box)
        if made and _continues(row, made[-1]):
            made[-1] = replace(made[-1], description=f"{made[-1].description} {row.description}")
        elif row.part or row.description or row.item:
            made.append(row)
    return PartsTable(page, tuple(made), columns.heads, box, columns.quantity is not None)


def _row(cells: _Cells, columns: _Columns, left: float, whole: Box) -> PartRow:
    signs: list[str] = []

    def plain(place: int | None) -> str:
        text = cells[place][0].strip() if place is not None else ""
        for sign in _SIGN.finditer(text):
            signs.append(sign["sign"] or sign["lead"])
        return "" if _ONLY.match(text) else _SIGN.sub("", text).strip()

    at = cells[columns.description][1]
    return PartRow(
        item=plain(columns.item),
        part=plain(columns.part),
        description=plain(columns.description),
        quantity=plain(columns.quantity),
        indent=at.x0 - left if at is not None else 0.0,
        box=_bounds([b for _, b in cells if b is not None]) or whole,
        others=tuple((columns.heads[i], cells[i][0].strip()) for i in columns.rest),
        signs=tuple(signs),
    )


def _continues(row: PartRow, above: PartRow) -> bool:
    """True for the rest of a description that was broken off."""
    if row.item or row.part or row.quantity or not row.description or BULLET.match(row.description):
        return False
    return bool(_GOES_ON.match(row.description) or _OPEN_END.search(above.description))


def _box(words: Sequence[Word]) -> Box:
    found = _bounds([w.box for w in words])
    assert found is not None
    return found


def _around(lines: Sequence[Line]) -> Box:
    found = _bounds([li.box for li in lines])
    assert found is not None
    return found


def _bounds(boxes: Sequence[Box]) -> Box | None:
    if not boxes:
        return None
    return Box(
        min(b.x0 for b in boxes),
        min(b.top for b in boxes),
        max(b.x1 for b in boxes),
        max(b.bottom for b in boxes),
    )


def _inside(inner: Box, outer: Box, share: float = 0.0) -> bool:
    x, y = (inner.x0 + inner.x1) / 2, (inner.top + inner.bottom) / 2
    if share:
        high = min(inner.bottom, outer.bottom) - max(inner.top, outer.top)
        return high > share * (inner.bottom - inner.top) and inner.x0 < outer.x1 and outer.x0 < inner.x1
    return outer.x0 - 1 <= x <= outer.x1 + 1 and outer.top - 1 <= y <= outer.bottom + 1
