"""Labels printed in two or three languages: `Datum / Date`, `Typ / Type`, `Datum (Date)`."""

import re
import unicodedata
from collections.abc import Iterator, Mapping

_PARTED = re.compile(r" ?[/|] ?| \(|\)$")
_WEAK = {"number_weak": "number"}
_LEAST = 3  # letters of a half that no vocabulary has
_HALF = re.compile(rf"[^0-9/|:]{{{_LEAST},24}}")


def halves(label: str) -> tuple[str, ...]:
    """The names in a label of several languages; none where it is of one.

    >>> halves("getriebe-nr / gearbox no")
    ('getriebe-nr', 'gearbox no')
    """
    if not ("/" in label or "|" in label or label.endswith(")")) or len(label) > 60:
        return ()
    found = tuple(p for p in (part.strip() for part in _PARTED.split(label)) if p)
    return found if 1 < len(found) < 4 else ()


def tongues(head: str) -> Iterator[tuple[str, ...]]:
    """The names that a column's head in several languages may hold, with or without a stroke between.

    >>> list(tongues("benennung part"))
    [('benennung', 'part')]
    """
    if parts := halves(head):
        yield parts
        return
    words = head.split(" ") if "/" not in head else []
    if len(words) < 6:
        for at in range(1, len(words)):
            yield " ".join(words[:at]), " ".join(words[at:])


def without_accents(text: str) -> str:
    """The text with plain letters for accented ones.

    >>> without_accents("Stück")
    'Stuck'
    """
    if text.isascii():
        return text
    spread = unicodedata.normalize("NFKD", text)
    return "".join(c for c in spread if not unicodedata.combining(c))


def in_two_tongues(label: str, known: Mapping[str, str], one: bool = False) -> str | None:
    """The field of a label whose parts all name the same one; with `one` a single known part will do.

    >>> in_two_tongues("datum / date", {"datum": "date", "date": "date"})
    'date'
    """
    parts = halves(label)
    named = [known.get(p) for p in parts]
    fields = {_WEAK.get(n, n) for n in named if n is not None}
    if len(fields) != 1:
        return None
    if None not in named:
        return named[0] if len(set(named)) == 1 else next(iter(fields))
    strange = all(_HALF.fullmatch(p) for p, n in zip(parts, named, strict=True) if n is None)
    return next(iter(fields)) if one and strange and "number_weak" not in named else None
