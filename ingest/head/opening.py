"""A head completed from its opening lines where no label names a field.

Every maker lays out his heads in his own way: `MOD 41 / Mk 9 / 31 March 1993`. What the labels leave open is
taken from the opening lines; models are those that the shop's manuals name.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Finding, Source
from benchleaf.ingest.head.dates import find_dates, order_of
from benchleaf.ingest.head.knownmodels import Known, known_models
from benchleaf.ingest.head.openingnumbers import SURE, is_number, outstanding
from benchleaf.ingest.head.openingunits import limited
from benchleaf.ingest.shapes import Header, LaidPage, Line

__all__ = ["Known", "completed", "known_models", "opening"]

_OPENING = 14  # lines
_NEXT_SENTENCE = re.compile(r"[A-Za-z0-9]{2}[a-z0-9]\. [A-Z]")  # a sentence ends within the line
_PROSE = 9  # words from which a line that ends a sentence is running text


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
    body = " ".join(li.text for p in pages for li in p.lines)
    return limited(header, [li.text for li in lines], _first_sentence(page, lines), body[:60_000], known)


def opening(page: LaidPage) -> tuple[Line, ...]:
    """The lines of a sheet above its first running text, at most fourteen."""
    found: list[Line] = []
    for line in (*page.heads, *page.lines[:_OPENING]):
        words = line.text.split()
        if len(words) >= _PROSE and (
            words[-1].endswith(".")
            or _NEXT_SENTENCE.search(line.text)
            or (found and _goes_on(line.text, found[-1].text))
        ):
            break
        found.append(line)
    return tuple(found) or tuple(page.lines[:1])


def _goes_on(text: str, above: str) -> bool:
    """True if a line goes on with the sentence above; `concerning …` below a title or date is of the head."""
    if not text[:1].islower() or re.match(r"(?:to|for|re|regarding|concerning|about|on|of|in)\s", text):
        return text[:1].islower() and len(above.split()) >= _PROSE
    return len(above.split()) >= 6 and not find_dates(above)


def _first_sentence(page: LaidPage, lines: Sequence[Line]) -> str:
    """The first sentence of the running text: a letter names its units there."""
    own = {id(line) for line in lines[-2:]}  # a sentence may begin in the last of the opening lines
    at = next((i for i, li in enumerate(page.lines) if id(li) in own), 0)
    text = " ".join(li.text for li in page.lines[at : at + 8])
    whole = re.split(r"(?<=[a-z0-9)][a-z0-9)])\.\s(?=[A-Z])|(?<=[,:])\s(?=[A-Z][a-z]+\s[a-z])", text[:600])
    return next((t for t in whole if len(t.split()) >= _PROSE), "")[:300]


def _dated(header: Header, lines: Sequence[Line], pages: Sequence[LaidPage]) -> Header:
    """The one date of the opening lines, where no label gave one, or where it bears out the note's foot."""
    foot = any("from the end of the note" in u for u in header.unclear)
    if header.date is not None and not foot:
        return header
    order = order_of(find_dates("\n".join(li.text for p in pages for li in p.lines)[:60_000]))
    read = [r for line in lines for r in find_dates(line.text, order) if r.date is not None]
    sure = [r for r in read if r.doubt is None] or read
    days = {r.date for r in sure}
    if len(days) != 1 or (foot and header.date not in days):
        return header
    unclear = tuple(u for u in header.unclear if "no date" not in u and "from the end of the note" not in u)
    doubts = tuple(r.doubt for r in sure if r.doubt)[:1]
    return replace(header, date=days.pop(), unclear=(*unclear, *doubts))


def _numbered(header: Header, page: LaidPage, lines: Sequence[Line], file: str, known: Known) -> Header:
    """The number that stands out in the opening lines, where no label gave one."""
    right = header.number is not None and is_number(header.number, known)
    guessed = [u for u in header.unclear if u.startswith("the number ") and "is taken from the line" in u]
    if right and not guessed:
        return header
    body = " ".join(line.text for line in page.lines[len(lines) :])
    best = outstanding(lines, header, known, body)
    if best is None:  # a manual's number or a model is none of the note's
        return header if right else replace(header, number=None)
    if right and key(best.number) != key(header.number or ""):
        return header
    told = f"the note's number, {best.number}, was taken from its opening lines; no label names it"
    unclear = tuple(u for u in header.unclear if u not in guessed)
    doubts = () if best.evidence >= SURE else (told,)
    finding = Finding(told, Source(file, page.sheet))
    number = header.number if right else best.number
    return replace(header, number=number, unclear=(*unclear, *doubts), findings=(*header.findings, finding))
