"""What a document is: manual, note, packing slip or something else, by the weight of the evidence."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from benchleaf.graph.model import DocumentKind
from benchleaf.ingest.cover import CoverReading, read_cover
from benchleaf.ingest.manual import Steps, read_steps
from benchleaf.ingest.shapes import LaidPage

_NOTE_TITLE = re.compile(
    r"(?:(?:technical|service|workshop|shop|parts?|product|engineering|modification|field|maintenance|repair|dealer|"
    r"information|customer|tech|alert|safety|change|own|update|assembly|overhaul)[\s-]{1,3}){0,3}"
    r"(?:bulletin|circular|letter|note|notice|memo(?:randum)?|information|instruction|advice|advisory|news|newsletter|update|"
    r"mitteilung|rundschreiben|circulaire|circolare|boletín|bollettino|tsb|sb|erratum|errata|addendum|supplement|amendment)\b"
    r"(?!\s(?:manual|book|handbook))",
    re.IGNORECASE,
)
_FIELD = re.compile(
    r"(?:subject|re|concerns?|models?(?:\s\(?s?\)?)?(?:\saffected)?|(?:units?|types?|machines?)\s(?:affected|concerned)|applies\sto|"
    r"applicab(?:le|ility)(?:\sto)?|effectivity|serial\s(?:no|number|range)s?|s/ns?|supersedes|cancels|replaces|reason|compliance|"
    r"date|issued|ref(?:erence)?|our\sref|distribution|to|from|group|revision|betreff|betrifft|datum|objet|oggetto)"
    r"\.?(?:\snos?\.?|\snumbers?|\sof\sissue)?\s{0,3}(?::|\s{2,}|$)",
    re.IGNORECASE,
)
_CHANGES = re.compile(
    r"\b(?:(?:has|have)\sbeen\s(?:replaced|superseded|changed|modified|cancelled|withdrawn)|(?:is|are)\s(?:replaced|superseded|"
    r"cancelled|withdrawn|deleted)|supersedes?|should\sread|(?:replaces?|delete|disregard|omit|amend|change)\s(?:item|step|para|"
    r"operation|the\sexisting|page)|(?:add|insert)\s(?:the\sfollowing|a\snew|new|after|before)|on\spage\s[0-9A-Z]|item\s[0-9]{1,3}\s(?:on|of)"
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
_TOP_LINES = 14


@dataclass(frozen=True, slots=True)
class KindReading:
    """What a document is, and the reasons with their weights in plain words, most telling first."""

    kind: DocumentKind
    reasons: tuple[str, ...]


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
    cover = read_cover(pages, {d.start.page for d in steps.drafts})
    evidence = [*_for_manual(pages, steps, cover), *_for_note(pages), *_for_slip(pages)]
    totals = {k: sum(e.weight for e in evidence if e.kind == k) for k in ("manual", "note", "slip")}
    kind = max(totals, key=lambda k: totals[k])
    least = {"manual": 2.0, "note": 1.5, "slip": 2.5}[kind]
    chosen: DocumentKind = "other"
    if totals[kind] >= least:
        chosen = "manual" if kind == "manual" else "note" if kind == "note" else "slip"
    reasons = sorted((e for e in evidence if e.kind == chosen), key=lambda e: -e.weight)
    return KindReading(chosen, tuple(f"{e.reason} ({e.weight:+.1f})" for e in reasons))


def _top(pages: Sequence[LaidPage]) -> list[str]:
    """The first lines of the first sheet with its running head."""
    if not pages:
        return []
    return [li.text for li in (*pages[0].heads, *pages[0].lines)][:_TOP_LINES]


def _for_manual(pages: Sequence[LaidPage], steps: Steps, cover: CoverReading) -> Iterator[Evidence]:
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
        (t for t in _top(pages) if _BOOK.search(t) and len(t.split()) <= 8 and not _FIELD.match(t)), None
    )
    if title is not None:
        yield Evidence("manual", 1.5, f"the title “{title}”")
    if pages and _BOOK.search(" ".join(li.text for li in (*pages[-1].heads, *pages[-1].feet))):
        yield Evidence("manual", 1.0, "a running head that names a manual")


def _of_running_heads(pages: Sequence[LaidPage]) -> Iterator[Evidence]:
    folios = [p.folio for p in pages if p.folio]
    if any(not f.isdigit() for f in folios):
        yield Evidence("manual", 1.0, f"page numbers by chapter, such as {folios[-1]}")
    elif any(int(f) > p.sheet + 2 for p in pages if (f := p.folio) and f.isdigit() and len(f) < 6):
        yield Evidence("manual", 1.0, f"a page number, {folios[-1]}, from inside a book")


def _for_note(pages: Sequence[LaidPage]) -> Iterator[Evidence]:
    top = _top(pages)
    title = next(
        (t for t in top if _NOTE_TITLE.match(t.strip()) and len(t.split()) <= 12 and not _is_prose(t)), None
    )
    if title is not None:
        yield Evidence("note", 3.0, f"the title “{title}”")
    fields = sorted({m[0].strip(" :").lower() for t in top if (m := _FIELD.match(t.strip()))})
    if fields:
        yield Evidence("note", min(3.2, 0.8 * len(fields)), f"fields at its head: {', '.join(fields)}")
    said = {m[0].lower() for p in pages[:6] for li in p.lines for m in _CHANGES.finditer(li.text[:400])}
    if said and len(pages) <= 12:
        yield Evidence("note", min(2.1, 0.7 * len(said)), f"words of change: {', '.join(sorted(said)[:4])}")
    if 0 < len(pages) <= 2:
        yield Evidence("note", 0.4, "few pages")


def _is_prose(text: str) -> bool:
    return text.rstrip().endswith(".") and len(text.split()) > 5


def _for_slip(pages: Sequence[LaidPage]) -> Iterator[Evidence]:
    title = next((t for t in _top(pages) if _SLIP.search(t) and len(t.split()) <= 10), None)
    if title is not None:
        yield Evidence("slip", 4.5, f"the title “{title}”")
