"""The number that a note bears, and the lines that give it: `SERVICE NOTE TB 97-03 / 19 June 1997`."""

import re
from dataclasses import dataclass
from functools import cache

from benchleaf.ingest.dates import find_dates, without_accents
from benchleaf.ingest.fields import packaged, plain

NUMBER = (
    r"(?:[A-Z]{1,6}[0-9]{0,3}[ ./–-]{1,2}){0,3}"
    r"[A-Z]{0,6}[0-9]{1,6}[A-Z]{0,3}(?:[-/.–_](?=[0-9A-Z])[0-9A-Z]{1,6}){0,4}(?![0-9A-Za-z])"
)
_NO = r"(?:(?:no|nr|num|number|nos)\b\.?|n°|nº|\bn\.(?=\s?[0-9])|\#|№)"
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
    lead = re.compile(rf"\s{{0,3}}(?i:{_NO})?\s{{0,2}}[:]?\s{{0,2}}").match(text, at)
    start = lead.end() if lead else at
    m = re.compile(NUMBER).match(text, start)
    if m is None or len(m[0]) > 28:
        return None
    if not labelled and any(
        d.span[0] <= m.start() and d.span[1] >= m.end() for d in find_dates(text[: m.end() + 20])
    ):
        return None
    return _with_company(text, m[0].strip(" ./–-"), m.start(), m.end())


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


@dataclass(frozen=True, slots=True)
class Title:
    """A line by which a note names itself: what stands in front, the number, where it lies."""

    front: str
    kind: str
    number: NumberReading
    start: int


@cache
def _kinds() -> str:
    words = (re.escape(k).replace(r"\ ", r"[\s-]") for k in packaged().kinds)
    return "(?:" + "|".join(words) + ")"


@cache
def _title() -> re.Pattern[str]:
    return re.compile(
        rf"(?P<front>(?:[^\s:]{{1,30}}\s){{0,6}}?)(?P<kind>(?i:{_kinds()}))(?![A-Za-z])[\s:–—/"
        rf"|,-]{{0,4}}(?=(?i:{_NO})|[A-Z0-9#(№])"
    )


def read_title(text: str) -> Title | None:
    """The title in a line of little else: `Bulletin TB 97-02`, `ACME SERVICE NOTE 14/2003 of 3 May 2003`."""
    bare = without_accents(text[:300])
    m = _title().match(bare)
    if m is None or not _name_like(m["front"]):
        return None
    number = read_number(text, m.end())
    if number is None or not _ends_well(text, number):
        return None
    return Title(text[: m.end("front")].strip(" –-,/|"), m["kind"], number, m.start("kind"))


def _name_like(front: str) -> bool:
    """True if the words before the kind may be a maker's name: no lower-case verb, no `this`, no `see`."""
    words = front.split()
    small = ("of", "and", "&", "de", "für", "the", "der")
    return not words or (
        all(w[:1].isupper() or w[0] in "&-–/|" or w in small for w in words)
        and plain(words[0])
        not in (
            "this",
            "see",
            "the",
            "as",
            "our",
            "in",
            "per",
            "with",
            "supersedes",
            "cancels",
            "replaces",
            "ref",
        )
    )


def _ends_well(text: str, number: NumberReading) -> bool:
    """False if a sentence goes on behind the number (`Bulletin 97-02 is cancelled`)."""
    behind = text[number.end :]
    bare = number.number.isdigit() and not re.search(
        rf"(?i:{_NO})\s{{0,2}}:?\s{{0,2}}$", text[: number.start]
    )
    if bare and number.rest:  # `Note 5 Fit the ring`
        return False
    if not number.rest or re.match(r"\s?[:–—|/,(;-]", behind):
        return True
    return (
        not re.match(r"\s[a-z]", behind) and len(number.rest.split()) <= 8 and not number.rest.endswith(".")
    )


@cache
def _running() -> re.Pattern[str]:
    return re.compile(
        rf"\b(?i:this|the\spresent|our|present)\s(?:(?i:technical|service|new|parts|field|shop"
        rf"|workshop)\s){{0,2}}(?i:{_kinds()}),?\s{{1,2}}(?=(?i:{_NO})?\s?:?\s?[A-Z0-9])"
    )


def read_running(text: str) -> tuple[NumberReading, int] | None:
    """The note's own number in running text: `This bulletin, No. 14/2003 of 3 May 2003, applies to …`."""
    bare = without_accents(text[:3000])
    for m in _running().finditer(bare):
        number = read_number(text, m.end())
        if number is not None and re.search("[0-9]", number.number):
            return number, m.start()
    return None


def is_kind_only(text: str) -> bool:
    """True for a line such as `TECHNICAL BULLETIN` that names the kind of sheet and nothing else."""
    return plain(text) in packaged().kinds or plain(text).removesuffix(" no") in packaged().kinds


def without_kind(text: str) -> str:
    """A maker's line without the kind of sheet at its end: `ACME Technical Bulletin` gives `ACME`."""
    bare = without_accents(text)
    m = re.search(rf"[\s,–—|/-]{{0,4}}\b(?i:{_kinds()})s?\s{{0,2}}(?i:{_NO})?\s{{0,2}}:?$", bare)
    return text[: m.start()].strip() if m else text.strip()
