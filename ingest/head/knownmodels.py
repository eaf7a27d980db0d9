"""Models that the shop's manuals name, found again in other words: `Mk 6, 6A and 9`, `QT-30/30R`."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from benchleaf.graph.keys import key


@dataclass(frozen=True, slots=True)
class Known:
    """What the shop's manuals name: their models and their numbers, as printed."""

    models: tuple[str, ...] = ()
    publications: tuple[str, ...] = ()


_NOUN = re.compile(r"\b(?:types?|models?|sizes?|series|marks?)\s?$", re.IGNORECASE)
_RUN = re.compile(
    r"\s?(?:to|through|thru|up to|bis|[–—]|-|\.\.\.|…)\s?(?:[A-Za-z]{1,8}[ .-]?)?", re.IGNORECASE
)
_LIST = re.compile(r"\s?(?:,\s?(?:and|or|&)\s|,|/|&|\+|\band\b|\bor\b|\bto\b|\bund\b)\s?")
_SHORT = re.compile(r"-?([0-9]{1,5}(?:[ -]?[A-Z]{1,3})?)(?![\w]|[.-][0-9A-Z]|/[0-9A-Z]{4})")
_ANOTHER = r"(?!\w|-[0-9A-Za-z]|[./][0-9]{3}|\.[0-9]|[ ](?-i:[A-Z])(?![\w./’'-]))"
"""What must not follow a model: a part of a longer name (`KX 4 B`, `KX-4-B`)."""


def known_models(text: str, models: Iterable[str]) -> tuple[str, ...]:
    """The models of a list that a text names, in its order; `Mk 6, 6A and 9` names three.

    >>> known_models("Units Mk 6, 6A and 9", ("Mk 6", "Mk 6A", "Mk 9", "Mk 12"))
    ('Mk 6', 'Mk 6A', 'Mk 9')
    >>> known_models("Model Mk 6/9/12", ("Mk 6", "Mk 9", "Mk 12"))
    ('Mk 6', 'Mk 9', 'Mk 12')
    """
    return tuple(dict.fromkeys(name for _, _, name in _places(text, models)))


def is_run(text: str, models: Iterable[str]) -> bool:
    """True if a text names a run of models by its ends only: `Mk 6 to Mk 9`."""
    places = _places(text, models)
    return any(_RUN.fullmatch(text[a[1] : b[0]]) is not None for a, b in pairwise(places))


def _places(text: str, models: Iterable[str]) -> list[tuple[int, int, str]]:
    """Where each model stands: start, end, its name."""
    by_key = {key(m): m for m in models if key(m)}
    if not by_key:
        return []
    found: list[tuple[int, int, str]] = []
    one = "|".join(_loosely(by_key[k]) for k in sorted(by_key, key=len, reverse=True))
    pattern = re.compile(rf"(?<![\w.-])(?:{one}){_ANOTHER}", re.IGNORECASE)
    position = 0
    while (m := pattern.search(text, position)) is not None:
        position = m.end()
        name = key(m[0])
        if name.isdigit() and not _NOUN.search(text[: m.start()]):
            continue  # `11` is a model only where a word says so
        found.append((m.start(), m.end(), by_key[name]))
        for place in _carried_on(text, m.end(), name, by_key):
            found.append(place)
            position = place[1]
    return found


def _loosely(name: str) -> str:
    """A name however its letters and figures are parted; a letter behind a blank must be a capital one."""
    first, *rest = re.findall(r"[0-9]+|[^\W\d_]+", name) or [name]
    parts = [re.escape(first)]
    for part in rest:
        blank = r"[ ./-]{0,2}" if part.isdigit() else r"(?:[./-]?|(?-i:(?=[ ./-]{1,2}[A-Z]))[ ./-]{1,2})"
        parts.append(blank + re.escape(part))
    return "".join(parts)


def _carried_on(text: str, at: int, name: str, by_key: Mapping[str, str]) -> Iterator[tuple[int, int, str]]:
    """Models that go on a list without repeating their first letters."""
    stem = re.match(r"[^0-9]{1,12}", name)
    while stem is not None and (link := _LIST.match(text, at)) is not None:
        short = _SHORT.match(text, link.end())
        model = by_key.get(stem[0] + key(short[1])) if short else None
        if short is None or model is None:
            return
        yield short.start(), short.end(), model
        at = short.end()
