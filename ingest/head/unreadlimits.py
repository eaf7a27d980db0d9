"""What a line at the head says of its units beyond what was read: "KX-4 of 1987 production", "> 4000".

Such a line limits the note; nothing read of it would let the note hold for every unit.
"""

import re
from collections.abc import Iterable, Iterator, Sequence

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies
from benchleaf.ingest.head.dates import find_dates
from benchleaf.ingest.head.fields import packaged, plain
from benchleaf.ingest.head.models import EXCEPT

_SPEAKS = re.compile(
    r"(?:only |also )?(?:appl(?:ies|icable|y)(?: only)? (?:to|for|on)|to all|to owners of|valid(?: only)? for"
    r"|concern(?:s|ing)|affect(?:s|ed|ing)|effectiv(?:e|ity)|range|ending with|starting with|beginning with"
    r"|units?|machines?|models?|types?|gearbox(?:es)?|pumps?|brakes?|clutch(?:es)?)\b:?",
    re.IGNORECASE,
)
_SIGNS = re.compile(
    r"(?:[<>≤≥]=?\s?[0-9]{3}|[0-9]{3,12}\s?(?:ff\b|et seq|\+$)|nos?\.?\s[0-9]{3})", re.IGNORECASE
)
_UP = re.compile(r"(?<![0-9])([0-9]{3,12})[A-Z]{0,2}\s?[-–]\s?(?:up|on|onwards?)\b", re.IGNORECASE)
_FIGURES = re.compile(
    r"(?<![0-9A-Za-z./-])(?<!\b[A-Z] )(?<!\b[A-MO-Z][A-Z] )(?<!\b[A-Z]{3} )[0-9]{3,12}(?![0-9A-Za-z.-])"
)
"""Figures that stand alone: not those of "KV 210", "GR850" or a part number."""
_LIMITS = re.compile(
    r"\b(?:before|after|since|until|prior|earlier|later|only|built|made|produced|production|delivered|supplied|shipped|exported"
    r"|export|prefix|suffix|with|without|fitted|equipped|in|first|last|previous|following|old|new|early|late)\b(?!:)",
    re.IGNORECASE,
)
_MOST_WORDS = 14


def unread_limits(
    texts: Sequence[str], applies: Applies, models: Iterable[str], others: Iterable[str]
) -> tuple[str, ...]:
    """Doubts about opening lines that speak of units and hold figures or limiting words that were not read.

    `models` are those of the held manuals, `others` what else may stand there: the note's own number,
    publications.
    """
    if applies.unclear:
        return ()
    names = [*applies.models, *models, *others, *applies.kits]
    found = (
        f"“{t.strip()}” was not wholly understood ({left})"
        for t in texts
        for left in _left(t, applies, names)
    )
    return tuple(dict.fromkeys(found))


def _left(text: str, applies: Applies, names: Sequence[str]) -> Iterator[str]:
    speaks = _SPEAKS.match(text.strip())
    opens = any(text.strip().upper().startswith(m.upper()) for m in (*applies.models, *names) if m)
    sign = _SIGNS.match(text.strip()) or (_UP.search(text) if opens or speaks else None)
    if not (speaks or opens or sign) or len(text.split()) > _MOST_WORDS:
        return
    rest = _without(text, names)
    if text.strip()[:1].islower() or re.search(r"[a-z]\.\s[A-Z]", text):  # running text
        return
    bounds = {key(b) for b in (applies.serial_from, applies.serial_to, *applies.excepted) if b}
    figures = [n for n in _FIGURES.findall(rest) if not any(n in b for b in bounds)]
    figures += [m[1] for m in _UP.finditer(rest) if not bounds]
    if figures and not (applies.built_from or applies.built_to) and not (bounds and applies.excepted):
        yield ", ".join(figures[:3])
    elif speaks and not bounds and not (applies.built_from or applies.built_to) and (word := _limit_in(rest)):
        yield word


def _without(text: str, names: Sequence[str]) -> str:
    """A line without days, and without models and numbers that are known."""
    for start, end in sorted((d.span for d in find_dates(text)), reverse=True):
        text = f"{text[:start]};{text[end:]}"
    for name in sorted({n for n in names if n}, key=len, reverse=True):
        text = re.sub(re.escape(name), ";", text, flags=re.IGNORECASE)
    return text


def _limit_in(rest: str) -> str | None:
    """The first limiting word with words behind it that are no nouns of the trade; what is left out is read
    elsewhere."""
    rest = EXCEPT.split(rest)[0]
    found = _LIMITS.search(rest)
    if found is None:
        return None
    behind = [
        w for w in re.findall(r"[A-Za-zÀ-ÿ]{2,}", rest[found.end() :]) if plain(w) not in packaged().nouns
    ]
    ahead = found.group().lower() in ("production", "built", "export", "only", "earlier", "later", "first")
    return " ".join(rest[found.start() :].split())[:60] if behind or ahead else None
