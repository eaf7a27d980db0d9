"""Lines at a note's head without a label: its title, a date alone, the maker's line, a subject in bold."""

import re
from collections.abc import Container, Sequence
from dataclasses import dataclass
from itertools import pairwise

from benchleaf.ingest.head.dates import find_dates, read_date
from benchleaf.ingest.head.fields import FieldBook, packaged, plain
from benchleaf.ingest.head.headlabels import Piece
from benchleaf.ingest.head.issuers import is_company
from benchleaf.ingest.head.notenumbers import NumberReading, is_thread, read_number
from benchleaf.ingest.head.notetitles import (
    Title,
    is_kind_only,
    read_marked,
    read_opening,
    read_title,
    without_kind,
)
from benchleaf.ingest.head.segments import Row, Segment

_SENTENCE = re.compile(
    r"(?<!Ltd)(?<!Inc)(?<!Co)(?<!Corp)(?<!Cie)(?<!Bros)(?<!Pty)(?<!S\.r\.l)(?<!S\.p\.a)(?<!Srl)(?<!Lda)(?<=[a-z])\.$|:$"
)
"""A maker's line may end in `Ltd.` or `Inc.`, not in a whole word with a full stop."""


@dataclass(frozen=True, slots=True)
class Loose:
    """What stands at the head without a label; `dates` come with their words."""

    title: "Named | None"
    number: tuple[NumberReading, Piece] | None
    dates: tuple[tuple[str, Piece], ...]
    issuer: str | None
    subject: str | None


@dataclass(frozen=True, slots=True)
class Named:
    """The line by which a note names itself: its text, the row, the pieces that give kind, number and date.

    `opens` is True where running text goes on behind it, `guessed` where only a date beside it tells."""

    title: Title
    text: str
    row: int
    pieces: tuple[Piece, ...]
    opens: bool = False
    guessed: bool = False

    @property
    def segment(self) -> Segment:
        """Where it begins."""
        return self.pieces[0].segment


def read_loose(
    rows: Sequence[Row], book: FieldBook, taken: Container[int] = (), valued: Container[int] = ()
) -> Loose:
    """Read the unlabelled lines above the body; `taken` are the ids of segments that hold labelled fields,
    `valued` of those that are the value of a label which no title has."""
    top = _above_body(rows, book)
    title = _title([(at, s) for at, s in top if id(s) not in valued]) or _opening(rows) or _marked(top, book)
    number = None if title else _lone_number(top)
    dates = tuple((s.text, Piece(s, 0, len(s.text))) for _, s in top if _lone_date(s.text))
    after = title.row if title else 0
    left = [
        s
        for at, s in top
        if id(s) not in taken and _may_name(s, book, at > after) and not (title and s is title.segment)
    ]
    issuer = _issuer(title, [s for s in left if not is_kind_only(s.text)])
    printed = [s for s in left if s.line is not None and without_kind(s.text) != issuer]
    subject = _subject(printed, number)
    return Loose(title, number, dates, issuer, subject)


def _above_body(rows: Sequence[Row], book: FieldBook) -> list[tuple[int, Segment]]:
    found: list[tuple[int, Segment]] = []
    for at, row in enumerate(rows[:40]):
        if sum(plain(s.text) in book.parts for s in row.segments) > 1:  # a table of parts is body
            return found
        labelled = len(row.segments) > 1 and book.field_of(row.segments[0].text) is not None
        for segment in row.segments:
            if segment.table is None and not labelled and _reads_on(segment.text, book):
                return found
            found.append((at, segment))
    return found


def _reads_on(text: str, book: FieldBook) -> bool:
    """True for a sentence of the body."""
    if read_title(text) is not None:
        return False
    hits = book.hits(text)
    if hits and hits[0].start == 0 and hits[0].colon:
        return False
    small = re.findall(r"(?<![\w-])[a-zà-ÿ]{2,}", text)
    return len(small) >= 5 or (len(small) >= 3 and text.rstrip().endswith("."))


def _title(top: Sequence[tuple[int, Segment]]) -> Named | None:
    for at, segment in top:
        title = read_title(segment.text)
        if title is not None and packaged().field_of(title.front) is None:
            end = title.number.end if title.number.rest else len(segment.text)
            return Named(title, segment.text, at, (Piece(segment, title.start, end),))
    return _broken_title(top)


def _broken_title(top: Sequence[tuple[int, Segment]]) -> Named | None:
    """`SERVICE BULLETIN` on one line and `SB-123` beside or below it."""
    for (_, kind), (at, number) in pairwise(top):
        reading = read_number(number.text) if is_kind_only(kind.text) else None
        if reading is not None and len(reading.rest.split()) <= 8 and not _lone_date(number.text):
            title = Title("", kind.text, reading, 0)
            return Named(title, number.text, at, (Piece(number, 0, reading.end),))
    return None


_OPENING_ROWS = 6


def _opening(rows: Sequence[Row]) -> Named | None:
    """Running text that opens with the note's name: `Workshop Memo No. 12 of 3 May 2003. Oil seals. …`."""
    for at, row in enumerate(rows[:_OPENING_ROWS]):
        first = row.segments[0]
        below = next((s for r in rows[at + 1 : at + 2] for s in r.segments[:1] if s.table is None), None)
        text = f"{first.text} {below.text}" if below else first.text
        title = read_opening(text) if first.table is None else None
        if title is not None and title.number.start < len(first.text):
            end, size = title.number.end, len(first.text)
            pieces = [Piece(first, title.start, min(end, size))]
            if below is not None and end > size + 1:
                pieces.append(Piece(below, 0, end - size - 1))
            return Named(title, text, at, tuple(pieces), opens=True)
    return None


def _marked(top: Sequence[tuple[int, Segment]], book: FieldBook) -> Named | None:
    """A line at the top in words that no list has: `No.` marks its number, or a date behind or beside it."""
    dated = {at for at, s in top if _lone_date(s.text)}
    for at, segment in top[:6]:
        fields = [h for h in book.hits(segment.text) if h.colon or h.field not in ("other", "number")]
        labelled = bool(fields) or segment.table is not None
        title = None if labelled or _lone_date(segment.text) else read_marked(segment.text)
        sure = title is not None
        if title is None and not labelled and not _lone_date(segment.text) and dated & {at, at + 1}:
            title = read_marked(segment.text, beside_date=True)
        if title is not None:
            piece = Piece(segment, title.start, title.number.end)
            return Named(title, segment.text, at, (piece,), guessed=not sure)
    return None


_STANDARD = re.compile(r"(?:DIN|ISO|SAE|EN|API|ASTM|ANSI|VG)[ -]?[0-9]")
"""The number of a standard."""


def _lone_number(top: Sequence[tuple[int, Segment]]) -> tuple[NumberReading, Piece] | None:
    """A number by itself, or one that a dash parts from a subject: `TB 97-02 – Change of kit`."""
    for at, segment in top[:12]:
        m = re.match(r"[A-Z]{1,6}[ ./-]?[A-Z0-9]", segment.text)
        reading = read_number(segment.text) if m and at < 8 else None
        if reading is None or not re.search(r"[0-9]", reading.number) or _STANDARD.match(reading.number):
            continue
        if is_thread(reading.number):
            continue
        behind = segment.text[reading.end :]
        if not reading.rest or re.match(r"\s{0,2}[–—:-]\s", behind):
            return reading, Piece(segment, 0, reading.end)
    return None


_LONG_YEAR = re.compile(r"(?<![0-9A-Za-z])[12lI][09Oog][0-9lIOoSg]{2}$")


def _lone_date(text: str) -> bool:
    """True for a line that holds a date and at most a place or a weekday: `Norham, 12 May 1999`."""
    days = find_dates(text[:80])
    if not days and _LONG_YEAR.search(text) and (day := read_date(text)).found:  # letters for figures
        days = (day,)
    if len(days) != 1 or len(text) > 60:
        return False
    before, after = text[: days[0].span[0]].strip(" ,:()–-/|"), text[days[0].span[1] :].strip(" ,.()–-")
    if is_kind_only(before):  # `SERVICE BULLETIN  12 May 1998`
        return not after
    return not after and (
        not before
        or (
            ((len(before.split()) <= 3 and before[0].isupper()) or before in ("le", "den", "the"))
            and not re.search(r"[0-9]", before)
        )
    )


def _may_name(segment: Segment, book: FieldBook, below_title: bool) -> bool:
    """True if a segment may be the maker's line or the subject.

    `Parts information` names a subject only below the title."""
    text = segment.text
    if segment.table is not None or _lone_date(text):
        return False
    if is_kind_only(text):
        return below_title
    if book.field_of(text):
        return False
    hits = book.hits(text)
    if hits and hits[0].start == 0 and hits[0].colon:
        return False
    low = plain(text)
    if not low or any(low.startswith(w) for w in book.passed_over) or not re.search(r"[A-Za-zÀ-ÿ]{2}", text):
        return False
    if find_dates(text) and re.search(r"\b(?:page|sheet)\s[0-9]", low):
        return False
    return len(text) <= 90 and read_number(text) is None and not re.match(r"(?:page|sheet)\s[0-9]", low)


def _issuer(title: Named | None, left: Sequence[Segment]) -> str | None:
    """The maker: the line above the title, or what stands in front of its kind, or the first line."""
    above = next((n for s in left[:3] if (n := _maker(title, s))), None)
    front = title.title.front if title is not None else ""
    if front and (above is None or is_company(front) or _company_like(front, above)):
        return front
    return above


def _company_like(front: str, above: str) -> bool:
    """True if the words before the kind name the maker better than the line above: they say it again."""
    words = plain(front).split()
    return bool(words) and words[0] in plain(above).split()


_JOINING = ("of", "and", "the", "for", "de", "du", "di", "und", "für", "et", "van", "von")


def _maker(title: Named | None, segment: Segment) -> str | None:
    """A line at the head as a maker's name, or None if it cannot be one."""
    if title is not None and segment.bold and segment.box.top > title.segment.box.bottom + 4 * segment.size:
        return None
    name = without_kind(segment.text)
    if title is not None:  # a running head repeats the number behind the maker
        name = re.sub(r"\s{0,3}\b(?:page|sheet)\s[0-9]{1,3}.{0,12}$", "", name, flags=re.IGNORECASE)
        name = name.replace(title.title.number.number, "").strip(" ,–-|/")
    small = [w for w in re.findall(r"(?<![\w-])[a-zà-ÿ]{2,}", name.split(",")[0]) if w not in _JOINING]
    if len(small) > 1:  # `Corrections to publication …` is a heading
        return None
    if re.match(r"[^,]{3,40}\s[0-9]{1,4}[A-Za-z]?,\s", name):  # a street
        return None
    listed = re.split(r"[,/&]", name)
    if len(listed) > 1 and all(re.search(r"[0-9]", one) for one in listed):  # a list of models
        return None
    high = title is None or segment.box.top <= title.segment.box.top + 1
    return name if name and name[0].isupper() and not _SENTENCE.search(name) and high else None


def _subject(left: Sequence[Segment], number: tuple[NumberReading, Piece] | None) -> str | None:
    """The subject: what a dash parts from the number, else a line in bold, else the last short line."""
    if number is not None and number[0].rest:
        return number[0].rest
    bold = [s for s in left if s.bold]
    bold = [s for s in bold if not is_kind_only(s.text)] or bold
    lines = bold or [s for s in left if not s.text.endswith((":", "."))][-1:]
    return lines[0].text.strip(" .") if lines else None
