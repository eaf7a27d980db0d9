"""Parts lists of a manual: the rows of tables with a column of part numbers."""

import re
from collections.abc import Iterable, Sequence

from benchleaf.graph.model import KitLine
from benchleaf.ingest.shapes import Cell, LaidPage, Table

_PART = re.compile(
    r"\b(?:part|stock|order|ref(?:erence)?|catalogue|material|article)\.?\s{0,2}(?:no|number|nr|num)\b\.?|\bp/?n\b|\bpart\b",
    re.IGNORECASE,
)
_DESCRIPTION = re.compile(
    r"\b(?:description|designation|name|denomination|title|component|part name)\b", re.IGNORECASE
)
_QUANTITY = re.compile(
    r"\b(?:qty|quantity|quant|no\.? off|off|pcs|pieces|number per|req(?:uired|'d)?|qpa|upa)\b\.?",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"(?=[^\n]{0,24}[0-9])[0-9A-Z][0-9A-Za-z ./-]{2,24}$")
_COUNT = re.compile(r"[0-9]{1,4}$")


def read_parts(pages: Sequence[LaidPage]) -> tuple[KitLine, ...]:
    """Every row of every parts list: number as printed, description, quantity (None for `AR`, as
    required)."""
    return tuple(line for page in pages for table in page.tables for line in _lines(table))


def _lines(table: Table) -> Iterable[KitLine]:
    for at, row in enumerate(table.rows[:4]):
        columns = _columns(row)
        if columns is not None:
            return [line for r in table.rows[at + 1 :] if (line := _line(r, *columns)) is not None]
    return []


def _columns(row: Sequence[Cell]) -> tuple[int, int, int | None] | None:
    """Which columns of a heading row hold part number, description and quantity; None if it is no such
    row."""
    description = _first(row, _DESCRIPTION, ())
    part = _first(row, _PART, (description,))
    if part is None or description is None:
        return None
    return part, description, _first(row, _QUANTITY, (part, description))


def _first(row: Sequence[Cell], pattern: "re.Pattern[str]", taken: Sequence[int | None]) -> int | None:
    return next((i for i, c in enumerate(row) if i not in taken and pattern.search(c.text[:60])), None)


def _line(row: Sequence[Cell], part: int, description: int, quantity: int | None) -> KitLine | None:
    number = row[part].text.strip()
    words = row[description].text.strip(" .")
    if not words or not _NUMBER.match(number):
        return None
    count = row[quantity].text.strip() if quantity is not None else ""
    return KitLine(number, words, int(count) if _COUNT.match(count) else None)
