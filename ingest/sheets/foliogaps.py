"""Page numbers that OCR lost or misread, told from the sheets around them where the count proves them."""

from collections.abc import Sequence

from benchleaf.graph.standing import SURE_OCR
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.folios import Folio, bare_sign
from benchleaf.ingest.sheets.lines import Row, pieces, text_of
from benchleaf.ingest.sheets.outerrows import Edge

_REACH = 4  # sheets without a readable number over which a count is followed
_LONGEST = 12  # signs at a page number's place, at most
_SLOT = 12.0  # points by which its height may differ


def completed(
    found: Sequence[Folio | None], pages: Sequence[Page], edges: Sequence[Sequence[Edge]]
) -> list[Folio | None]:
    """The page numbers with those of sheets read by OCR filled in where the count leaves one number only.

    A sheet between two whose numbers differ by just the sheets between them bears the number of the count,
    unless it clearly shows another. Beyond the last number, or before the first, the count alone proves
    nothing, since pages may be missing there: a sign that looks like the number must stand at its place.
    """
    made = list(found)
    for at, (page, one) in enumerate(zip(pages, edges, strict=True)):
        if found[at] is not None or not (page.by_ocr and page.words):
            continue
        made[at] = _between(found, at, one) or _beside(found, at, one)
    return made


def _between(found: Sequence[Folio | None], at: int, edges: Sequence[Edge]) -> Folio | None:
    """The number between two proven ones."""
    before, after = _nearest(found, at, -1), _nearest(found, at, 1)
    if before is None or after is None or not _counts(found, before, after):
        return None
    wanted = _counted(found, before, at)
    if wanted is None:
        return None
    signs = _signs(wanted, edges)
    like = [s for s in signs if _looks_like(text_of(s), wanted.printed)]
    if not like and any(_says_another(s) for s in signs):
        return None
    blurred = [s for s in signs if all(w.confidence < SURE_OCR for w in s)]
    return wanted._replace(row=next(iter([*like, *blurred]), ()))


def _beside(found: Sequence[Folio | None], at: int, edges: Sequence[Edge]) -> Folio | None:
    """The number next to two proven ones on one side, if a sign at its place looks like it."""
    for way in (-1, 1):
        near = _nearest(found, at, way)
        far = _nearest(found, near, way) if near is not None else None
        if near is None or far is None or not _counts(found, min(near, far), max(near, far)):
            continue
        wanted = _counted(found, near, at)
        like = [s for s in _signs(wanted, edges) if _looks_like(text_of(s), wanted.printed)] if wanted else []
        if wanted is not None and like:
            return wanted._replace(row=like[0])
    return None


def _nearest(found: Sequence[Folio | None], at: int, way: int) -> int | None:
    """The next sheet that bears a number, towards the front (-1) or the back (1)."""
    near = (at + way * step for step in range(1, _REACH + 1))
    return next((i for i in near if 0 <= i < len(found) and found[i] is not None), None)


def _counts(found: Sequence[Folio | None], first: int, last: int) -> bool:
    """True if two numbers are of one chapter and differ by just the sheets between them."""
    a, b = found[first], found[last]
    if a is None or b is None or a.insert or b.insert or a.front != b.front:
        return False
    return b.value - a.value == last - first and _stem(a) is not None and _stem(a) == _stem(b)


def _stem(folio: Folio) -> str | None:
    """What is printed before the number itself: `4-` of 4-12; None where figures do not end it, as in xii."""
    number = str(folio.value)
    return folio.printed[: -len(number)].rstrip("0") if folio.printed.endswith(number) else None


def _counted(found: Sequence[Folio | None], known: int, at: int) -> Folio | None:
    """The number of a sheet by the count from one that is known; None before the first page."""
    folio = found[known]
    stem = _stem(folio) if folio is not None else None
    if folio is None or stem is None or folio.value + at - known < 1:
        return None
    value = folio.value + at - known
    width = len(folio.printed) - len(stem) if folio.printed[len(stem) :].startswith("0") else 0
    return folio._replace(printed=f"{stem}{value:0{width}d}", value=value, row=())


def _signs(wanted: Folio, edges: Sequence[Edge]) -> list[Row]:
    """The short pieces at the place where the page number is printed on the sheets around."""
    level = [e for e in edges if e.at_foot == wanted.at_foot and abs(e.top - wanted.level) < _SLOT]
    parts = (part for edge in level for part in pieces(edge.row, 1.2 * edge.size))
    return [part for part in parts if len(text_of(part)) <= _LONGEST]


def _looks_like(text: str, wanted: str) -> bool:
    """True if as many signs stand there as the number has, one in two of them the very figure."""
    sign = bare_sign(text)
    alike = sum(a == b for a, b in zip(sign, wanted, strict=False))
    return len(sign) == len(wanted) and alike * 2 >= len(wanted)


def _says_another(row: Row) -> bool:
    """True if a number stands there that was read without doubt."""
    figures = bare_sign(text_of(row)).isdecimal()
    return figures and all(w.confidence >= SURE_OCR for w in row)
