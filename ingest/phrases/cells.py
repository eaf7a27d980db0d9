"""What stands in the cells of tables: repeated marks, yes and no, counts, double tables."""

import re
from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.model import Interchange, Stock
from benchleaf.ingest.phrases.kitcounts import quantity
from benchleaf.ingest.shapes import Cell, Table

_DITTO = re.compile(
    r"(?:[\"”“〃″]|''|,,|-?\s?[\"”]\s?-|[-–]?\s?do\.?\s?[-–]?|ditto|idem|id\.|same)", re.IGNORECASE
)
_YES = re.compile(
    r"(?:yes|y|full|fully|both|both ways|two[- ]way|2[- ]way|interchangeable|✓|✔|ja|si|oui|i/c)[.! ]*", re.I
)
_NO = re.compile(r"(?:no|n|none|not|non|not interchangeable|nil|✗|✘|nein)[.! ]*", re.IGNORECASE)
_ONE_WAY = re.compile(
    r"(?:one[- ]way|1[- ]way|new for old(?: only)?|new replaces old|n/o|new → old|partly"
    r"|forwards? only)[.! ]*",
    re.I,
)
_SCRAP = re.compile(
    r"(?:scrap|destroy|return|discard|dispose|send back|do not use|not to be used)\b", re.IGNORECASE
)
_USE_UP = re.compile(
    r"(?:use(?: up)?|exhaust|run out|run down|use first|may be used(?: up)?|clear)\b(?! only| new| instead)",
    re.I,
)
_UNITS = re.compile(r"\b(?:pcs|pc|pieces?|off|x|ea|each|nos?|units?|sets?)\b\.?|×", re.IGNORECASE)


def without_ditto(rows: Sequence[tuple[Cell, ...]]) -> tuple[tuple[Cell, ...], ...]:
    """The rows with every mark for "the same" (", do., -"-) replaced by the words it stands for."""
    out: list[tuple[Cell, ...]] = []
    for row in rows:
        above = out[-1] if out and len(out[-1]) == len(row) else None
        out.append(
            tuple(
                Cell(above[i].text, cell.box) if above and _DITTO.fullmatch(cell.text.strip()) else cell
                for i, cell in enumerate(row)
            )
        )
    return tuple(out)


def halved(table: Table) -> tuple[Table, ...]:
    """A table whose heads stand twice side by side (old new | old new), as two; any other as it is."""
    rows = [row for row in table.rows if any(c.text.strip() for c in row)]
    width = len(rows[0]) if rows else 0
    if width < 4 or width % 2 or any(len(row) != width for row in rows):
        return (table,)
    heads = [re.sub(r"\W+", " ", c.text.lower()).strip() for c in rows[0]]
    half = width // 2
    if heads[:half] != heads[half:] or len(set(heads[:half])) < half or not all(heads):
        return (table,)
    return tuple(replace(table, rows=tuple(tuple(row[a : a + half]) for row in rows)) for a in (0, half))


def interchange_of(cell: str) -> Interchange | None:
    """What a cell under "Interchangeable" says; None if it is none of the usual short words."""
    plain = cell.strip()
    if _ONE_WAY.fullmatch(plain):
        return "new for old"
    return "both ways" if _YES.fullmatch(plain) else "none" if _NO.fullmatch(plain) else None


def stock_of(cell: str) -> Stock | None:
    """What a cell under "Stock", or one that opens with such a word, says of old parts."""
    plain = cell.strip()
    return "scrap" if _SCRAP.match(plain) else "use up" if _USE_UP.match(plain) else None


def count_of(text: str) -> int | None:
    """The count in a cell ("6", "6 off", "6 pcs."); None if it is none.

    >>> count_of("6 off")
    6
    """
    return quantity(_UNITS.sub("", text).strip(" .()"))
