"""Which rows of a note's first sheet are head, and where its body begins."""

import re
from collections.abc import Sequence

from benchleaf.ingest.head.fields import packaged
from benchleaf.ingest.head.headlabels import UNIT_FIELDS
from benchleaf.ingest.head.notetitles import read_title
from benchleaf.ingest.head.segments import Row


def body_row(rows: Sequence[Row]) -> int:
    """The first row that reads as a sentence of the body."""
    for at, row in enumerate(rows):
        if not is_field_row(row) and any(s.table is None and is_sentence(s.text) for s in row.segments):
            return at
    return len(rows)


def is_field_row(row: Row) -> bool:
    """True for a label with its value beside it, whatever the words: `Effectivity   from … up to …`."""
    return len(row.segments) > 1 and packaged().field_of(row.segments[0].text) is not None


_UNKNOWN_LABEL = re.compile(r"[A-Z][\w/-]{1,20}(?:\s[\w/-]{1,20}){0,2}\s?:\s")
"""A label that no list has, before one that is known: `File mark: 12. Models: KX-4`."""


_SMALL_WORDS = {
    "THE", "IS", "IN", "BY", "AND", "TO", "OF", "WITH", "NOW", "BE", "ITS", "HAS", "BEEN", "ARE", "CAN",
    "UP", "FROM", "ON", "AT",
    "FOR", "THIS", "THAT", "IT", "WILL", "MUST", "AN", "AS", "DER", "DIE", "DAS", "IST", "UND", "MIT", "WIRD",
}  # fmt: skip


def is_sentence(text: str) -> bool:
    """True for running text: several lower-case words, no label in front.

    >>> is_sentence("Parts can be ordered from the depot in the usual way.")
    True
    """
    hits = packaged().hits(text)
    if (hits and hits[0].start == 0 and (hits[0].colon or hits[0].field in UNIT_FIELDS)) or read_title(text):
        return False
    if any(h.colon for h in hits) and _UNKNOWN_LABEL.match(text):
        return False
    if text.isupper():  # a telex: small words tell running text from names
        words = re.findall(r"(?<![\w-])[A-ZÀ-Þ]{2,}", text)
        return len(words) >= 7 and sum(w in _SMALL_WORDS for w in words) >= 3
    small = re.findall(r"(?<![\w-])[a-zà-ÿ]{2,}", text)
    return len(small) >= 5 or (len(small) >= 3 and text.rstrip().endswith("."))
