"""The number that a note bears, with the revision, page count and date that stand in the same breath."""

import re
from dataclasses import dataclass

from benchleaf.ingest.head.dates import find_dates

NUMBER = (
    r"(?:[A-Z]{1,6}[0-9]{0,3}[ ./–-]{1,2}){0,3}"
    r"[A-Z]{0,6}[0-9]{1,6}[A-Z]{0,3}(?:(?:[-/.–_]|(?<=[0-9]{4}):)(?=[0-9A-Z])[0-9A-Z]{1,6}){0,4}(?![0-9A-Za-z])"
)
NO = r"(?:(?:no|nr|num|number|nos)\b\.?|n°|nº|\bn\.(?=\s?[0-9])|\#|№)"
_REVISION = re.compile(
    r"[\s,/|(–-]{0,4}\b(?:rev(?:ision)?|issue|edition|version|amendment|ausgabe|index"
    r"|révision)\b\.?\s{0,2}(?:no\.?|level|:)?\s{0,2}(?P<rev>[A-Z]{1,2}|[0-9]{1,3}(?:\.[0-9])?"
    r"|original)(?![0-9A-Za-z])\)?",
    re.IGNORECASE,
)
_PAGE = re.compile(
    r"[\s,;|/(–-]{0,4}\b(?:page|sheet|seite|blatt|p\.)\s?[0-9]{1,3}(?:\s?(?:of|/|von|de"
    r"|di)\s?[0-9]{1,3})?\)?",
    re.IGNORECASE,
)
_DATED = re.compile(
    r"[\s,;|/(–—-]{0,4}(?:\b(?:of|dated?|issued(?:\son)?|from|vom|du|del|date:)\s{0,2}:?\s{0,2})?",
    re.IGNORECASE,
)
_ALSO = re.compile(r"(?!rev\b|revision\b)[A-Z](?![0-9A-Za-z./-])")


_NAMED = re.compile(
    r"(?:(?:our|your)\sref|ref|reference|letter|bulletin|note|circular|notice|memo|information|instruction|advice)"
    r"\b\.?\s{1,2}(?=[A-Z0-9])",
    re.IGNORECASE,
)
"""A word in front of the number that is no part of it, even in capitals: `REF SB 210`, `LETTER 28`."""

_WORDS = re.compile(r"(?:[A-Z]{4,12} ){1,3}(?=[A-Z]{1,4}(?:[ ./–-]{0,2}[0-9]|[/-][A-Z]{1,3}[ ./-]?[0-9]))")
"""Words in capitals before a number that has letters of its own: `WORKS SHEET VD/0612`."""


_THREAD = re.compile(
    r"M ?[0-9]{1,2}(?: ?[x×*/] ?[0-9]{1,3}(?:[.,][0-9]{1,2})?){0,2}|[GR] ?[0-9]{1,2}/[0-9]{1,2}",
    re.IGNORECASE,
)


def is_thread(text: str) -> bool:
    """True for the size of a thread or screw: no note's number unless a label or the note's year says so.

    >>> is_thread("M 12/40"), is_thread("M10x1.5"), is_thread("MB 12/95")
    (True, True, False)
    """
    return _THREAD.fullmatch(text.strip(" .;,")) is not None


@dataclass(frozen=True, slots=True)
class NumberReading:
    """A note's number at the start of a text, what else stands in the same breath, and where it ends.

    `dated` is the span of a date that belongs to it, `rest` the words behind all that.
    """

    number: str
    start: int
    revision: str | None
    dated: tuple[int, int] | None
    end: int
    rest: str


def read_number(text: str, at: int = 0, labelled: bool = False) -> NumberReading | None:
    """A note's number that starts at `at`. What looks like a date is one, unless a label says otherwise.

    >>> read_number("SI 12/2003 Rev. B").number, read_number("SI 12/2003 Rev. B").revision
    ('SI 12/2003', 'B')
    """
    lead = re.compile(rf"\s{{0,3}}(?i:{NO})?\s{{0,2}}[:]?\s{{0,2}}").match(text, at)
    start = lead.end() if lead else at
    if named := _NAMED.match(text, start):
        start = named.end()
    if words := _WORDS.match(text, start):
        start = words.end()
    m = re.compile(NUMBER).match(text, start)
    if m is None or len(m[0]) > 28:
        return None
    reading = _with_company(text, m[0].strip(" ./–-"), m.start(), m.end())
    said = labelled or (lead is not None and any(c.isalpha() or c in "#№" for c in lead[0]))
    if not said and _is_date(text, m.start(), m.end(), reading.dated):
        return None
    return reading


def _is_date(text: str, start: int, end: int, dated: tuple[int, int] | None) -> bool:
    """True if a date lies over a span: `12 May 1998` is no number 12 of May 1998."""
    days = [d.span for d in find_dates(text[: end + 24])]
    if any(start < span[0] < end < span[1] for span in days):  # `WORKS 26 JAN 1990`: the day is no number
        return True
    if any(span[0] < start and span[1] >= end for span in days):  # `31 March 1993`: nor is the year
        return True
    over = [span for span in days if span[0] <= start and span[1] >= end]
    return any(dated is None or dated[0] < span[1] for span in over)


def _with_company(text: str, number: str, start: int, end: int) -> NumberReading:
    """The number with revision, page count and date taken from behind it, in any order."""
    revision: str | None = None
    dated: tuple[int, int] | None = None
    letter = _ALSO.match(text, end + 1) if text[end : end + 1] == " " else None
    if letter and (letter.end() == len(text) or text[letter.end()] in " ,/|"):
        number, end = f"{number} {letter[0]}", letter.end()
    for _ in range(4):
        if revision is None and (m := _REVISION.match(text, end)):
            revision, end = m["rev"], m.end()
        elif m := _PAGE.match(text, end):
            end = m.end()
        elif dated is None and (span := _date_at(text, end)):
            dated, end = span, span[1]
        else:
            break
    return NumberReading(number, start, revision, dated, end, text[end:].strip(" \t,;|/–—-()."))


def _date_at(text: str, at: int) -> tuple[int, int] | None:
    lead = _DATED.match(text, at)
    start = lead.end() if lead else at
    for day in find_dates(text[start : start + 48]):
        before = text[start : start + day.span[0]].strip(" ,")
        if not before or re.fullmatch(r"[A-Za-z]{2,10}(?:\sthe)?", before):  # a weekday, or `the`
            return start + day.span[0], start + day.span[1]
    return None
