"""What a step's own words fit: every mention of parts that go in, with their count and part number.

Read by structure: a verb of fitting, then number word or article, adjectives and a noun (`usephrases.py`),
with the words of `uses.toml`. A mention counts where a verb of fitting or renewing governs it as its object
(or "with", "using", "together with" does), where the words call it new, or where a later "fit them" takes
it up. What is removed, checked, only the place for another part, or a tool is none. Rules of ours, common
practice. Bare wordings that none of this covers are missed rather than guessed.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from benchleaf.graph.kits.packmarks import marked
from benchleaf.graph.kits.packwords import PackWords, read_pack
from benchleaf.graph.kits.plates import NOUN, Plate, plate_kind
from benchleaf.graph.kits.uselexicon import lexicon
from benchleaf.graph.kits.usereader import Use, UseReader
from benchleaf.graph.kits.usetokens import plain

__all__ = ["Use", "names_plates", "read_uses"]

_KEPT = 1000  # characters of a step that is kept with its uses
_PLATE_NOUN = re.compile(rf"\b{NOUN}\b")


def read_uses(text: str) -> tuple[Use, ...]:
    """Every mention of parts that a step fits, in the order of its words; plates of a pack with its counts.

    >>> [(u.description, u.part, u.quantity, u.renewed) for u in read_uses("Fit two new seals (4471-33).")]
    [('seal', '4471-33', 2, True)]
    """
    return _kept(text) if len(text) < _KEPT else _read(text)


def _read(text: str) -> tuple[Use, ...]:
    words = plain(text)
    return _with_pack(UseReader(words, lexicon()).read(), words)


_kept = lru_cache(maxsize=512)(_read)  # a kit looks at each step for every line


def _with_pack(found: tuple[Use, ...], text: str) -> tuple[Use, ...]:
    """Plates of a pack step: one use of each kind, with the count that the pack words tell."""
    pack = read_pack(text) if names_plates(text) else None
    if pack is None:
        return found
    kinds: tuple[Plate, ...] = ("friction", "steel")
    told = [u for u in found if plate_kind(u.description) is None]
    for kind in kinds:
        mine = [u for u in found if plate_kind(u.description) == kind]
        if mine or _named(text, kind):
            told.append(_plates(kind, mine, pack, text))
    return tuple(told)


def names_plates(text: str) -> bool:
    """Whether the words speak of discs or plates at all: `twelve outer and four inner springs` do not."""
    return _PLATE_NOUN.search(text.lower()) is not None


def _named(text: str, kind: Plate) -> bool:
    return ("<F" if kind == "friction" else "<S") in marked(text)


def _plates(kind: Plate, mine: Sequence[Use], pack: PackWords, text: str) -> Use:
    count = pack.friction if kind == "friction" else pack.steel
    best = next((u for u in mine if u.quantity == count), mine[0] if mine else None)
    if best is None:
        return Use(f"{kind} plate", None, count, text[:120], renewed=False)
    part = best.part or next((u.part for u in mine if u.part), None)
    return replace(best, quantity=count, part=part, renewed=any(u.renewed for u in mine))
