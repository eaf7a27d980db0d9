"""Passages: the paragraphs and tables of a note's body, folded, with the sentences and references they
hold."""

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Source
from benchleaf.ingest.phrases.lengths import shortened
from benchleaf.ingest.phrases.numbers import shapes
from benchleaf.ingest.phrases.references import Reference, tag
from benchleaf.ingest.phrases.sentences import Sentence, sentences
from benchleaf.ingest.phrases.tags import PUB, REF, Tagged
from benchleaf.ingest.shapes import Header, Paragraph, Table

_OLD_FIELD = re.compile(
    r"^(?:old|previous|former|was|superseded|existing|from|present|before|original|incorrect"
    r"|wrong)\b[^.]{0,60}$",
    re.I,
)
_NEW_FIELD = re.compile(
    r"^(?:new|now|replaced by|superseded by|replacement|current|to|read|after|correct"
    r"|corrected|use|should read)\b",
    re.I,
)
_OLD_WORDS = re.compile(
    r"^(?:was|old(?: text| wording)?|previous(?: text| wording)?|before|present text|existing text)\b ?:",
    re.I,
)
_MAIL = re.compile(r"> ?(?=\S)")
_LINE = 40  # characters of a line that may break off
_BROKEN_OFF = re.compile(r"[A-Za-z0-9,]$")
_MIDDLE = re.compile(r"(?!(?:[a-z]|[ivx]{1,4})[.) ])[a-z]{2,}")
# "old 4 to 6 mm" with "new 5 to 7 mm" below it.
_OLD_VALUE = re.compile(
    r"(?:^|[:;–-] ?)(?:old|was|before|previously|formerly) ?:? [^a-z.;:]{0,3}[0-9][^.;:]{0,40}$", re.I
)
_NEW_VALUE = re.compile(r"^(?:new|now|after) ?:? [^a-z.;:]{0,3}[0-9][^:]{0,40}$", re.I)
# "for “9 Nm”" with "read “11 Nm”" below it.
_FOR = re.compile(r"(?:^|[:;.] ?)(?:for|in place of|instead of):? [“„\"'][^“”\"]{1,200}[”“\"'] ?,?$", re.I)
_READ = re.compile(r"(?:read|substitute|put|write|insert):? ", re.I)
# An entry of a list of changes: a quotation that was not closed above does not run on into it.
_ENTRY = re.compile(r"(?:pages?|pp?\.|sheet) ?[0-9A-Z][0-9A-Z.-]{0,6}[,:;] ", re.IGNORECASE)
_LOW_QUOTED = re.compile("„[^„“”]{0,4000}[“”]")
_OPEN = (("“", "”"), ("„", "“”"), ("«", "»"))


@dataclass(frozen=True, slots=True)
class Passage:
    """One paragraph as folded text with its sentences and where it stands."""

    tagged: Tagged
    sentences: tuple[Sentence, ...]
    source: Source
    confidence: float = 1.0
    by_ocr: bool = False
    size: float = 0.0

    @property
    def folded(self) -> str:
        """The folded text."""
        return self.tagged.folded


@dataclass(frozen=True, slots=True)
class Body:
    """A note's body in reading order, and what all of it cites: keys of manuals, printed pages."""

    blocks: tuple[Passage | Table, ...]
    subject: Passage | None
    publications: tuple[str, ...]
    pages: tuple[str, ...]
    models: tuple[str, ...]
    by_ocr: bool
    confidence: float


def body_of(header: Header, file: str) -> Body:
    """Folds a note's body. Two readings: the first learns which numbers the note calls a manual."""
    header = replace(header, body=shortened(header.body))
    models, own = header.applies.models, header.number
    paragraphs = [b for b in header.body if isinstance(b, Paragraph)]
    said = [p.text for p in paragraphs] + ([header.subject] if header.subject else [])
    first = [tag(text, models, own) for text in said]
    books = _distinct(p for tagged in first for p in _publications(tagged))
    forms = frozenset(s for text in (*said, *_cells(header)) for s in shapes(text))
    blocks: list[Passage | Table] = []
    for block in _joined(header.body):
        blocks.append(block if isinstance(block, Table) else passage(block, file, models, own, books, forms))
    subject = _subject(header, file, books)
    passages = [b for b in (*blocks, subject) if isinstance(b, Passage)]
    pages = _distinct(r.page for p in passages for r in references(p.tagged) if r.page)
    named = _distinct(r.publication for p in passages for r in references(p.tagged) if r.publication)
    by_ocr = any(p.by_ocr for p in paragraphs)
    confidence = min((p.confidence for p in paragraphs), default=1.0) if by_ocr else 1.0
    return Body(tuple(blocks), subject, named or books, pages, models, by_ocr, confidence)


def _cells(header: Header) -> Iterator[str]:
    return (c.text for b in header.body if isinstance(b, Table) for row in b.rows for c in row)


def passage(
    paragraph: Paragraph,
    file: str,
    models: Sequence[str] = (),
    own: str | None = None,
    books: Sequence[str] = (),
    forms: Collection[tuple[int, ...]] = (),
) -> Passage:
    """One paragraph, folded."""
    tagged = tag(paragraph.text, models, own, books, forms)
    source = Source(file, paragraph.sheet, paragraph.folio, paragraph.box, paragraph.by_ocr)
    confidence = paragraph.confidence if paragraph.by_ocr else 1.0
    return Passage(tagged, sentences(tagged), source, confidence, paragraph.by_ocr, paragraph.size)


def references(tagged: Tagged) -> tuple[Reference, ...]:
    """Every reference in a text, in order."""
    found = (t.content for _, t in sorted(tagged.tags.items()) if t.kind == REF)
    return tuple(r for r in found if isinstance(r, Reference))


def _publications(tagged: Tagged) -> Iterator[str]:
    yield from (r.publication for r in references(tagged) if r.publication)
    yield from (t.text for _, t in sorted(tagged.tags.items()) if t.kind == PUB)


def _distinct(printed: Iterator[str]) -> tuple[str, ...]:
    seen: dict[str, str] = {}
    for one in printed:
        seen.setdefault(key(one), one)
    return tuple(seen.values())


def _subject(header: Header, file: str, books: Sequence[str]) -> Passage | None:
    if not header.subject:
        return None
    sheet = next((b.sheet for b in header.body), 1)
    tagged = tag(header.subject, header.applies.models, header.number, books)
    return Passage(tagged, sentences(tagged), Source(file, sheet))


def _joined(body: Sequence[Paragraph | Table]) -> Iterator[Paragraph | Table]:
    """Paragraphs that only mean something together as one: an unclosed quotation, "Old number: …" with "New
    number: …"."""
    held: Paragraph | None = None
    for block in body:
        if isinstance(block, Paragraph) and _MAIL.match(block.text):
            rest = held is not None and _mailed(held, body)
            block = replace(block, text=_MAIL.sub("", block.text))
            if rest and held is not None and _BROKEN_OFF.search(held.text):
                held = replace(held, text=f"{held.text} {block.text}")
                continue
        if held is None:
            held = block if isinstance(block, Paragraph) else None
        elif isinstance(block, Paragraph) and (_belongs(held.text, block.text) or _goes_on(held, block)):
            held = replace(
                held,
                text=f"{held.text} {block.text}",
                confidence=min(held.confidence, block.confidence),
                by_ocr=held.by_ocr or block.by_ocr,
            )
            continue
        else:
            yield held
            held = block if isinstance(block, Paragraph) else None
        if isinstance(block, Table):
            yield block
    if held is not None:
        yield held


def _mailed(held: Paragraph, body: Sequence[Paragraph | Table]) -> bool:
    """True if a held paragraph began with the mark that mail puts before quoted lines."""
    return any(
        isinstance(b, Paragraph) and b.box == held.box and b.sheet == held.sheet and _MAIL.match(b.text)
        for b in body
    )


def _belongs(above: str, below: str) -> bool:
    if len(above) > 3000:
        return False
    if _unclosed(above):
        return not _ENTRY.match(below)
    if _OLD_WORDS.match(above) and _NEW_FIELD.match(below):
        return True
    if _FOR.search(above) and _READ.match(below):
        return True
    if _OLD_VALUE.search(above) and _NEW_VALUE.match(below):
        return True
    return bool(
        _OLD_FIELD.match(above) and _NEW_FIELD.match(below) and ":" in above + below and len(above) < 90
    )


def _goes_on(above: Paragraph, below: Paragraph) -> bool:
    """True for the rest of a sentence that stands right below its first line and begins in the middle."""
    broken = len(above.text) > _LINE and _BROKEN_OFF.search(above.text) and _MIDDLE.match(below.text)
    if not broken or above.sheet != below.sheet or not above.size or abs(above.size - below.size) > 1.5:
        return False
    return -0.5 * above.size < below.box.top - above.box.bottom < 0.8 * above.size


def _unclosed(text: str) -> bool:
    for opening, closing in _OPEN:
        # In „these marks“ the second one closes, which opens elsewhere.
        held = _LOW_QUOTED.sub("", text) if opening == "“" and "„" in text else text
        if opening in held and held.rfind(opening) > max(held.rfind(c) for c in closing if c != opening):
            return True
    return (
        text.count('"') % 2 == 1
        and re.search(r"(?:^|[\s(:])\"\S", text) is not None
        and not re.search(r"[0-9]\"", text)
    )
