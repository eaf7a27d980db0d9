"""What a document is: manual, note, packing slip or something else, by the weight of the evidence."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from benchleaf.graph.model import DocumentKind
from benchleaf.ingest.book.cover import CoverReading, parts_of, read_cover
from benchleaf.ingest.book.manual import Steps, read_steps
from benchleaf.ingest.head.fields import packaged, plain
from benchleaf.ingest.head.notetitles import read_opening, read_title
from benchleaf.ingest.head.segments import BARS
from benchleaf.ingest.shapes import LaidPage, Line

_BOOKS = frozenset({"manual", "manuals", "book", "books", "handbook", "handbooks", "guide", "catalogue"})
_NOTE_FIELDS = frozenset({"number", "date", "subject", "models", "serials", "built", "supersedes", "kits"})
_LETTER = re.compile(
    r"(?:to\sall\s(?:\w{1,14}\s){0,2}(?:workshops?|dealers?|customers?|stations?|agents?|concerned)|dear\s|we\sinform\syou|"
    r"our\sref|for\syour\sinformation|please\s(?:amend|file|note|alter))",
    re.IGNORECASE,
)
_CHANGES = re.compile(
    r"\b(?:(?:has|have)\sbeen\s(?:replaced|superseded|changed|modified|cancelled|withdrawn)|(?:is|are)\s(?:replaced|superseded|"
    r"cancelled|withdrawn|deleted)|supersedes?|should\sread|(?:replaces?|delete|disregard|omit|amend|change)\s(?:item|step|para|"
    r"operation|the\sexisting|page)|(?:add|insert)\s(?:the\sfollowing|a\snew|new|after|before)|(?:on\s|,\s)?page\s[0-9A-Z-]{1,8},?\s(?:item|step|line|para)|on\spage\s[0-9A-Z]|item\s[0-9]{1,3}\s(?:on|of)"
    r"|no\slonger\s(?:supplied|available)|in\slieu\sof|instead\sof|new\skit|modification\skit)\b",
    re.IGNORECASE,
)
_BOOK = re.compile(
    r"\b(?:manual|handbook|workshop\sinstructions?|overhaul\sinstructions?|repair\sinstructions?|werkstatthandbuch)\b",
    re.IGNORECASE,
)
_SLIP = re.compile(
    r"\b(?:packing\s(?:slip|list|note)|delivery\s(?:note|slip|docket)|despatch\snote|dispatch\snote|advice\snote|picking\slist|"
    r"consignment\snote|goods\s(?:received|issue)|shipping\s(?:list|note)|invoice|order\sconfirmation|lieferschein|packliste)\b",
    re.IGNORECASE,
)
_REFERS = re.compile(
    r"(?:to|for|in|see|re|ref|refers?|concern(?:s|ing)|amend(?:s|ment)|change[sd]?|on)\b", re.IGNORECASE
)
_TOP_LINES = 14
_FEWEST_STEPS = 2  # a paper of a sheet or two that only speaks of a manual is none: a manual has steps
_LEAFLET = 4


@dataclass(frozen=True, slots=True)
class KindReading:
    """What a document is, and the reasons with their weights in plain words, most telling first.

    `steps` are the numbered steps that were found on the way: a manual is read from the same.
    """

    kind: DocumentKind
    reasons: tuple[str, ...]
    steps: Steps


@dataclass(frozen=True, slots=True)
class Evidence:
    """One reason for a kind of document, with its weight."""

    kind: DocumentKind
    weight: float
    reason: str


def kind_of(pages: Sequence[LaidPage]) -> DocumentKind:
    """What the document is: `manual`, `note`, `slip` or `other`."""
    return read_kind(pages).kind


def read_kind(pages: Sequence[LaidPage]) -> KindReading:
    """What the document is, with the reasons."""
    steps = read_steps(pages)
    leaflet = len(steps.drafts) < _FEWEST_STEPS and len(pages) <= _LEAFLET
    evidence = [*(() if leaflet else _for_manual(pages, steps)), *_for_note(pages), *_for_slip(pages)]
    totals = {k: sum(e.weight for e in evidence if e.kind == k) for k in ("manual", "note", "slip")}
    chosen = _heaviest(totals)
    if chosen == "other" and (named := _named(pages, steps)) is not None:
        evidence.append(named)
        chosen = "note"
    reasons = sorted((e for e in evidence if e.kind == chosen), key=lambda e: -e.weight)
    return KindReading(chosen, tuple(f"{e.reason} ({e.weight:+.1f})" for e in reasons), steps)


def _heaviest(totals: dict[str, float]) -> DocumentKind:
    least = {"manual": 2.0, "note": 1.5, "slip": 2.5}
    kind = max(totals, key=lambda k: totals[k])
    if totals[kind] < least[kind]:
        return "other"
    return "manual" if kind == "manual" else "note" if kind == "note" else "slip"


def _named(pages: Sequence[LaidPage], steps: Steps) -> Evidence | None:
    """A short paper with a number and a date of its own and no run of steps is a note, whatever its words."""
    if not 0 < len(pages) <= _LEAFLET or len(steps.drafts) >= 8:
        return None
    from benchleaf.ingest.head.header import read_header

    header = read_header(pages, "")
    if header.number is None or header.date is None:
        return None
    return Evidence("note", 1.5, f"a short paper with a number, {header.number}, and a date")


def _top_lines(pages: Sequence[LaidPage]) -> list[Line]:
    """The first lines of the first sheet with its running head."""
    return [*pages[0].heads, *pages[0].lines][:_TOP_LINES] if pages else []


def _top(pages: Sequence[LaidPage]) -> list[str]:
    return [li.text for li in _top_lines(pages)]


def _for_manual(pages: Sequence[LaidPage], steps: Steps) -> Iterator[Evidence]:
    cover = read_cover(pages, {d.start.page for d in steps.drafts})
    count = len(steps.drafts)
    if count >= 3:
        yield Evidence("manual", 1.0 if count < 8 else 1.5 if count < 20 else 2.5, f"{count} numbered steps")
    sections = {d.section for d in steps.drafts}
    if len(sections) > 2:
        yield Evidence("manual", 1.0, f"steps under {len(sections)} headings")
    if len(pages) > 6:
        yield Evidence("manual", 1.0 if len(pages) < 30 else 2.0, f"{len(pages)} pages")
    yield from _of_identity(pages, cover)
    yield from _of_running_heads(pages)


def _of_identity(pages: Sequence[LaidPage], cover: CoverReading) -> Iterator[Evidence]:
    if cover.labelled:
        yield Evidence("manual", 1.5, f"publication number {cover.number}")
    elif cover.number is not None:
        yield Evidence("manual", 1.0, f"number {cover.number} in the running heads")
    title = next(
        (t for t in _top(pages) if _BOOK.search(t) and len(t.split()) <= 8 and not _speaks_of_book(t)), None
    )
    if title is not None:
        yield Evidence("manual", 1.5, f"the title “{title}”")
    if pages and _BOOK.search(" ".join(li.text for li in (*pages[-1].heads, *pages[-1].feet))):
        yield Evidence("manual", 1.0, "a running head that names a manual")


def _speaks_of_book(text: str) -> bool:
    """True for a line that only refers to a book: `Refers to: Repair Handbook`, `to Handbook PT 27`."""
    return ":" in text or _REFERS.match(text) is not None


def _of_running_heads(pages: Sequence[LaidPage]) -> Iterator[Evidence]:
    folios = [p.folio for p in pages if p.folio]
    if any(not f.isdigit() for f in folios):
        yield Evidence("manual", 1.0, f"page numbers by chapter, such as {folios[-1]}")
    elif any(int(f) > p.sheet + 2 for p in pages if (f := p.folio) and f.isdigit() and len(f) < 6):
        yield Evidence("manual", 1.0, f"a page number, {folios[-1]}, from inside a book")


def _for_note(pages: Sequence[LaidPage]) -> Iterator[Evidence]:
    top = _top(pages)
    title = next((t for t in top if is_note_title(t)), None) or _named_title(pages)
    if title is not None:
        yield Evidence("note", 3.0, f"the title “{title}”")
    fields = sorted({f for line in _top_lines(pages) for f in _fields_of(line)} & _NOTE_FIELDS)
    if fields:
        yield Evidence("note", min(2.9, 0.8 * len(fields)), f"fields at its head: {', '.join(fields)}")
    if any(_LETTER.match(t.strip()) for t in top):
        yield Evidence("note", 0.8, "the words of a letter")
    said = {m[0].lower() for p in pages[:6] for li in p.lines for m in _CHANGES.finditer(li.text[:400])}
    if said and len(pages) <= 12:
        yield Evidence("note", min(2.1, 0.7 * len(said)), f"words of change: {', '.join(sorted(said)[:4])}")
    if 0 < len(pages) <= 2:
        yield Evidence("note", 0.4, "few pages")


def _named_title(pages: Sequence[LaidPage]) -> str | None:
    """A line at the top that gives a kind of paper with its number, also where running text goes on."""
    return next(
        (li.text for li in _top_lines(pages)[:4] if read_title(li.text) or read_opening(li.text)), None
    )


def _fields_of(line: Line) -> set[str]:
    """Fields of the note vocabulary that a line labels, by a colon or by a wide gap after the label."""
    book = packaged()
    by_colon = {h.field for h in book.hits(line.text[:300]) if h.colon}
    parts = [p for p in parts_of(line) if p.strip(BARS)]
    by_gap = {hit.field for p in parts[:-1] if (hit := book.field_of(p)) is not None}
    return by_colon | by_gap


def is_note_title(text: str) -> bool:
    """True for a short line in which a note says what it is: `SERVICE BULLETIN 14/2003`."""
    words = plain(text).split()
    if not 0 < len(words) <= 12 or _is_prose(text):
        return False
    return any(_names_note(words, kind.split()) for kind in packaged().kinds)


def _names_note(words: Sequence[str], kind: Sequence[str]) -> bool:
    """True if the kind's words stand in the line; a single word must begin it and be numbered."""
    size = len(kind)
    for at in range(len(words) - size + 1 if size > 1 else 1):
        rest = words[at + size :]
        if list(words[at : at + size]) != list(kind) or (rest and rest[0] in _BOOKS):
            continue
        if size > 1 or not rest or rest[0].startswith(("no", "nr")) or any(c.isdigit() for c in rest[0]):
            return True
    return False


def _is_prose(text: str) -> bool:
    return text.rstrip().endswith(".") and len(text.split()) > 5


def _for_slip(pages: Sequence[LaidPage]) -> Iterator[Evidence]:
    title = next((t for t in _top(pages) if _SLIP.search(t) and len(t.split()) <= 10), None)
    if title is not None:
        yield Evidence("slip", 4.5, f"the title “{title}”")
