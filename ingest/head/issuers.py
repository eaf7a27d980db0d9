"""Whose paper it is: the maker's name in a line that may name a department too."""

import re

from benchleaf.ingest.head.fields import packaged, plain

_COMPANY = re.compile(
    r"\b(?:ltd|limited|inc|corp|corporation|company|co|plc|llc|gmbh|ag|kg|works|werke?|bros|brothers|sons?"
    r"|industries|drives|gears?|transmissions|pumps|hydraulics?)\b\.?$|\s&\s",
    re.IGNORECASE,
)


def maker_of(text: str) -> str:
    """The maker's name in a sender's line; the whole line where it names no department, or nothing else.

    >>> maker_of("service office, Norbeck Gear Works")
    'Norbeck Gear Works'
    """
    parts = [p.strip() for p in text.split(",") if p.strip()]
    others = [p for p in parts if not _is_department(p)]
    if not others or len(others) == len(parts):
        return text.strip()
    return next((p for p in others if is_company(p)), others[-1])


def names_department(text: str) -> bool:
    """True for a sender's line that names departments only.

    >>> names_department("Product Support"), names_department("Norbeck Gear Works")
    (True, False)
    """
    parts = [p.strip() for p in text.split(",") if p.strip()]
    return bool(parts) and all(map(_is_department, parts))


def is_company(text: str) -> bool:
    """True if a name has the form of a company's: `Halden & Voss`, `Brandt Pumps`, `Lind AG`."""
    return _COMPANY.search(text.strip()) is not None


def _is_department(part: str) -> bool:
    """True for `service office`, `Technical Publications`: no company's form, a department's words."""
    if is_company(part):
        return False
    book = packaged()
    words = plain(part).split()
    known = book.departments | set(book.sorts) | {"technical", "and", "&", "of", "the"}
    return bool(words) and (words[-1] in book.departments or all(w in known for w in words))
