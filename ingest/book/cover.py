"""A manual's identity as printed: publication number, title, issuer, edition, date and models."""

import datetime as dt
import re
from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.ingest.book.identity import (
    edition_of,
    is_address,
    models_in,
    number_in,
    starts_as_number,
    without_fields,
)
from benchleaf.ingest.head.dates import find_dates
from benchleaf.ingest.shapes import LaidPage, Line

_FRONT_SHEETS = 3
_KINDS_OF_BOOK = re.compile(
    r"\b(?:manual|handbook|hand book|workshop|instructions?|book|guide|catalogue|catalog|overhaul|repair|"
    r"service|maintenance|procedures?)\b",
    re.IGNORECASE,
)
_COMPANY = re.compile(
    r"\b(?:ltd|limited|inc|incorporated|corp|corporation|company|co|plc|llc|gmbh|ag|kg|s\.?a|s\.?p\.?a|b\.?v|n\.?v|oy|ab|"
    r"works|bros|brothers|& sons?|industries|engineering)\b\.?",
    re.IGNORECASE,
)
_COPYRIGHT = re.compile(
    r"(?:©|\(c\)|copyright)\s{0,2}(?:©|\(c\))?\s{0,2}(?:[0-9]{4}[,\s–-]{0,3}){0,3}(?P<who>[^.,;]{2,60})",
    re.IGNORECASE,
)
_PUBLISHED = re.compile(
    r"(?:published|issued|produced)\s(?:and\s\w{1,12}\s)?by\s(?P<who>[^.,;]{2,60})", re.IGNORECASE
)
_YEAR = re.compile(r"(?<![0-9A-Za-z./-])(?P<y>19[3-9][0-9]|20[0-4][0-9])(?![0-9A-Za-z/-])")


@dataclass(frozen=True, slots=True)
class CoverReading:
    """What the cover and the running heads say; None where they do not. `unclear` holds doubts in plain
    words.

    `labelled` is True if a label such as `Publication No.` stood before the number.
    """

    number: str | None = None
    title: str | None = None
    issuer: str | None = None
    edition: str | None = None
    date: dt.date | None = None
    models: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()
    labelled: bool = False


def read_cover(pages: Sequence[LaidPage], has_items: Collection[int] = ()) -> CoverReading:
    """Read the identity of a publication. `has_items` are the indices of pages with steps: no cover is
    among them."""
    front = _front(pages, has_items)
    heads = [line for page in pages for line in (*page.heads, *page.feet)]
    first = [li.text for li in front if li.sheet == front[0].sheet]
    models = _models(first) or _models([li.text for li in front])
    number, labelled, doubt = _number(front, heads, pages, models)
    models = models or _models(_once(li.text for li in heads), least=1.9)
    date, date_doubt = _date([*(li.text for li in front), *_once(li.text for li in heads)])
    return CoverReading(
        number=number,
        title=_title(front),
        issuer=_issuer(front, heads),
        edition=edition_of([*(li.text for li in front), *_once(li.text for li in heads)]),
        date=date,
        models=tuple(m for m in models if number is None or key(m) != key(number)),
        unclear=tuple(d for d in (doubt, date_doubt) if d),
        labelled=labelled,
    )


def _front(pages: Sequence[LaidPage], has_items: Collection[int]) -> list[Line]:
    """Lines of the sheets before the first step, three at most."""
    lines: list[Line] = []
    for index, page in enumerate(pages[:_FRONT_SHEETS]):
        if index in has_items:
            break
        if index == 0 or len(page.lines) < 60:
            lines.extend((*page.heads, *page.lines, *page.feet))
    return lines


def _once(texts: Iterable[str]) -> list[str]:
    """Texts in order of first appearance, each once."""
    return list(dict.fromkeys(texts))


def _number(
    front: Sequence[Line], heads: Sequence[Line], pages: Sequence[LaidPage], models: Sequence[str]
) -> tuple[str | None, bool, str | None]:
    """The publication's number, whether a label named it, and a doubt about it."""
    folios = {p.folio for p in pages if p.folio}
    found = [n for line in front for n in _numbers_in(line, folios)]
    found += dict.fromkeys(n for line in heads for n in _numbers_in(line, folios))
    if found:
        best = max(found, key=lambda n: n[1])
        return best[0], True, _rivals(best, found)
    named = {key(m) for m in models}
    alone, repeated = _cover_numbers(front, folios, named), _repeated_numbers(pages, named)
    agreed = [n for k, n in alone.items() if any(key(r).startswith(k) for r in repeated)]
    if agreed:
        return max(agreed, key=len), False, None
    if not repeated:
        return _lone_number(list(alone.values()))
    doubt = f"the publication number {repeated[0]} was taken from the running heads; no label names it"
    return repeated[0], False, doubt


def _cover_numbers(front: Sequence[Line], folios: Collection[str], models: Collection[str]) -> dict[str, str]:
    """Numbers that stand by themselves on the cover, as `KM 310` under the title, or end the title itself."""
    cover = [li for li in front if li.sheet == front[0].sheet and not is_address(li.text)] if front else []
    said = [n for li in cover for n in (li.text.strip(), _behind_title(li)) if n]
    return {
        key(n): n
        for n in said
        if len(n.split()) <= 3
        and starts_as_number(n) == n
        and re.search(r"[A-Za-z./-]", n)
        and n not in folios
        and key(n) not in models
        and not _dated(n)
    }


def _behind_title(line: Line) -> str | None:
    """The number that ends a short line which names the book: `REPAIR INSTRUCTION RI 412`."""
    books = list(_KINDS_OF_BOOK.finditer(line.text))
    if not books or len(line.words) > 8:
        return None
    return line.text[books[-1].end() :].strip(" :–-") or None


def _dated(text: str) -> bool:
    """True for a date, `10/1984` too."""
    return bool(find_dates(text)) or re.fullmatch(r"[0-9]{1,2}[./-](?:19|20)[0-9]{2}", text) is not None


def _lone_number(found: Sequence[str]) -> tuple[str | None, bool, str | None]:
    """The only number on the cover; two of them tell nothing."""
    if len(found) != 1:
        return None, False, None
    number = found[0]
    return number, False, f"the publication number {number} stands alone on the cover; no label names it"


def _numbers_in(line: Line, folios: Collection[str]) -> Iterable[tuple[str, float]]:
    """Labelled numbers of a line in parts set apart by wide gaps; a label may stand apart from its number."""
    parts = [p for p in parts_of(line) if p not in folios]
    for at, part in enumerate(parts):
        found = number_in(part) or number_in(" ".join(parts[at : at + 2]))
        if found:
            yield found
            return


def parts_of(line: Line) -> list[str]:
    """The words of a line in groups, cut where the gap is wider than two blanks."""
    groups: list[list[str]] = [[]]
    for at, word in enumerate(line.words):
        if at and word.box.x0 - line.words[at - 1].box.x1 > 0.9 * word.size:
            groups.append([])
        groups[-1].append(word.text)
    return [" ".join(g) for g in groups]


def _rivals(best: tuple[str, float], found: Sequence[tuple[str, float]]) -> str | None:
    others = {key(n): n for n, worth in found if worth == best[1] and key(n) != key(best[0])}
    if not others:
        return None
    listed = ", ".join((best[0], *others.values()))
    return f"several publication numbers are printed: {listed}; the first was taken"


def _repeated_numbers(pages: Sequence[LaidPage], models: Collection[str]) -> list[str]:
    """Numbers without a label in the running head or foot of most sheets, the most frequent first."""
    counted: Counter[str] = Counter()
    with_heads = 0
    for page in pages:
        lines = [*(page.heads or _small(page, page.lines[:1])), *(page.feet or _small(page, page.lines[-1:]))]
        with_heads += bool(lines)
        counted.update({n for line in lines for n in _edge_numbers(line) if key(n) != key(page.folio or "")})
    common = [
        n
        for n, count in counted.items()
        if 2 * count > with_heads and key(n) not in models and not _YEAR.fullmatch(n) and not _dated(n)
    ]
    return sorted(common, key=lambda n: (-counted[n], -len(n)))


def _small(page: LaidPage, lines: Sequence[Line]) -> list[Line]:
    """The lines that are set smaller than the rest of the sheet: they may be a running head."""
    sizes = sorted(li.size for li in page.lines)
    return [li for li in lines if li.size < 0.9 * sizes[len(sizes) // 2]]


def _edge_numbers(line: Line) -> Iterable[str]:
    """Document numbers in a running head: at either end, or standing apart between them."""
    parts = parts_of(line)
    yield from (p for p in parts[1:-1] if starts_as_number(p) == p)
    first = starts_as_number(parts[0]) or starts_as_number(line.text)
    if first:
        yield first
    words = parts[-1].split() if len(parts) > 1 else line.text.split()
    for size in (2, 1):
        tail = " ".join(words[-size:])
        if (len(words) > size or len(parts) > 1) and starts_as_number(tail) == tail:
            yield tail
            return


def _date(texts: Sequence[str]) -> tuple[dt.date | None, str | None]:
    for text in texts:
        for reading in find_dates(text[:300]):
            if reading.date is not None:
                return reading.date, f"date of the publication: {reading.doubt}" if reading.doubt else None
    for text in texts:
        m = _YEAR.search(text[:300])
        if m and not is_address(text):
            doubt = f"date of the publication: “{m['y']}” gives no day; the first of the year is taken"
            return dt.date(int(m["y"]), 1, 1), doubt
    return None, None


def _models(texts: Sequence[str], least: float = 0.9) -> tuple[str, ...]:
    """The models of the line that most looks like a list of them; a list may run on over lines."""
    best: tuple[float, tuple[str, ...]] = (least, ())
    for at, text in enumerate(texts):
        while text.rstrip().endswith((",", " and", " &", "/")) and at + 1 < len(texts):
            at += 1
            text = f"{text} {texts[at]}"
        worth, models = models_in(text)
        if models and worth > best[0]:
            best = (worth, models)
    return best[1]


def _title(front: Sequence[Line]) -> str | None:
    """The line that says what book it is, with the line of what it is about; else the largest line."""
    books = [
        li
        for li in front
        if _KINDS_OF_BOOK.search(li.text) and len(li.words) <= 10 and not number_in(li.text)
    ]
    if not books:
        return None
    main = max(books, key=lambda li: (li.size, -li.box.top))
    same = [
        li for li in books if li is not main and abs(li.size - main.size) < 0.6 and li.sheet == main.sheet
    ]
    parts = sorted({id(li): li for li in (main, *same[:1])}.values(), key=lambda li: li.box.top)
    about = next(
        (li for li in front if li not in parts and li.sheet == main.sheet and models_in(li.text)[0] >= 1.5),
        None,
    )
    words = [without_fields(li.text) for li in parts] + ([without_fields(about.text)] if about else [])
    return ", ".join(w for w in words if w) or None


def _issuer(front: Sequence[Line], heads: Sequence[Line]) -> str | None:
    """Who issued it: by a company's form, after `published by` or a copyright sign, else the largest or
    first line."""
    texts = [li.text for li in (*front, *heads)]
    for text in texts:
        m = _PUBLISHED.search(text[:300])
        if m:
            return m["who"].strip()
    cover = [li for li in front if li.sheet == front[0].sheet and _may_be_issuer(li)] if front else []
    companies = [li for li in cover if _COMPANY.search(li.text)]
    if companies:
        return _without_rights(max(companies, key=lambda li: li.size).text)
    for text in texts:
        m = _COPYRIGHT.search(text[:300])
        if m and not m["who"].strip().isdigit():
            return m["who"].strip()
    return _largest_or_first(front, cover)


def _without_rights(text: str) -> str:
    """A company's name without the copyright sign and years before it."""
    m = _COPYRIGHT.search(text[:300])
    return m["who"].strip() if m and _COMPANY.search(m["who"]) else text.strip()


def _may_be_issuer(line: Line) -> bool:
    text = line.text
    if len(line.words) > 6 or number_in(text) or edition_of([text]) or is_address(text):
        return False
    return (sum(c.isalpha() for c in text) > 2 and not text.rstrip().endswith(".")) or bool(
        _COMPANY.search(text)
    )


def _largest_or_first(front: Sequence[Line], cover: Sequence[Line]) -> str | None:
    plain = [li for li in cover if not _KINDS_OF_BOOK.search(li.text) and models_in(li.text)[0] < 1]
    if not plain:
        return None
    largest = max(plain, key=lambda li: (li.size, -li.box.top))
    top = max((li.size for li in front), default=0.0)
    if largest.size >= 0.95 * top or plain[0] is largest or plain[0] is front[0]:
        return (largest if largest.size > plain[0].size + 0.5 else plain[0]).text.strip()
    return None
