"""Section headings: bold, larger or capital lines without a sentence's ending, and what only looks like
them."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.ingest.book.rows import Look, Row

LONGEST_HEADING = 14  # words
_CAPTION = re.compile(
    r"(?:[Ff]ig(?:ure|s)?|FIG(?:URE|S)?|[Ii]llustration|[Vv]iew|[Dd]etail|[Tt]able|TABLE|Tab|[Pp]late|Abb|[Pp]hoto)\b"
    r"\.?\s{0,3}(?:[Nn]o\.?\s{0,2})?(?:[0-9]{1,3}(?:[.\-\u2013][0-9]{1,3}){0,2}[a-z]?|[A-Z])\b(?P<rest>.{0,200})"
)
_STOPS = re.compile(r"[.;,!?]['\"”’)]?$")
_AS_FOLLOWS = re.compile(r"\b(?:follow(?:s|ing)|below|proceed)\b", re.IGNORECASE)
_CONTINUED = re.compile(r"[\s\-–—(\[,]{0,4}(?:continued|cont['’]?d|cont)\.?[)\]]?\s{0,2}$", re.IGNORECASE)
_HEADING_START = re.compile(r"[A-Z0-9\"“(\[ÄÖÜÉ]")
_MEASURE = re.compile(
    r"[0-9][0-9.,]{0,6}\s{0,2}(?:mm|cm|nm|n·m|bar|kpa|psi|in|lb|kg|°c|°f|ml|l|litres?)\b", re.IGNORECASE
)


def is_caption(text: str) -> bool:
    """True for the caption of a figure or table: `Fig. 3`, `Figure 4-2. Oil pump`, not `Fig. 3 shows the
    pump.`"""
    m = _CAPTION.match(text[:260])
    if m is None:
        return False
    rest = m["rest"].lstrip(" .:\u2013\u2014-")
    return not rest or not (rest[:1].islower() or rest[:1] in ",;)") or not _STOPS.search(text)


def is_caption_row(row: Row, before: Row | None) -> bool:
    """True for a caption's line; `Fig. 3.` that a sentence wraps onto a new line is none."""
    if not is_caption(row.text):
        return False
    wrapped = before is not None and before.page == row.page and not row.apart and before.place == "text"
    return not wrapped or before is None or _STOPS.search(before.text) is not None or is_caption(before.text)


def captions(rows: Sequence[Row]) -> frozenset[int]:
    """The rows that are captions."""
    return frozenset(r.n for r in rows if r.count and is_caption_row(r, rows[r.n - 1] if r.n else None))


def is_heading(row: Row, look: Look) -> bool:
    """True if a line's type and wording are those of a heading: set apart by weight, size or capitals."""
    text = row.text
    if not can_be_heading(row) or not any(c.isalpha() for c in text):
        return False
    if row.size >= 1.12 * look.size:
        return True
    if row.bold and not look.bold and row.size >= 0.9 * look.size:
        return True
    return _capitals(text) and row.apart and len(text) > 4


def can_be_heading(row: Row) -> bool:
    """True if the wording and the place do not forbid a heading."""
    text = row.text
    if row.place != "text" or row.count > LONGEST_HEADING or is_caption(text):
        return False
    if _STOPS.search(text) or not _HEADING_START.match(text):
        return False
    return _MEASURE.search(text) is None


def is_plain_heading(row: Row) -> bool:
    """True for a short line in body type that stands apart and heads a numbered list that begins below it."""
    if not can_be_heading(row) or row.count > 8 or not row.apart:
        return False
    if row.text.endswith(":") and row.count > 4:
        return False
    return sum(c.isalpha() for c in row.text) > 3 and not _AS_FOLLOWS.search(row.text)


def _capitals(text: str) -> bool:
    letters = [c for c in text if c.isalpha()]
    return len(letters) >= 4 and all(c.isupper() for c in letters)


def without_continued(heading: str) -> str:
    """A heading without `(continued)`.

    >>> without_continued("Oil pump (cont'd)")
    'Oil pump'
    """
    return _CONTINUED.sub("", heading).strip()


@dataclass(frozen=True, slots=True)
class Heading:
    """A section heading: its text, the row where it begins and all its rows."""

    text: str
    row: int
    rows: tuple[int, ...]


def join_headings(rows: Sequence[Row], found: Sequence[int]) -> tuple[Heading, ...]:
    """Headings from the rows found to be of one: neighbours of the same type and without a gap are one
    heading."""
    groups: list[list[int]] = []
    for n in found:
        if groups and groups[-1][-1] == n - 1 and _one_heading(rows[n - 1], rows[n]):
            groups[-1].append(n)
        else:
            groups.append([n])
    return tuple(Heading(" ".join(rows[n].text for n in g), g[0], tuple(g)) for g in groups)


def _one_heading(a: Row, b: Row) -> bool:
    same_type = abs(a.size - b.size) < 0.5 and a.bold == b.bold
    near = a.page == b.page and not b.fresh and b.line.gap < 0.6 * b.size
    return same_type and near and abs(a.x - b.x) < 40
