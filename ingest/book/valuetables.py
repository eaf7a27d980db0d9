"""Numbered rows of a table of values (torques, pressures, clearances): notes change them line by line.

A parts list is none, nor a table on a page with steps of its own: there a bare number names the step.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from benchleaf.graph.model import Box, Item
from benchleaf.ingest.shapes import Cell, LaidPage, Table

_NUMBERS = re.compile(
    r"(?:line|row|item|pos(?:ition)?|no|nr|lfd|ref|#)\b\.?(?: ?(?:no|nr)\b\.?)?(?: ?/ ?[a-z]{1,8}\.?)?|#",
    re.IGNORECASE,
)
_PARTS = re.compile(
    r"\b(?:part|qty|quantity|stock|order|off|kit|supersed|replac|old|new|bestell|teile|stuck)", re.IGNORECASE
)
_TITLE = re.compile(r"(?:table|tab\.|tabelle)\b", re.IGNORECASE)
_VALUE = re.compile(
    r"(?<![A-Za-z])[0-9][0-9.,/ –-]{0,14} ?(?:[kdcm]?N[ .·-]?[cm]?m?|bar|[kM]?Pa|psi|mm|cm|in|ft|lb|lbf|kg|kp"
    r"|°|min|rpm|l|pt|qt|gal|h)\b|[0-9] ?(?:°|″|\")|\.[0-9]{2}",
)
_LEAST = 3  # rows that make such a table


def rows_added(
    pages: Sequence[LaidPage], steps: Mapping[int, Sequence[Item]], folios: Sequence[str]
) -> dict[int, tuple[Item, ...]]:
    """Rows of tables of values as items, by the sheet's index; none whose number only one step bears."""
    count = Counter(i.label for items in steps.values() for i in items)
    added: dict[int, tuple[Item, ...]] = {}
    for index, page in enumerate(pages):
        tables = [t for t in page.tables if _of_values(t)]
        if len(tables) != 1 or steps.get(index) or page.folio is None:
            continue
        items = tuple(_items(tables[0], page, folios[index]))
        if items and not any(count[i.label] == 1 for i in items):
            added[index] = items
    return added


def _of_values(table: Table) -> bool:
    """True for rows counted 1, 2, 3 under a head that says so, with a value in most of them."""
    if len(table.rows) <= _LEAST or len(table.rows[0]) < 3:  # number, name, value
        return False
    head, rows = table.rows[0], table.rows[1:]
    if not _NUMBERS.fullmatch(head[0].text.strip()) or any(_PARTS.search(c.text) for c in head):
        return False
    counted = [r[0].text.strip(" .)") for r in rows] == [str(n) for n in range(1, len(rows) + 1)]
    valued = sum(any(_VALUE.search(c.text) for c in r[1:]) for r in rows)
    return counted and 2 * valued > len(rows)


def _items(table: Table, page: LaidPage, folio: str) -> Iterator[Item]:
    section = _title(table, page)
    for row in table.rows[1:]:
        text = " ".join(c.text.strip() for c in row[1:] if c.text.strip())
        yield Item(row[0].text.strip(" .)"), text, folio, page.sheet, section, box=_around(row))


def _title(table: Table, page: LaidPage) -> str | None:
    """The line with the table's number and name above it, else the line right above."""
    above = [li for li in page.lines if li.box.bottom <= table.box.top + 1 and li.place == "text"]
    near = sorted(above, key=lambda li: li.box.top)[-4:]
    named = next((li.text for li in near if _TITLE.match(li.text)), None)
    return named or (near[-1].text if near else None)


def _around(row: Iterable[Cell]) -> Box:
    boxes = [c.box for c in row if c.text.strip()]
    return Box(
        min(b.x0 for b in boxes),
        min(b.top for b in boxes),
        max(b.x1 for b in boxes),
        max(b.bottom for b in boxes),
    )
