"""The head of a note: number, date, subject, issuer, revision, the units it holds for; and the body."""

import re
from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Finding, NoteSource, Source
from benchleaf.ingest.head.dates import find_dates, order_in
from benchleaf.ingest.head.fields import FieldBook, packaged, plain
from benchleaf.ingest.head.headbody import without_head
from benchleaf.ingest.head.headdates import date_of
from benchleaf.ingest.head.headfields import read_fields
from benchleaf.ingest.head.headlabels import UNIT_FIELDS, Piece, Value, labels_in
from benchleaf.ingest.head.headlines import read_loose
from benchleaf.ingest.head.headnumbers import Head, number_of, revision_of, supersedes_of
from benchleaf.ingest.head.headrows import body_row
from benchleaf.ingest.head.headunits import read_units, units_below, unread_units
from benchleaf.ingest.head.issuers import is_company, maker_of, names_department
from benchleaf.ingest.head.letterheads import with_letterhead
from benchleaf.ingest.head.notenumbers import NumberReading
from benchleaf.ingest.head.segments import BARS, Row, rows_of
from benchleaf.ingest.head.sidebars import with_bar_apart
from benchleaf.ingest.head.units import merged, read_applies
from benchleaf.ingest.head.unittables import read_unit_table, unit_tables
from benchleaf.ingest.shapes import Header, LaidPage, Line, Paragraph, Table
from benchleaf.ingest.sheets.imprint import without_imprint
from benchleaf.ingest.sheets.paragraphs import flow

_NO_TITLE = ("number", "number_weak", "supersedes", "other", *UNIT_FIELDS)
"""Fields whose value is never the note's title: `Supersedes` above `Circular 98`."""


def read_header(
    pages: Sequence[LaidPage], file: str, book: FieldBook | None = None, day_first: bool | None = None
) -> Header:
    """Read a note's head from its first sheet that has words; everything that is not head is the body.

    `day_first` says how the maker prints 05/06/2016, if other notes tell; dates of this note that settle it
    are used anyway. Doubts are told in `unclear`; nothing raises.
    """
    first = next((i for i, p in enumerate(pages) if p.lines or p.heads), None)
    if first is None:
        return _empty(pages)
    page = pages[first]
    vocabulary = book or packaged()
    if page.by_ocr:
        vocabulary = replace(vocabulary, forgiving=True)
    page = with_letterhead(page, _header_tables(page, vocabulary), vocabulary)
    pages = (*pages[:first], page, *pages[first + 1 :])
    lists = unit_tables(page, vocabulary)
    rows = rows_of(page, tuple(i for i in _header_tables(page, vocabulary) if i not in lists))
    rows = with_bar_apart(rows, vocabulary)
    prose = _blocks(page)[:12]
    order = day_first if day_first is not None else _order(pages)
    values = _with_concerned(_before_body(rows, vocabulary))
    taken = {id(p.segment) for v in values for p in v.pieces}
    valued = {id(p.segment) for v in values if v.field in _NO_TITLE for p in v.pieces[1:]}
    head = Head(values, read_loose(rows, vocabulary, taken, valued), prose, order)
    listed = [a for i in lists if (a := read_unit_table(page.tables[i], vocabulary, order))]
    header = _assembled(head, pages, first, file, vocabulary)
    if listed:
        header = replace(header, applies=merged((*_some(header.applies), *listed)))
        header = replace(header, unclear=tuple(dict.fromkeys((*header.unclear, *header.applies.unclear))))
    left = (
        ()
        if listed
        else unread_units(
            rows,
            head.pieces,
            body_row(rows),
            vocabulary,
            header.applies.as_printed,
            not header.applies.models,
        )
    )
    left += units_below(pages[first + 1 :], vocabulary)
    doubts = tuple(f"units may be named in words that were not read: “{t}”" for t in left)
    applies = replace(header.applies, unclear=(*header.applies.unclear, *doubts))
    return replace(header, applies=applies, unclear=(*header.unclear, *doubts))


def _some(applies: Applies) -> tuple[Applies, ...]:
    return () if applies == Applies() else (applies,)


def _blocks(page: LaidPage) -> tuple[str, ...]:
    """The page's text by blocks that free height or a label parts: a sentence is whole however its lines are
    broken."""
    blocks: list[list[str]] = []
    above: Line | None = None
    for line in page.lines:
        if line.place in ("table", "figure"):
            continue
        far = above is None or line.gap > 0.7 * (line.size or 10.0) or line.column != above.column
        if far or any(h.start == 0 and h.colon for h in packaged().hits(line.text)[:1]):
            blocks.append([])
        blocks[-1].append(line.text)
        above = line
    return tuple(" ".join(b) for b in blocks)


def _assembled(head: Head, pages: Sequence[LaidPage], first: int, file: str, book: FieldBook) -> Header:
    number = number_of(head)
    day = date_of(head, number, pages[first])
    subject, issuer = _subject(head, number), _issuer(head)
    revision = revision_of(head, number)
    supersedes = supersedes_of(head, number)
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
    """The tables that hold fields of the head: two different fields named, or two words for a subject (one
    may name the units), and no column of a parts list."""
    found = []
    for index, table in enumerate(page.tables):
        texts = [c.text.strip(BARS) for row in table.rows for c in row if c.text.strip(BARS)]
        heads = [c.text.strip(BARS) for c in (table.rows[0] if table.rows else ()) if c.text.strip(BARS)]
        named = {f.removesuffix("_weak") for f in labels_in(texts, book)} - {"other"}
        subjects = {hit.label for t in texts if (hit := book.field_of(t)) and hit.field == "subject"}
        if (len(named) >= 2 or len(subjects) >= 2) and sum(plain(h) in book.parts for h in heads) < 2:
            found.append(index)
    return tuple(found)


def _order(pages: Sequence[LaidPage]) -> bool | None:
    text = "\n".join(line.text for p in pages for line in (*p.heads, *p.lines, *p.feet))
    return order_in(text[:60000])


def _before_body(rows: Sequence[Row], book: FieldBook) -> tuple[Value, ...]:
    """The fields above the first sentence of the body; below it only what a colon makes sure and is new."""
    values = [v for v in read_fields(rows, book) if not _is_line(v)]
    begins = body_row(rows)
    kept = [v for v in values if v.row < begins]
    known = {v.field for v in kept}
    late = [v for v in values if v.row >= begins and v.sure and v.pieces[0].start == 0]
    kept += [v for v in late if v.field not in known and v.field in ("number", "date", *UNIT_FIELDS)]
    return tuple(kept)


_CONCERNS = re.compile(
    r"concern(?:s|ed|ing)?|regarding|re|about|betrifft|betreff|betr|concerne|ang|angående|betreft"
)


def _with_concerned(values: Sequence[Value]) -> tuple[Value, ...]:
    """The fields; where one is the subject for certain, another that "concerns" nothing but models names the
    units. Common practice, no source."""
    subjects = [v for v in values if v.field == "subject"]
    units = any(v.field in UNIT_FIELDS for v in values)
    concerned = [v for v in subjects if v.sure and _CONCERNS.fullmatch(v.label)]
    others = [v for v in subjects if v not in concerned]
    if units or not others or len(concerned) != 1 or not _only_units(concerned[0].text):
        return tuple(values)
    return tuple(replace(v, field="models") if v is concerned[0] else v for v in values)


def _only_units(text: str) -> bool:
    read = read_applies(text, "models")
    return read is not None and bool(read.models) and not read.unclear


_LINE = re.compile(r"(?:tele)?(?:fax|x)\b")
_RUNNING = re.compile(
    r"\s{0,3}[:.]?\s{0,3}(?:[A-Z]{1,4}[ ./-]?)?[0-9]{1,4}\s?[/-]\s?(?:19|20)?[0-9]{2}[\s.]{0,3}"
)


def _is_line(value: Value) -> bool:
    """True for the number of a telephone line: `Fax No. 0420 38811`; 118/95 behind it is the message's."""
    line = value.field == "number_weak" and _LINE.match(value.label)
    return bool(line) and _RUNNING.fullmatch(value.text) is None


def _subject(head: Head, number: NumberReading | None) -> str | None:
    for value in head.of("subject"):
        head.pieces += value.pieces
        return value.text.strip(" .;") or None
    named = head.loose.title
    rest = number.rest if number is not None else ""
    said = _first_sentence(rest)
    first = said or rest
    units = re.search(r"[0-9]", first) is not None and _only_units(first)  # `Memo RS 12-4; KX 160`
    own = named is not None and number is named.title.number and first[:1].isupper() and not units
    if own and (said or not (named and named.opens)):
        return first
    return head.loose.subject


def _first_sentence(text: str) -> str | None:
    """What a note says it is about behind its number: a short phrase, no sentence with a verb."""
    first = re.split(r"\.\s(?=[A-Z])", text, maxsplit=1)[0].strip(" .")
    verb = re.search(r"\b(?:applies|apply|is|are|has|have|must|was|were|been|be|will|can)\b", first)
    return first if first and len(first.split()) <= 10 and not verb else None


def _issuer(head: Head) -> str | None:
    loose = maker_of(head.loose.issuer) if head.loose.issuer else None
    for value in head.of("issuer"):
        if not find_dates(value.text):
            if loose is not None and is_company(loose) and names_department(value.text):
                return loose  # `From: Product Support` below the maker's name
            return maker_of(value.text)
    return loose


def _applies(head: Head, file: str, sheet: int) -> tuple[Applies, tuple[Finding, ...]]:
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
    for index, page in enumerate(map(without_imprint, pages)):
        body += flow(without_head(page, pieces) if index == first else page)
    return tuple(body)
