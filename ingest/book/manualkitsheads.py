"""Contents of kits from lists under a kit's own heading: "4471-208 Clutch repair kit", then its parts.

Common practice of parts books and workshop manuals, no source.
"""

import re
from collections.abc import Iterator, Sequence

from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents
from benchleaf.ingest.book.manualkitslists import Place, around, line_of, quantity_doubts, spoken
from benchleaf.ingest.book.partslists import PartsTable
from benchleaf.ingest.shapes import Line

_NUMBER = (
    r"(?P<number>(?=[^\n]{0,20}[0-9][0-9A-Za-z ./-]{0,6}[0-9])(?:[A-Z]{1,4} )?[0-9A-Z][0-9A-Za-z./-]{2,20}"
    r"(?: [0-9]{2,4}){0,3}(?<![./-]))"
)
_WORD = r"\b(?:kit|set)\b"
_NO = r"(?:(?:part |order |kit )?(?:no\b\.?|number|nr\b\.?) ?:? ?)"
_HEADINGS = (
    re.compile(
        rf"{_NO}?{_NUMBER}(?P<name>[ ,:–—-]{{1,3}}[A-Za-z][^.;:]{{0,60}}?{_WORD}[^.;:]{{0,60}})", re.I
    ),
    re.compile(rf"(?P<name>[^.;:0-9]{{0,50}}{_WORD}),? ?[(:]? ?{_NO}?{_NUMBER}(?:[ ,:)–—-].{{0,60}})?", re.I),
    re.compile(
        rf"(?P<name>[^.;:]{{0,50}}{_WORD}[^.;:]{{0,50}}?)(?: ?[:–—] ?| ?[,(] ?(?={_NO})){_NO}?{_NUMBER}\)?",
        re.I,
    ),
)
_SECTION = re.compile(r"[0-9]{1,2}(?:[.-][0-9]{1,2}){0,3}")
# What makes a line a sentence about the kit, or a heading of something else than its contents.
_SENTENCE = re.compile(
    r"\b(?:is|are|was|were|see|use|used|order|replace[sd]?|superseded|fit|fitted|with|not|available|obsolete"
    r"|discontinued|from|require[sd]?|needed|tools?|fitting|installing|dismantling|removing)\b",
    re.IGNORECASE,
)
_ANNOUNCED = re.compile(
    r"\b(?:kit|set)s?\b.{0,40}\b(?:contents?|contains?|consists?|compris(?:es?|ing)|includes?|made up"
    r"|listed)\b"
    r"|\b(?:contents?|composition|make-up|parts|items) (?:of|in) (?:the |each |all )?(?:[a-z]+ ){0,2}"
    r"(?:kit|set)s?\b",
    re.IGNORECASE,
)
_TITLE = re.compile(
    r"(?:[A-Za-z]{0,30}+ ?[0-9.]{1,6}[.:)]? )?(?:[A-Za-z-]{1,30}+ ){0,3}kits?(?: lists?)?\W{0,2}",
    re.IGNORECASE,
)
_OPENS = re.compile(
    r"(?:for|fits|used on|units?|models?|contents?|contains?|consist(?:s|ing) of|compris(?:es|ing))\b",
    re.IGNORECASE,
)
_PER_UNIT = re.compile(
    r"\bper (?:unit|assy|assembly|machine|gearbox|pump|brake|clutch|transmission)\b|\bunits? per\b",
    re.IGNORECASE,
)
_CHANGES = re.compile(
    r"[*†‡]|\b(?:not|also|addition(?:al)?|except|excluding|without|only|serial|up to|before|after|until|"
    r"|optional|extra|may|further|instead|more|fewer|if|changed|now|previously|formerly)\b",
    re.IGNORECASE,
)
_CONTINUED = re.compile(r"\bcont(?:inued|'d|d|\.)", re.IGNORECASE)
_HEADING_GAP = 2.2  # line heights between a heading and its list
_BETWEEN = 2  # lines that may stand between a heading and its list
_BEHIND = 3  # lines below a list that may speak of it

_ONLY_HEADED = "nothing near says that the list under the kit's number is its contents"
_GOES_ON = "the heading says that the list goes on from another place"
_UNREAD = "a line between the heading and the list was not understood: “{}”"
_QUALIFIED = "the words behind the list may qualify it: “{}”"
COUNTS_UNIT = "the heading counts the parts for a unit, not for a kit"
_SIGNED = "a mark in the list may limit the contents: “{}”"
_OVERLEAF = "the list ends at the foot of a page and may go on overleaf"


def headed_kits(
    place: Place, tables: Sequence[PartsTable], announced: bool, follower: Sequence[Line]
) -> Iterator[Contents]:
    """The kits of a sheet whose lists stand under their headings.

    `announced` tells that the sheet before said of its kits that it lists their contents; `follower` is what
    opens the next sheet above a list that has no kit's heading, empty if none does.
    """
    free = [li for li in place.page.lines if not any(_in(li, t) for t in tables)]
    said = announced or announces(free)
    for table in tables:
        found = _heading(free, table)
        if found is None:
            continue
        number, heading, between = found
        rows = [r for r in table.rows if r.part or r.quantity]
        if not rows or any(key(r.part) == key(number) for r in rows):
            continue
        why = [*_around(free, table, heading, between), *_inside(table)]
        if not (said or announces((heading, *between)) or _of_kit(table)):
            why.append(_ONLY_HEADED)
        if follower and place.page.lines and _in(place.page.lines[-1], table):
            why.append(_OVERLEAF)
        box = around([heading.box, table.box])
        quote = " / ".join((heading.text, *(li.text for li in between), *(spoken(r) for r in rows)))
        yield place.contents(number, [line_of(r, table) for r in rows], box, quote, why)


def announces(lines: Sequence[Line]) -> bool:
    """True if a line says that contents of kits follow, or is the title of a section of kits."""
    return any(_ANNOUNCED.search(li.text) or _TITLE.fullmatch(li.text) for li in lines)


def headless(lines: Sequence[Line], tables: Sequence[PartsTable]) -> Sequence[Line]:
    """The first row of a sheet's first list if no kit's heading stands over it: it may go on from before."""
    if not tables:
        return ()
    free = [li for li in lines if not any(_in(li, t) for t in tables)]
    first = min(tables, key=lambda t: t.box.top)
    above = [li for li in free if li.box.bottom <= first.box.top + 1 and not _CONTINUED.search(li.text)]
    return () if _heading(free, first) or above else [li for li in lines if _in(li, first)][:1]


def kit_heading(text: str) -> str | None:
    """The number of the kit that a line is the heading of; None if it is no such heading."""
    plain = " ".join(text.split())
    if len(plain) > 110 or _SENTENCE.search(plain):
        return None
    for form in _HEADINGS:
        found = form.fullmatch(plain)
        if (
            found
            and not _SECTION.fullmatch(found["number"])
            and sum(c.isdigit() for c in found["number"]) > 2
        ):
            return str(found["number"])
    return None


def _heading(free: Sequence[Line], table: PartsTable) -> tuple[str, Line, list[Line]] | None:
    """The heading over a list, and the lines between the two."""
    above = [li for li in free if li.box.bottom <= table.box.top + 4 and _across(li, table)]
    between: list[Line] = []
    below = table.box.top
    for line in reversed(above[-_BETWEEN - 1 :]):
        if below - line.box.bottom > _HEADING_GAP * max(line.size, 1.0):
            return None
        number = kit_heading(line.text)
        if number is not None:
            return number, line, between
        between.insert(0, line)
        below = line.box.top
    return None


def _across(line: Line, table: PartsTable) -> bool:
    return line.box.x0 < table.box.x1 and table.box.x0 < line.box.x1 + 20


def _around(free: Sequence[Line], table: PartsTable, heading: Line, between: Sequence[Line]) -> Iterator[str]:
    """Doubts from the words over and under a list."""
    if _CONTINUED.search(heading.text):
        yield _GOES_ON
    yield from (
        _UNREAD.format(li.text)
        for li in between
        if not _OPENS.match(li.text) and not _ANNOUNCED.search(li.text)
    )
    below = [li for li in free if li.box.top >= table.box.bottom - 2]
    for line in below[:_BEHIND]:
        if kit_heading(line.text) is not None:
            return
        if _CHANGES.search(line.text):
            yield _QUALIFIED.format(line.text)


def _inside(table: PartsTable) -> Iterator[str]:
    """Doubts from the list itself."""
    yield from (f"{COUNTS_UNIT}: “{h}”" for h in table.heads if _PER_UNIT.search(h))
    for row in table.rows:
        yield from quantity_doubts(row, table)
        yield from (_SIGNED.format(sign) for sign in row.signs)


def _of_kit(table: PartsTable) -> bool:
    return any(re.search(rf"(?:\bin|\bper|/|\bof) ?(?:the )?{_WORD}", h, re.IGNORECASE) for h in table.heads)


def _in(line: Line, table: PartsTable) -> bool:
    middle = (line.box.top + line.box.bottom) / 2
    across = line.box.x0 < table.box.x1 and table.box.x0 < line.box.x1
    return across and table.box.top - 1 <= middle <= table.box.bottom + 1
