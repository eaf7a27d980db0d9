"""The number of a note among all that stands in its opening lines, where no label names it."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.ingest.head.dates import find_dates
from benchleaf.ingest.head.fields import packaged, plain
from benchleaf.ingest.head.knownmodels import Known
from benchleaf.ingest.head.notenumbers import is_thread
from benchleaf.ingest.head.notetitles import is_kind_only
from benchleaf.ingest.head.segments import segments_of
from benchleaf.ingest.shapes import Header, Line

ENOUGH, MARGIN, SURE = 5.0, 1.0, 3.0
"""Weight from which a number is taken, its lead over the next, and the evidence from which it is sure."""
_LEAST = 1.5  # evidence without which a place near the top counts nothing: `Thrust washer K4512`
_NUMBER = re.compile(
    r"(?<![\w./-])(?:(?:[A-ZÀ-Ý]{1,3}[ .-]){0,2}[A-ZÀ-Ý]{1,6}[ ./-]{0,2}[0-9]{1,5}"
    r"(?:[ ]?[/.-][ ]?[0-9A-Z]{1,5}){0,3}"
    r"|[A-ZÀ-Ý]{1,4}(?:/[0-9]{1,4}){1,3}|[0-9]{1,5}[A-Z]?[/-][0-9]{2,4})(?![\w]|[.,/-][0-9])"
)
_PARTS = re.compile(r"\s[/·•|–—]\s|\s-\s|;\s|,\s|[\[\]]")
_UNITS = (
    r"models?|types?|units?|machines?|gearbox(?:es)?|brakes?|pumps?|clutch(?:es)?|motors?|winch(?:es)?"
    r"|transmissions?"
)
_OTHERS = re.compile(
    rf"\b(?:manual|handbook|book|publication|instructions?|catalogue|{_UNITS}|serials?|nos|"
    r"numbers|s/n|kit|kits|part|parts|p/n|ring|seal|plate|disc|pages?|p|pp|sheet|tel|telephone|fax|phone|box|road|street|"
    r"floor|works|sae|iso|din|en|vg|rev|revision|issue|edition|form|supersedes|replaces|cancels|see|dated|group|section|"
    r"chapter|item|step|steps|operation|op|para|figure|fig|table|attn|order|account|grade|class|category|week|zip"
    r"|bearing|washer|gasket|spring|screw|bolt|shaft|housing|valve|piston|hub|bush|circlip|gear|tool|drawing)\.?,?:?$",
    re.IGNORECASE,
)
_ANYWHERE = re.compile(
    rf"^(?:{_UNITS}|serials?|part|parts|p/n)\b|\b(?:tel|telephone|phone|telefax|fax|manual|handbook|supersedes|replaces"
    r"|cancels|your ref|drawing)\b[.:]?\s",
    re.IGNORECASE,
)
_NAMED = re.compile(
    r"(?:\bno|\bnr|\bn°|\bnum(?:ber)?|\bref|\breference|\bfile|\bour\s(?:sign|mark)|#|№)[\s.:…]*$",
    re.IGNORECASE,
)
_YOURS = re.compile(
    r"\b(?:your|order|part|drawing|serial|customer)\s(?:ref|reference|no|nr|number)[\s.:…]*$", re.IGNORECASE
)
_PAGE = re.compile(r"(?:p|s|page|sheet|blatt|seite)\.? ?[0-9]{1,3} ?(?:/|of) ?[0-9]{1,3}", re.IGNORECASE)
_UNIT = re.compile(r"\s?(?:mm|cm|nm|n·m|bar|psi|kpa|°|lb|ft|in\b|kg|rpm|l\b|%)", re.IGNORECASE)
_MONTHS = re.compile(
    r"(?:JAN|FEB|MAR|APR|MAY|JUN|JUL|AUG|SEPT?|OCT|NOV|DEC|[A-Z]{2,9}(?:UARY|BER|IL|UST|CH|NE|LY))\b"
)
_STANDARD = re.compile(r"(?:DIN|ISO|SAE|EN|API|ASTM|ANSI|VG)[ -]?[0-9]")
_PAPER = re.compile(
    r"(?:^|\s)(?:slip|list|leaflet|article|sheet|form|card|notice|note|letter|circular|bulletin|memo|memorandum|message"
    r"|information|info|advice|mod|modification|amendment|telex|fax|telefax|report|update|news|newsletter|paper)s?(?:\s|$)"
)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A number of the opening lines: what speaks for it, and its weight with its place near the top."""

    number: str
    evidence: float
    weight: float
    place: int


def outstanding(lines: Sequence[Line], header: Header, known: Known, body: str) -> Candidate | None:
    """The one number that stands out in the opening lines; None if none does, or two alike."""
    found = sorted(_candidates(lines, header, known, body), key=lambda c: (-c.weight, c.place))
    if not found or found[0].weight < ENOUGH or found[0].evidence < _LEAST:
        return None
    best = found[0]
    rivals = [c for c in found if key(c.number) != key(best.number)]
    return None if rivals and best.weight - rivals[0].weight < MARGIN else best


def is_number(number: str, known: Known) -> bool:
    """False for what only looks like a note's number: a page count, a model, a manual."""
    if _PAGE.fullmatch(number):
        return False
    return key(number) not in {key(n) for n in (*known.models, *known.publications)}


def _candidates(lines: Sequence[Line], header: Header, known: Known, body: str) -> Iterator[Candidate]:
    for index, line in enumerate(lines):
        dated = 1.5 * bool(find_dates(line.text))
        place = max(0.0, 4.0 - 0.5 * index)
        headed = index > 0 and is_kind_only(lines[index - 1].text)
        if _ANYWHERE.match(line.text):
            continue
        for part, bracketed in _parts(line):
            for m in _NUMBER.finditer(part):
                number = " ".join(m[0].split())
                if _strange(number, part, m, known) or _of_units(number, header):
                    continue
                if (
                    is_thread(number)
                    and not _of_year(number, header)
                    and not _NAMED.search(part[: m.start()])
                ):
                    continue
                evidence = _evidence(number, part, m, header) + 3.0 * bracketed
                evidence += 1.5 * (headed and m.start() == 0)
                said = len(re.findall(rf"(?<![\w-]){re.escape(number)}(?![\w-])", body))
                yield Candidate(number, evidence, evidence + dated + place - min(4.0, 2.0 * said), index)


def _parts(line: Line) -> Iterator[tuple[str, bool]]:
    """The parts of a line that stand apart, and whether brackets hold one."""
    for segment in segments_of(line, None):
        held = re.findall(r"\[([^\[\]]{1,40})\]", segment.text)
        yield from ((p.strip(), p in held) for p in _PARTS.split(segment.text) if p and p.strip())


def _of_units(number: str, header: Header) -> bool:
    """True for a model or a serial number that the head names."""
    a = header.applies
    return key(number) in {
        key(n) for n in (*a.models, *a.excepted, *a.kits, a.serial_from or "", a.serial_to or "")
    }


def _strange(number: str, part: str, m: re.Match[str], known: Known) -> bool:
    """True for a number that is plainly something else's."""
    before = part[: m.start()].rstrip(" :.…")
    if not is_number(number, known) or _MONTHS.match(number.upper()) or _UNIT.match(part[m.end() :]):
        return True
    if _STANDARD.match(number):
        return True
    if any(r.span[0] < m.end() and r.span[1] > m.start() for r in find_dates(part)):
        return True
    if _ANYWHERE.search(part[: m.start()]) or _YOURS.search(part[: m.start()]):
        return True
    return bool(_OTHERS.search(before)) and not _NAMED.search(before) and not _paper(before)


def _paper(before: str) -> bool:
    """True if the words before a number are a heading that names a sort of paper: `CORRECTION SLIP`."""
    words = before.split()
    heading = 0 < len(words) <= 7 and words[0][:1].isupper() and plain(words[0]) not in packaged().no_names
    return heading and _PAPER.search(plain(before)) is not None and not re.search(r"[.;]\s", before)


def _of_year(number: str, header: Header) -> bool:
    """True if the year of the note is in a number."""
    return header.date is not None and f"{header.date.year % 100:02d}" in number


def _evidence(number: str, part: str, m: re.Match[str], header: Header) -> float:
    """What speaks for a number: it stands alone, a word names it, the year of the note is in it."""
    before = part[: m.start()]
    named = _NAMED.search(before) or any(plain(before).endswith(k) for k in packaged().kinds if plain(before))
    year = _of_year(number, header)
    evidence = 3.0 * (part.strip(" .:#") == m[0]) + 1.0 * (m.start() == 0)
    evidence += 3.0 * bool(named or _paper(before))
    return evidence + 1.0 * year + 0.5 * bool(re.match(r"[A-ZÀ-Ý]{1,5}", number))
