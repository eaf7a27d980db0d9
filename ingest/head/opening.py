"""A head completed from its opening lines where no label names a field.

Every maker lays out his heads in his own way: `MOD 77 / Mk 9 / 31 March 1993`. What the labels leave open is
taken from the opening lines by weighing every number that stands there; models are those that the shop's
manuals name.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Finding, Source
from benchleaf.ingest.head.dates import find_dates, order_of
from benchleaf.ingest.head.fields import packaged, plain
from benchleaf.ingest.head.segments import segments_of
from benchleaf.ingest.head.serials import read_applies
from benchleaf.ingest.shapes import Header, LaidPage, Line

_OPENING = 14  # lines
_PROSE = 9  # words from which a line that ends a sentence is running text
_ENOUGH, _MARGIN = 4.0, 1.0  # weight of a number that is taken, and its lead over the next
_NUMBER = re.compile(
    r"(?<![\w./-])(?:[A-ZÀ-Ý]{1,6}(?:[ .][A-Z]{1,3})?[ ./-]{0,2}[0-9]{1,5}(?:[ ]?[/.-][ ]?[0-9A-Z]{1,5}){0,3}"
    r"|[A-ZÀ-Ý]{1,4}(?:/[0-9]{1,4}){1,3}|[0-9]{1,5}[A-Z]?[/-][0-9]{2,4})(?![\w]|[.,/-][0-9])"
)
_PARTS = re.compile(r"\s[/·•|–—]\s|\s-\s|;\s|,\s")
_OTHERS = re.compile(
    r"\b(?:manual|handbook|book|publication|instructions?|catalogue|model|models|types?|unit|units|gearbox(?:es)?|serials?|nos|"
    r"numbers|s/n|kit|kits|part|parts|p/n|ring|seal|plate|disc|pages?|p|pp|sheet|tel|telephone|fax|phone|box|road|street|"
    r"floor|works|sae|iso|din|en|vg|rev|revision|issue|edition|form|supersedes|replaces|cancels|see|dated|group|section|chapter|item|"
    r"step|steps|operation|op|para|figure|fig|table|attn|order|account|grade|class|category|week|zip)\.?,?:?$",
    re.IGNORECASE,
)
_NAMED = re.compile(r"(?:\bno|\bnr|\bn°|\bnum(?:ber)?|\bref|\breference|#|№)\s?[.:]?\s?$", re.IGNORECASE)
_UNIT = re.compile(r"\s?(?:mm|cm|nm|n·m|bar|psi|kpa|°|lb|ft|in\b|kg|rpm|l\b|%)", re.IGNORECASE)
_MONTHS = re.compile(
    r"(?:JAN|FEB|MAR|APR|MAY|JUN|JUL|AUG|SEPT?|OCT|NOV|DEC|[A-Z]{2,9}(?:UARY|BER|IL|UST|CH|NE|LY))\b"
)


@dataclass(frozen=True, slots=True)
class Known:
    """What the shop's manuals name: their models and their numbers, as printed."""

    models: tuple[str, ...] = ()
    publications: tuple[str, ...] = ()


def completed(header: Header, pages: Sequence[LaidPage], file: str, known: Known) -> Header:
    """The header with number, date and units filled where its labels left them open.

    A number without a label is told as a finding; of several dates without a label none is taken. Models are
    taken only if a held manual names them.
    """
    page = next((p for p in pages if p.lines or p.heads), None)
    if page is None:
        return header
    lines = opening(page)
    header = _dated(header, lines, pages)
    header = _numbered(header, page, lines, file, known)
    return _limited(header, lines, known)


def opening(page: LaidPage) -> tuple[Line, ...]:
    """The lines of a sheet above its first running text, at most fourteen."""
    found: list[Line] = []
    for line in (*page.heads, *page.lines[:_OPENING]):
        words = line.text.split()
        if len(words) >= _PROSE and (words[-1].endswith(".") or words[0][:1].islower()):
            break
        found.append(line)
    return tuple(found) or tuple(page.lines[:1])


# Dates


def _dated(header: Header, lines: Sequence[Line], pages: Sequence[LaidPage]) -> Header:
    """The one date of the opening lines, where no label gave one."""
    if header.date is not None:
        return header
    order = order_of(find_dates("\n".join(li.text for p in pages for li in p.lines)[:60_000]))
    read = [r for line in lines for r in find_dates(line.text, order) if r.date is not None]
    sure = [r for r in read if r.doubt is None] or read
    days = {r.date for r in sure}
    if len(days) != 1:
        return header
    unclear = tuple(u for u in header.unclear if "no date" not in u)
    doubts = tuple(r.doubt for r in sure if r.doubt)[:1]
    return replace(header, date=days.pop(), unclear=(*unclear, *doubts))


# Numbers


@dataclass(frozen=True, slots=True)
class _Candidate:
    number: str
    weight: float
    place: int


def _numbered(header: Header, page: LaidPage, lines: Sequence[Line], file: str, known: Known) -> Header:
    """The number that stands out in the opening lines, where no label gave one."""
    if header.number is not None and _is_number(header.number, known):
        return header
    body = " ".join(line.text for line in page.lines[len(lines) :])
    found = sorted(_candidates(lines, header, known, body), key=lambda c: (-c.weight, c.place))
    if not found or found[0].weight < _ENOUGH:
        return header
    best = found[0]
    rivals = [c for c in found if key(c.number) != key(best.number)]
    if rivals and best.weight - rivals[0].weight < _MARGIN:
        return header
    told = f"the note's number, {best.number}, was taken from its opening lines; no label names it"
    finding = Finding(told, Source(file, page.sheet))
    return replace(header, number=best.number, findings=(*header.findings, finding))


def _is_number(number: str, known: Known) -> bool:
    """False for what only looks like a note's number: a page count, a model, a manual."""
    if re.fullmatch(r"(?:p|page|sheet)\.? ?[0-9]{1,3} ?(?:/|of) ?[0-9]{1,3}", number, re.IGNORECASE):
        return False
    return key(number) not in {key(n) for n in (*known.models, *known.publications)}


def _candidates(lines: Sequence[Line], header: Header, known: Known, body: str) -> Iterator[_Candidate]:
    for index, line in enumerate(lines):
        dated = bool(find_dates(line.text))
        for part in _parts(line):
            for m in _NUMBER.finditer(part):
                number = " ".join(m[0].split())
                if _strange(number, part, m, known):
                    continue
                weight = _weight(number, part, m, header, body) + 1.5 * dated
                yield _Candidate(number, weight + max(0.0, 4.0 - 0.5 * index), index)


def _parts(line: Line) -> Iterator[str]:
    for segment in segments_of(line, None):
        yield from (p.strip() for p in _PARTS.split(segment.text) if p and p.strip())


def _strange(number: str, part: str, m: re.Match[str], known: Known) -> bool:
    """True for a number that is plainly something else's."""
    before = part[: m.start()].rstrip(" :")
    if not _is_number(number, known) or _MONTHS.match(number.upper()) or _UNIT.match(part[m.end() :]):
        return True
    if any(r.span[0] < m.end() and r.span[1] > m.start() for r in find_dates(part)):
        return True
    return bool(_OTHERS.search(before)) and not _NAMED.search(before)


def _weight(number: str, part: str, m: re.Match[str], header: Header, body: str) -> float:
    before = plain(part[: m.start()])
    kinds = packaged().kinds
    weight = 3.0 * (part.strip(" .:#") == m[0]) + 1.0 * (m.start() == 0)
    weight += 3.0 * any(before.endswith(kind) for kind in kinds if before)
    weight += 3.0 * bool(_NAMED.search(part[: m.start()]))
    weight += 1.0 * (header.date is not None and f"{header.date.year % 100:02d}" in number)
    weight += 0.5 * bool(re.match(r"[A-ZÀ-Ý]{1,5}", number))
    said = len(re.findall(rf"(?<![\w-]){re.escape(number)}(?![\w-])", body))
    return weight - min(4.0, 2.0 * said)


# Units


def _limited(header: Header, lines: Sequence[Line], known: Known) -> Header:
    """Models that held manuals name, and a serial range, where the labels left them open."""
    texts = [line.text for line in lines if not _of_manual(line.text)]
    applies = header.applies
    read = set(map(key, applies.models))
    names = {key(m) for m in known.models}
    if known.models and not (read and read <= names):
        models = known_models("\n".join(texts), known.models) or known_models(
            _first_words(header), known.models
        )
        if models or (read & names):
            held = [m for m in applies.models if key(m) in names]
            applies = replace(
                applies, models=tuple(dict.fromkeys((*models, *held))) if models else tuple(held)
            )
    if applies.serial_from is None and applies.serial_to is None:
        applies = _ranged(applies, texts)
    if applies == header.applies:
        return header
    unclear = tuple(u for u in header.unclear if not _told(u, applies))
    return replace(
        header,
        applies=replace(applies, unclear=tuple(u for u in applies.unclear if not _told(u, applies))),
        unclear=unclear,
    )


def _of_manual(text: str) -> bool:
    return bool(re.search(r"\b(?:manual|handbook|publication|refers to)\b", text, re.IGNORECASE))


def _first_words(header: Header) -> str:
    """The body's first paragraph: a letter names its units there."""
    first = next((b for b in header.body if hasattr(b, "text")), None)
    return str(getattr(first, "text", ""))[:400]


def known_models(text: str, models: Iterable[str]) -> tuple[str, ...]:
    """The models of a list that a text names, in its order; `Mk 6, 6A and 9` names three.

    >>> known_models("Units Mk 6, 6A and 9", ("Mk 6", "Mk 6A", "Mk 9", "Mk 12"))
    ('Mk 6', 'Mk 6A', 'Mk 9')
    """
    by_key = {key(m): m for m in models if key(m)}
    found: dict[int, str] = {}
    for name in sorted(by_key, key=len, reverse=True):
        for m in re.finditer(rf"(?<![\w-]){_loosely(name)}(?![\w]|-[0-9A-Z])", text, re.IGNORECASE):
            if not any(
                start <= m.start() < start + 40 and _covers(text, start, found[start], m) for start in found
            ):
                found[m.start()] = by_key[name]
    for start in sorted(found):
        found.update(_carried_on(text, start, found[start], by_key))
    return tuple(dict.fromkeys(found[start] for start in sorted(found)))


def _covers(text: str, start: int, name: str, m: re.Match[str]) -> bool:
    longer = re.match(_loosely(key(name)), text[start:], re.IGNORECASE)
    return longer is not None and m.start() < start + longer.end()


def _loosely(name: str) -> str:
    return r"[ ./-]{0,2}".join(re.escape(c) for c in name)


def _carried_on(text: str, start: int, name: str, by_key: dict[str, str]) -> Iterator[tuple[int, str]]:
    """Models that go on a list without repeating their first letters."""
    stem = re.match(r"[A-Z]{1,6}", key(name))
    held = re.match(_loosely(key(name)), text[start:], re.IGNORECASE)
    if stem is None or held is None:
        return
    at = start + held.end()
    while (
        m := re.match(r"\s?(?:,|/|&|\+|and|or|to)\s?([0-9]{1,5}[A-Z]{0,3})(?![\w])", text[at : at + 40])
    ) is not None:
        model = by_key.get(stem[0] + key(m[1]))
        if model is None:
            return
        yield at + m.start(1), model
        at += m.end()


def _ranged(applies: Applies, texts: Sequence[str]) -> Applies:
    """The one serial range that the opening lines give."""
    read = [a for t in texts if _speaks_of_serials(t) and (a := read_applies(t)) is not None]
    ranges = {(a.serial_from, a.serial_to) for a in read} - {(None, None)}
    if len(ranges) != 1:
        return applies
    held = next(a for a in read if (a.serial_from, a.serial_to) in ranges)
    return replace(
        applies,
        serial_from=held.serial_from,
        serial_to=held.serial_to,
        excepted=held.excepted,
        as_printed=applies.as_printed or held.as_printed,
        unclear=tuple(dict.fromkeys((*applies.unclear, *held.unclear))),
    )


_SERIALS = re.compile(
    r"\b(?:serials?|s/?n(?:os?)?|nos?\.?|numbers?|from|up|onwards?|through|thru|upwards|above|inclusive|incl)\b",
    re.IGNORECASE,
)


def _speaks_of_serials(text: str) -> bool:
    return bool(_SERIALS.search(text)) and bool(re.search(r"[0-9]{3,}", text))


def _told(doubt: str, applies: Applies) -> bool:
    """True for a doubt about units in words that have been read since."""
    quoted = re.search(r"“([^”]{1,300})”", doubt)
    if quoted is None or not doubt.startswith(("the text limits units", "units may be named")):
        return False
    bounds = {key(b) for b in (applies.serial_from, applies.serial_to) if b}
    numbers = {key(n) for n in re.findall(r"[0-9]{3,}", quoted[1])}
    return bool(numbers) and all(any(n in b for b in bounds) for n in numbers)
