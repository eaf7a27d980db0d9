"""How far what OCR read may be trusted: the words that matter to a statement, each with its confidence.

A number, a value or a date misread by one sign is another part or another setting, so a statement is as sure
as the worst of its words with a digit; its other words count by their mean. The rule is ours.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Finding, Item, Manual, Note, Source, Statement
from benchleaf.graph.standing import SURE_OCR
from benchleaf.ingest.shapes import Header, LaidPage, Line, Word

_DIGIT = re.compile(r"[0-9]")
_NUMBER = re.compile(r"[0-9]{1,8}")
_BLANKS = re.compile(r"[ \t\n]+")
_ASIDE = frozenset({"note", "date", "source", "standing", "why", "confidence", "settled_by", "id", "quote"})
_TRIM = ".,;:()[]“”\"'"


def weighed(note: Note, pages: Sequence[LaidPage]) -> Note:
    """The note with the confidence of each statement that OCR read; others stay as they are."""
    read = _by_sheet(pages)
    if not read:
        return note
    return replace(note, statements=tuple(_weighed(s, read) for s in note.statements))


def marked(manual: Manual, pages: Sequence[LaidPage]) -> Manual:
    """The manual with the unsure words of every step that OCR read: those with a digit, below the bar."""
    read = _by_sheet(pages)
    if not read:
        return manual
    made = [
        replace(page, items=tuple(_marked(i, read[i.sheet]) if i.sheet in read else i for i in page.items))
        for page in manual.pages
    ]
    return replace(manual, pages=tuple(made))


def counted_folios(pages: Sequence[LaidPage], file: str) -> tuple[Finding, ...]:
    """A finding for each scanned sheet whose page number was told by the sheets around it."""
    return tuple(
        Finding(
            f"the page number {p.folio} was not read for certain: the sheets around it tell it",
            Source(file, p.sheet),
        )
        for p in pages
        if p.by_ocr and p.folio and not any(key(p.folio) in key(li.text) for li in (*p.heads, *p.feet))
    )


def unsure_steps(manual: Manual) -> tuple[Finding, ...]:
    """A finding for each page with steps whose numbers or values OCR was not sure of."""
    return tuple(
        _unsure(manual, page.sheet, page.items) for page in manual.pages if any(i.unsure for i in page.items)
    )


def _unsure(manual: Manual, sheet: int, items: Sequence[Item]) -> Finding:
    words = list(dict.fromkeys(w for i in items for w in i.unsure))
    message = f"OCR was not sure of {_quoted(words)}: compare the page with its picture"
    return Finding(message, Source(manual.file, sheet))


def header_doubt(header: Header, pages: Sequence[LaidPage]) -> str | None:
    """A doubt for a note whose number, date or units stand in words that OCR was not sure of."""
    first = next((p for p in pages if p.by_ocr and (p.lines or p.heads)), None)
    if first is None:
        return None
    top = [w for line in (*first.heads, *first.lines)[:_HEAD] for w in line.words]
    unsure = list(dict.fromkeys(w.text for w in top if _poor(w) and _bears(w.text, header)))
    return f"OCR was not sure of {_quoted(unsure)} in the head: compare with the picture" if unsure else None


def _bears(word: str, header: Header) -> bool:
    """True if a word may be part of the note's number, its date or its units."""
    applies = header.applies
    bounds = (applies.serial_from, applies.serial_to, *applies.models, applies.as_printed)
    if any(key(word) in key(told) for told in (header.number, *bounds) if told):
        return True
    if header.date is None:
        return False
    day = header.date
    return any(int(n) in (day.year, day.year % 100, day.month, day.day) for n in _NUMBER.findall(word))


_HEAD = 12  # lines of a note's head


Words = Mapping[str, float]
"""Words of a sheet by their folded form, each with the lowest confidence it was read with."""


def _by_sheet(pages: Sequence[LaidPage]) -> dict[int, dict[str, float]]:
    return {p.sheet: _words((*p.heads, *p.lines, *p.feet)) for p in pages if p.by_ocr}


def _words(lines: Iterable[Line]) -> dict[str, float]:
    found: dict[str, float] = {}
    for word in (w for line in lines for w in line.words):
        folded = _folded(word.text)
        found[folded] = min(found.get(folded, 1.0), word.confidence)
    return found


def _folded(word: str) -> str:
    return word.strip(_TRIM).casefold()


def _weighed(statement: Statement, read: Mapping[int, Words]) -> Statement:
    if not statement.source.by_ocr:
        return statement
    words = read.get(statement.source.sheet, {})
    return replace(statement, confidence=_confidence(statement, words))


def _confidence(statement: Statement, words: Words) -> float:
    said = [*_said(statement), *_tokens(statement.quote)]
    digits = [_of(w, words) for w in said if _DIGIT.search(w)]
    others = [words[f] for w in said if not _DIGIT.search(w) and (f := _folded(w)) in words]
    mean = sum(others) / len(others) if others else 1.0
    return round(min([mean, *digits]), 3)


def _of(word: str, words: Words) -> float:
    """The confidence of a word; of one that stands in pieces on the sheet, the lowest of pieces within it."""
    folded = _folded(word)
    if folded in words:
        return words[folded]
    mine = key(word)
    pieces = [c for w, c in words.items() if len(w) > 1 and _DIGIT.search(w) and key(w) and key(w) in mine]
    return min(pieces, default=1.0)


def _said(statement: Statement) -> Iterator[str]:
    """The words with which a statement's own fields were filled."""
    for f in fields(statement):
        if f.name not in _ASIDE:
            yield from _inside(getattr(statement, f.name))


def _inside(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield from _tokens(value)
    elif isinstance(value, tuple):
        for one in value:
            yield from _inside(one)
    elif is_dataclass(value):
        for f in fields(value):
            yield from _inside(getattr(value, f.name))


def _tokens(text: str) -> list[str]:
    return [t for t in _BLANKS.split(text) if t.strip(_TRIM)]


def _marked(item: Item, words: Words) -> Item:
    """The item as read by OCR, with its unsure words; one of a sheet with a text layer stays as it is."""
    unsure = [t.strip(_TRIM) for t in _tokens(item.text) if _DIGIT.search(t) and _of(t, words) < SURE_OCR]
    return replace(item, by_ocr=True, unsure=tuple(dict.fromkeys(unsure)))


def _poor(word: Word) -> bool:
    return bool(_DIGIT.search(word.text)) and word.confidence < SURE_OCR


def _quoted(words: Sequence[str]) -> str:
    return ", ".join(f"“{w}”" for w in words[:5]) + (" and others" if len(words) > 5 else "")
