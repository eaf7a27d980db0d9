"""Tables of old and new numbers without heads: the words above or arrows tell which column is which."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from benchleaf.ingest.phrases.cells import without_ditto
from benchleaf.ingest.phrases.references import tag
from benchleaf.ingest.phrases.tabular import Columns
from benchleaf.ingest.phrases.tags import CODE, PART
from benchleaf.ingest.shapes import Cell, Table

_ARROW = re.compile(r"(?:→|➔|⇒|[-–—=]{1,4}>|»|>|to|becomes|now)", re.IGNORECASE)
_EQUALS = re.compile(r"(?:=|[.·…]{2,}|-|–|/|:)")
_OLD = r"(?:old|superseded|former|previous|replaced|discontinued|existing|obsolete|from)"
_NEW = r"(?:new|replacement|superseding|present|current|successor|to|now)"
_OLD_NEW = re.compile(
    rf"\b{_OLD}(?: (?:part|kit|order))?(?: (?:numbers?|nos?\.?))?[ ,]{{0,2}}(?:[-–—/→>:.= ]{{1,12}}"
    rf"|and |left, |on the left,? (?:and )?)(?:the )?{_NEW}\b",
    re.I,
)
_NEW_OLD = re.compile(
    r"\b(?:new|replacement|present|current)(?: (?:part|kit|order))?(?: (?:numbers?"
    r"|nos?\.?))?[ ,]{0,2}(?:[-–—/:.= ]{1,12}|and |left, |on the left,? (?:and )?)(?:the )?(?:old"
    r"|superseded|former|previous|replaced)\b",
    re.I,
)
_CHANGES = re.compile(
    r"\b(?:replac|supersed|supersess|substitut|changed?\b|changes|renumber|discontinu|no longer"
    r"|obsolete|become|part numbers? ha)",
    re.IGNORECASE,
)
_UNSURE = "no head says which column is the old number and which the new one"


@dataclass(frozen=True, slots=True)
class Paired:
    """The columns of such a table, and why their order is not sure."""

    columns: Columns
    why: tuple[str, ...] = ()


def paired(table: Table, lead: str) -> Paired | None:
    """Two columns of part numbers under words that speak of changed numbers, or with arrows between
    them; None for any other table."""
    rows = tuple(row for row in table.rows if any(c.text.strip() for c in row))
    if not rows or len({len(row) for row in rows}) > 1:
        return None
    width = range(len(rows[0]))
    coded = [i for i in width if all(_is_number(row[i].text) for row in rows)]
    if len(coded) != 2:
        return None
    between = [c.text.strip() for row in rows for c in row[coded[0] + 1 : coded[1]]]
    at: dict[str, int] = {"old": coded[0], "new": coded[1]}
    if between and all(_ARROW.fullmatch(t) for t in between):
        return Paired(_columns(at, rows))
    if not _CHANGES.search(lead) or not all(_EQUALS.fullmatch(t) or not _is_number(t) for t in between):
        return None
    if _NEW_OLD.search(lead):
        return Paired(_columns({"old": coded[1], "new": coded[0]}, rows))
    return Paired(_columns(at, rows), () if _OLD_NEW.search(lead) else (_UNSURE,))


def _columns(at: Mapping[str, int], rows: tuple[tuple[Cell, ...], ...]) -> Columns:
    last = len(rows[0]) - 1
    told = {**at, "remark": last} if last not in at.values() and _wordy(rows, last) else at
    return Columns("supersession", told, without_ditto(rows))


def _wordy(rows: tuple[tuple[Cell, ...], ...], place: int) -> bool:
    return any(re.search("[A-Za-z]{3}", row[place].text) for row in rows)


def _is_number(text: str) -> bool:
    """True for a cell that is one part number, or a ditto mark's own."""
    plain = text.strip()
    found = [t for t in tag(plain).tags.values() if t.kind in (PART, CODE)]
    return len(found) == 1 and len(plain) - len(found[0].text) < 30
