"""The printer's line at a sheet's foot: a form's number, an address. It tells nothing of parts."""

import re
from collections.abc import Sequence
from dataclasses import replace

from benchleaf.ingest.shapes import LaidPage, Line

_ZONE = 0.85  # share of the sheet's height below which a printer's line stands
_LEVEL = 3.0  # points by which the words of one row may differ in height
_PARTED = 1.0  # ems of free height above it, at least
_CUE = re.compile(
    r"\b(?:form(?:\.|ular)?:?(?: no\.?| nr\.?)? ?(?=[0-9A-Z.-]{0,8}[0-9])[0-9A-Z]|litho(?:graph)?\b"
    r"|printed (?:in|by)\b|tel(?:efon|ephone|ex)?\b ?[.:]? ?[+(]?[0-9]|(?:tele)?fax\b ?[.:]? ?[+(]?[0-9]"
    r"|postfach|p\. ?o\. ?box|copyright|all rights reserved|www\.|änderungen vorbehalten|subject to"
    r" (?:alterations?|change)|registered (?:office|in)\b)|©|[a-z0-9.]{2,30}@[a-z0-9]",
    re.IGNORECASE,
)
_TELLS = re.compile(
    r"\b(?:replac|supersed|cancel|delet|instead|appl|valid|serial|only|torque|step|item|shall|must|changed)",
    re.IGNORECASE,
)


def without_imprint(page: LaidPage) -> LaidPage:
    """The page without the printer's line: the lowest row, set apart, that bears an address or a form's
    number and says nothing of parts or steps. It may run below two columns of text."""
    last = max((li.box.top for li in page.lines), default=0.0)
    if last < _ZONE * page.height:
        return page
    row = [li for li in page.lines if abs(li.box.top - last) < _LEVEL]
    if not _is_imprint(row) or not _stands_apart(row, page.lines):
        return page
    gone = {id(li) for li in row}
    return replace(page, lines=tuple(li for li in page.lines if id(li) not in gone))


def _is_imprint(row: Sequence[Line]) -> bool:
    words = " ".join(li.text for li in sorted(row, key=lambda li: li.box.x0))
    return _CUE.search(words) is not None and _TELLS.search(words) is None


def _stands_apart(row: Sequence[Line], lines: Sequence[Line]) -> bool:
    """True if free height parts the row from all words above it, or small type tells it from them."""
    top, size = min(li.box.top for li in row), max(li.size for li in row)
    above = [li for li in lines if li.box.bottom <= top + _LEVEL and li not in row]
    if not above:
        return False
    nearest = max(li.box.bottom for li in above)
    return top - nearest > _PARTED * size or size < 0.93 * max(li.size for li in above[-8:])
