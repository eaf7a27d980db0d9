"""The head of a note: number, date, subject, issuer, revision, the units it holds for; and the body."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Finding, NoteSource, Source
from benchleaf.ingest.dates import NOTHING, DateReading, find_dates, order_of, read_date
from benchleaf.ingest.fields import FieldBook, packaged, plain
from benchleaf.ingest.headbody import without_head
from benchleaf.ingest.headfields import UNIT_FIELDS, Piece, Value, labels_in, read_fields
from benchleaf.ingest.headlines import Loose, Named, read_loose
from benchleaf.ingest.headunits import read_units, units_below, unread_units
from benchleaf.ingest.issuers import maker_of
from benchleaf.ingest.notenumbers import NumberReading, read_number
from benchleaf.ingest.notetitles import read_running, read_title
from benchleaf.ingest.paragraphs import flow
from benchleaf.ingest.segments import BARS, Row, rows_of
from benchleaf.ingest.shapes import Header, LaidPage, Line, Paragraph, Table
from benchleaf.ingest.units import merged
from benchleaf.ingest.unittables import read_unit_table, unit_tables


@dataclass
class _Head:
    """What is gathered while a head is read."""

    values: tuple[Value, ...]
    loose: Loose
    prose: tuple[str, ...]
    day_first: bool | None
    pieces: list[Piece] = field(default_factory=list)
    unclear: list[str] = field(default_factory=list)

    def of(self, *names: str) -> list[Value]:
        """The labelled values of some fields, in reading order."""
        return [v for v in self.values if v.field in names]


def read_header(
    pages: Sequence[LaidPage], file: str, book: FieldBook | None = None, day_first: bool | None = None
) -> Header:
    """Read a note's head from its first sheet that has words; everything that is not head is the body.

    `day_first` says how the maker prints 05/06/2016, if other notes tell; dates of this note that settle it
    are used anyway. Doubts are told in `unclear`; nothing raises.
    """
    vocabulary = book or packaged()
    first = next((i for i, p in enumerate(pages) if p.lines or p.heads), None)
    if first is None:
        return _empty(pages)
    page = pages[first]
    lists = unit_tables(page, vocabulary)
    rows = rows_of(page, tuple(i for i in _header_tables(page, vocabulary) if i not in lists))
    prose = _blocks(page)[:12]
    order = day_first if day_first is not None else _order(pages)
    values = _before_body(rows, vocabulary)
    taken = {id(p.segment) for v in values for p in v.pieces}
    head = _Head(values, read_loose(rows, vocabulary, taken), prose, order)
    listed = [a for i in lists if (a := read_unit_table(page.tables[i], vocabulary, order))]
    header = _assembled(head, pages, first, file, vocabulary)
    if listed:
        header = replace(header, applies=merged((*_some(header.applies), *listed)))
        header = replace(header, unclear=tuple(dict.fromkeys((*header.unclear, *header.applies.unclear))))
    left = () if listed else unread_units(
        rows, head.pieces, body_row(rows), vocabulary, header.applies.as_printed
    )
    left += units_below(pages[first + 1 :], vocabulary)
    doubts = tuple(f"units may be named in words that were not read: “{t}”" for t in left)
    applies = replace(header.applies, unclear=(*header.applies.unclear, *doubts))
    return replace(header, applies=applies, unclear=(*header.unclear, *doubts))


def _some(applies: Applies) -> tuple[Applies, ...]:
    return () if applies == Applies() else (applies,)


def _blocks(page: LaidPage) -> tuple[str, ...]:
    """The page's text by blocks that free height parts: a sentence is whole however its lines are broken."""
    blocks: list[list[str]] = []
    above: Line | None = None
    for line in page.lines:
        if line.place in ("table", "figure"):
            continue
        if above is None or line.gap > 0.7 * (line.size or 10.0) or line.column != above.column:
            blocks.append([])
        blocks[-1].append(line.text)
        above = line
    return tuple(" ".join(b) for b in blocks)


def _assembled(head: _Head, pages: Sequence[LaidPage], first: int, file: str, book: FieldBook) -> Header:
    number = _number(head)
    day = _date(head, number, pages[first])
    subject, issuer = _subject(head, number), _issuer(head)
    revision = _revision(head, number)
    supersedes = _supersedes(head, number)
    applies, findings = _applies(head, file, pages[first].sheet)
    if number is not None:  # the note's own number is no model
        applies = replace(applies, models=tuple(m for m in applies.models if key(m) != key(number.number)))
    for value in head.of("issuer", "date_other"):
        head.pieces += value.pieces if value.sure and value.field == "issuer" else ()
    body = _body(pages, first, head.pieces)
    return Header(
        number=number.number if number else None,
        date=day.date,
        subject=subject,
        issuer=issuer,
        source=_source(pages[first], issuer, book),
        revision=revision,
        applies=applies,
        unclear=tuple(dict.fromkeys([*head.unclear, *((day.doubt,) if day.doubt else ())])),
        body=body,
        supersedes=supersedes,
        findings=findings,
    )


def _empty(pages: Sequence[LaidPage]) -> Header:
    body = tuple(e for p in pages for e in flow(p))
    return Header(None, None, None, None, "unknown", None, Applies(), (), body)


def _header_tables(page: LaidPage, book: FieldBook) -> tuple[int, ...]:
    """The tables that hold fields of the head: two different fields named, and no column of a parts list."""
    found = []
    for index, table in enumerate(page.tables):
        texts = [c.text.strip(BARS) for row in table.rows for c in row if c.text.strip(BARS)]
        heads = [c.text.strip(BARS) for c in (table.rows[0] if table.rows else ()) if c.text.strip(BARS)]
        named = {f.removesuffix("_weak") for f in labels_in(texts, book)} - {"other"}
        if len(named) >= 2 and sum(plain(h) in book.parts for h in heads) < 2:
            found.append(index)
    return tuple(found)


def _order(pages: Sequence[LaidPage]) -> bool | None:
    text = "\n".join(line.text for p in pages for line in (*p.heads, *p.lines, *p.feet))
    return order_of(find_dates(text[:60000]))


def _before_body(rows: Sequence[Row], book: FieldBook) -> tuple[Value, ...]:
    """The fields above the first sentence of the body; below it only what a colon makes sure and is new."""
    values = read_fields(rows, book)
    begins = body_row(rows)
    kept = [v for v in values if v.row < begins]
    known = {v.field for v in kept}
    late = [v for v in values if v.row >= begins and v.sure and v.pieces[0].start == 0]
    kept += [v for v in late if v.field not in known and v.field in ("number", "date", *UNIT_FIELDS)]
    return tuple(kept)


def body_row(rows: Sequence[Row]) -> int:
    """The first row that reads as a sentence of the body."""
    for at, row in enumerate(rows):
        if not is_field_row(row) and any(s.table is None and is_sentence(s.text) for s in row.segments):
            return at
    return len(rows)


def is_field_row(row: Row) -> bool:
    """True for a label with its value beside it, whatever the value's words: `Effectivity   from … up to …`."""
    return len(row.segments) > 1 and packaged().field_of(row.segments[0].text) is not None


_UNKNOWN_LABEL = re.compile(r"[A-Z][\w/-]{1,20}(?:\s[\w/-]{1,20}){0,2}\s?:\s")
"""A label that no list has, before one that is known: `File mark: 12. Models: KX-4`."""


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
    small = re.findall(r"(?<![\w-])[a-zà-ÿ]{2,}", text)
    return len(small) >= 5 or (len(small) >= 3 and text.rstrip().endswith("."))


def _number(head: _Head) -> NumberReading | None:
    """The note's number: from its own label, its title line, running text, the subject, or a weak label."""
    labelled = [(read_number(v.text, labelled=True), v) for v in head.of("number")]
    found = next(((n, v) for n, v in labelled if n), None)
    title = head.loose.title
    if title is not None and (found is None or found[1].row > title.row) and not _names_another(title, head):
        head.pieces += title.pieces
        own = title.title.number
        _agree(head, [own.number, *(n.number for n, _ in labelled if n)])
        head.pieces += [p for n, v in labelled if n for p in v.pieces]
        return own
    if found is not None:
        head.pieces += found[1].pieces
        _agree(head, [n.number for n, _ in labelled if n])
        return found[0]
    return _weak_number(head)


def _names_another(title: Named, head: _Head) -> bool:
    """True for a sentence about another note (`Bin Memo 12 of 3 May.`) below a label that gives the number."""
    weak = [v for v in head.of("number_weak") if v.sure and v.row < title.row and read_number(v.text)]
    return bool(weak) and (title.opens or title.text.rstrip().endswith("."))


def _weak_number(head: _Head) -> NumberReading | None:
    running = next((r for t in head.prose if (r := read_running(t))), None)
    if running is not None:
        return running[0]
    for value in head.of("number_weak"):
        number = read_number(value.text)
        if number is not None:
            head.pieces += value.pieces
            return number
    for value in head.of("subject"):
        title = read_title(value.text)
        if title is not None:
            return title.number
    if head.loose.number is not None:
        number, piece = head.loose.number
        head.pieces.append(piece)
        return number
    return None


def _agree(head: _Head, numbers: Sequence[str]) -> None:
    different = {key(n): n for n in numbers}
    if len(different) > 1:
        head.unclear.append(f"several numbers stand at the head: {', '.join(different.values())}")


def _date(head: _Head, number: NumberReading | None, page: LaidPage) -> DateReading:
    """The date of issue: by its label, beside the number, on its own line, in running text, at the foot."""
    labelled = [(read_date(v.text, head.day_first), v) for v in head.of("date")]
    readings = [(d, v) for d, v in labelled if d.found]
    if readings:
        head.pieces += [p for _, v in readings for p in v.pieces]
        days = {d.date for d, _ in readings if d.date}
        if len(days) > 1:
            head.unclear.append("several dates stand at the head: " + ", ".join(str(d) for d in sorted(days)))
        return readings[0][0]
    return _unlabelled_date(head, page)


def _unlabelled_date(head: _Head, page: LaidPage) -> DateReading:
    for text, span in _dated_with_number(head):
        return read_date(text[span[0] : span[1]], head.day_first)
    if head.loose.dates:
        text, piece = head.loose.dates[0]
        head.pieces.append(piece)
        return read_date(text, head.day_first)
    for value in head.of("date_other"):
        if (day := read_date(value.text, head.day_first)).found:
            return replace(
                day, doubt=day.doubt or f"no date of issue; “{value.label}: {value.text}” is taken"
            )
    foot = [read_date(line.text, head.day_first) for line in (*page.heads, *page.feet)]
    day = next((d for d in foot if d.date), NOTHING)
    if day.date is None:
        return _closing_date(page, head.day_first)
    return replace(day, doubt=day.doubt or "the date is taken from the foot or head line of the sheet")


def _closing_date(page: LaidPage, day_first: bool | None) -> DateReading:
    """A letter may bear its date at its end, on a line of its own."""
    for line in reversed(page.lines[-6:]):
        days = find_dates(line.text, day_first)
        if len(days) == 1 and len(line.text) - (days[0].span[1] - days[0].span[0]) < 24:
            return replace(days[0], doubt=days[0].doubt or "the date is taken from the end of the note")
    return NOTHING


def _dated_with_number(head: _Head) -> list[tuple[str, tuple[int, int]]]:
    found: list[tuple[str, tuple[int, int]]] = []
    if head.loose.title is not None:
        named = head.loose.title
        if named.title.number.dated and not _names_another(named, head):
            found.append((named.text, named.title.number.dated))
    for value in head.of("number", "number_weak"):
        number = read_number(value.text)
        if number is not None and number.dated:
            found.append((value.text, number.dated))
    for text in head.prose:
        running = read_running(text)
        if running is not None and running[0].dated:
            found.append((text, running[0].dated))
    return found


def _subject(head: _Head, number: NumberReading | None) -> str | None:
    for value in head.of("subject"):
        head.pieces += value.pieces
        return value.text.strip(" .;") or None
    named = head.loose.title
    if named is not None and number is named.title.number and number.rest[:1].isupper():
        said = _first_sentence(number.rest)
        if said or not named.opens:
            return said or number.rest
    return head.loose.subject


def _first_sentence(text: str) -> str | None:
    """What a note says it is about in the words behind its number: a short phrase, no sentence with a verb."""
    first = re.split(r"\.\s(?=[A-Z])", text, maxsplit=1)[0].strip(" .")
    verb = re.search(r"\b(?:applies|apply|is|are|has|have|must|was|were|been|be|will|can)\b", first)
    return first if first and len(first.split()) <= 10 and not verb else None


def _issuer(head: _Head) -> str | None:
    for value in head.of("issuer"):
        if not find_dates(value.text):
            return maker_of(value.text)
    return maker_of(head.loose.issuer) if head.loose.issuer else None


def _revision(head: _Head, number: NumberReading | None) -> str | None:
    for value in head.of("revision"):
        m = re.match(
            r"\s{0,3}(?:rev\.?\s?|no\.?\s?)?([A-Z]{1,2}(?![a-z])|[0-9]{1,3}(?:\.[0-9])?(?![0-9/]))",
            value.text,
            re.IGNORECASE,
        )
        if m is not None:
            head.pieces += value.pieces
            return m[1].upper()
    return number.revision if number else None


def _supersedes(head: _Head, number: NumberReading | None) -> tuple[str, ...]:
    """Note numbers under a label such as `Supersedes`; part numbers under it stay in the body."""
    found: list[str] = []
    for value in head.of("supersedes"):
        parts = [p for p in re.split(r"\s?[,;&]\s?|\sand\s", value.text) if p.strip()]
        numbers = [_note_number(p) for p in parts]
        named = [
            n
            for n in numbers
            if n and (number is None or _alike(n, number.number) or _says_note(p_of(value)))
        ]
        if named:
            found += named
            head.pieces += value.pieces
    return tuple(dict.fromkeys(found))


def p_of(value: Value) -> str:
    """The label and the words of a value."""
    return f"{value.label} {value.text}"


def _note_number(text: str) -> str | None:
    title = read_title(text.strip())
    reading = title.number if title else read_number(text.strip())
    return reading.number if reading else None


def _says_note(text: str) -> bool:
    return (
        re.search(
            r"\b(?:bulletin|note|letter|circular|information|issue|notice|instruction)\b", text, re.IGNORECASE
        )
        is not None
    )


def _alike(one: str, other: str) -> bool:
    """True if two numbers are built alike: the same letters in front, or the same pattern of figures."""
    fronts = [re.match(r"[A-Z]*", key(n)) for n in (one, other)]
    letters = [f[0] if f else "" for f in fronts]
    if letters[0] or letters[1]:
        return letters[0] == letters[1]
    return re.sub(r"[0-9]+", "9", one) == re.sub(r"[0-9]+", "9", other)


def _applies(head: _Head, file: str, sheet: int) -> tuple[Applies, tuple[Finding, ...]]:
    units = read_units(head.of(*UNIT_FIELDS), head.prose, head.day_first)
    head.pieces += units.pieces
    head.unclear += units.applies.unclear
    unread = tuple(
        Finding("the units it applies to could not be read", Source(file, sheet), t) for t in units.unread
    )
    return units.applies, unread


def _source(page: LaidPage, issuer: str | None, book: FieldBook) -> NoteSource:
    text = " ".join(line.text for line in (*page.heads, *page.lines[:25], *page.feet)).lower()
    if any(re.search(rf"(?<![a-z]){re.escape(w)}(?![a-z])", text) for w in book.shop):
        return "shop"
    return "maker" if issuer else "unknown"


def _body(pages: Sequence[LaidPage], first: int, pieces: Sequence[Piece]) -> tuple[Paragraph | Table, ...]:
    body: list[Paragraph | Table] = []
    for index, page in enumerate(pages):
        body += flow(without_head(page, pieces) if index == first else page)
    return tuple(body)
