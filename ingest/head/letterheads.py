"""A letterhead that is drawn as a table: the maker at the left, the number and the date at the right.

Its cells bear no labels, so it is no form with fields; its lines are read as a running head's.
"""

import re
from collections.abc import Collection, Sequence
from dataclasses import replace

from benchleaf.graph.model import Box
from benchleaf.ingest.head.dates import find_dates
from benchleaf.ingest.head.fields import FieldBook, plain
from benchleaf.ingest.head.issuers import is_company
from benchleaf.ingest.head.notenumbers import read_number
from benchleaf.ingest.head.notetitles import is_kind_only, read_title
from benchleaf.ingest.head.segments import segments_of
from benchleaf.ingest.shapes import LaidPage, Line, Table

_ROWS, _PIECES, _LONGEST = 4, 8, 70  # a letterhead is small


def with_letterhead(page: LaidPage, fields: Collection[int], book: FieldBook) -> LaidPage:
    """The page with the lines of letterheads among its heads; `fields` are the tables of labelled fields."""
    freed = [i for i, t in enumerate(page.tables) if i not in fields and _is_letterhead(page, t, book)]
    if not freed:
        return page
    boxes = [page.tables[i].box for i in freed]
    heads = tuple(replace(li, place="text") for li in page.lines if _in_any(li, boxes))
    lines = tuple(li for li in page.lines if not _in_any(li, boxes))
    tables = tuple(t for i, t in enumerate(page.tables) if i not in freed)
    return replace(page, heads=(*page.heads, *heads), lines=lines, tables=tables)


def _is_letterhead(page: LaidPage, table: Table, book: FieldBook) -> bool:
    """True for a small table above all text that names a paper and nothing else."""
    own = [li for li in page.lines if _in_any(li, [table.box])]
    pieces = [s.text for li in own for s in segments_of(li, None)]
    above = any(li.box.bottom <= table.box.top and li.place == "text" for li in page.lines)
    if above or not 2 <= len(pieces) <= _PIECES or len(table.rows) > _ROWS:
        return False
    if any(plain(p) in book.parts or not _short(p) for p in pieces):
        return False
    kinds = {_sort(p) for p in pieces} - {""}
    return bool(kinds & {"number", "title"}) and len(kinds) >= 2


def _short(text: str) -> bool:
    """True for words that are no sentence."""
    small = re.findall(r"(?<![\w-])[a-zà-ÿ]{2,}", text)
    return len(text) <= _LONGEST and len(small) < 5 and ":" not in text


def _sort(text: str) -> str:
    """What a piece of a letterhead is; "" where nothing tells."""
    if read_title(text) is not None:
        return "title"
    if is_kind_only(text):
        return "kind"
    if days := find_dates(text[:80]):
        return "date" if len(days) == 1 and len(text) < 40 else ""
    number = read_number(text)
    if number is not None and not number.rest and _numbered(number.number):
        return "number"
    return "maker" if is_company(text) else ""


def _numbered(number: str) -> bool:
    """True for letters and figures, or two groups of figures: a bare figure may number anything."""
    return re.search(r"[0-9]", number) is not None and re.search(r"[A-Z]|[0-9][/-][0-9]", number) is not None


def _in_any(line: Line, boxes: Sequence[Box]) -> bool:
    x, y = (line.box.x0 + line.box.x1) / 2, (line.box.top + line.box.bottom) / 2
    return any(b.x0 - 1 <= x <= b.x1 + 1 and b.top - 1 <= y <= b.bottom + 1 for b in boxes)
