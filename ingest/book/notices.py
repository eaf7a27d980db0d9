"""CAUTION, NOTE and WARNING: framed boxes, run-in words (`NOTE: …`) and words that stand above their text."""

import re
from collections.abc import Sequence

from benchleaf.ingest.book.rows import Row

_KINDS = "CAUTION|NOTES?|WARNING|DANGER|IMPORTANT|ATTENTION|NOTICE|REMARK|HINT|TIP|N\\.?B\\.?"
_LEAD = r"[^0-9A-Za-z(]{0,3}(?:(?:SAFETY|GENERAL|SPECIAL)\s)?"
_CAPITALS = re.compile(rf"{_LEAD}(?P<kind>{_KINDS})(?P<mark>\s?[:!.\-–—]{{0,2}})(?=\s|$)")
_ANY_CASE = re.compile(rf"{_LEAD}(?P<kind>{_KINDS})(?P<mark>\s?[:!]|\.|\s[\-–—])(?=\s|$)", re.IGNORECASE)
_BEFORE_CAPITAL = re.compile(
    r"(?P<kind>Caution|Notes?|Warning|Danger|Important|Attention|Notice|Remark)(?P<mark>)\s(?=[A-Z][a-z]*\s)"
)
_SPELLED = {"NOTES": "NOTE", "NB": "NOTE", "N.B.": "NOTE", "N.B": "NOTE", "NB.": "NOTE"}


def notice_start(row: Row) -> tuple[str, int] | None:
    """The kind of notice that a line opens, in capitals, and how many characters its word takes; or None.

    In sentences such as `Note the position` the word is no notice: it needs capitals, a mark or bold type.
    """
    text = row.text
    m = _CAPITALS.match(text[:60]) or _ANY_CASE.match(text[:60]) or _BEFORE_CAPITAL.match(text[:60])
    if m is None:
        bold = _bold_word(row)
        return (bold, len(row.words[0].text)) if bold else None
    if not m["mark"].strip() and _all_capitals(text[m.end() :]) and not _framed_or_bold(row):
        return None
    return _named(m["kind"]), m.end()


def _named(word: str) -> str:
    kind = word.upper()
    return _SPELLED.get(kind, kind)


def _bold_word(row: Row) -> str | None:
    if not row.led or row.count < 2 or row.words[1].bold:
        return None
    first = row.words[0]
    return _named(first.text) if re.fullmatch(_KINDS, first.text, re.IGNORECASE) else None


def _all_capitals(rest: str) -> bool:
    letters = [c for c in rest if c.isalpha()]
    return len(letters) > 3 and all(c.isupper() for c in letters)


def _framed_or_bold(row: Row) -> bool:
    return row.place == "frame" or (row.led and not row.words[-1].bold)


def framed_groups(rows: Sequence[Row]) -> dict[int, tuple[int, ...]]:
    """Rows that stand in one drawn frame, by the first of them. Borders around whole pages are left out by
    the
    caller."""
    groups: dict[int, tuple[int, ...]] = {}
    first: dict[tuple[int, object], int] = {}
    for row in rows:
        if row.place != "frame" or row.line.frame is None:
            continue
        start = first.setdefault((row.page, row.line.frame), row.n)
        groups[start] = (*groups.get(start, ()), row.n)
    return groups
