"""A sentence struck out of a step: the new words are the step's own without it.

A note that says "strike out the second sentence of step 6" names old words by their place, not by themselves:
the override's `was` is then "the second sentence", and its text follows from the step as held.
"""

import re
from collections.abc import Sequence

from benchleaf.graph.model import Item, Override

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
_NAMED = re.compile(rf"the ({'|'.join(_ORDINALS)}|last) sentence")
_BOUNDARY = re.compile(r"(?<=[.!?])\s+(?=[A-Z“\"(])")
# What ends like a sentence and may be none: "No. 4", "approx. 5", "M. Hub".
_UNSURE = re.compile(
    r"\b(?:[a-z]|nos?|figs?|approx|max|min|incl|dia|ref|pos|abt|resp|viz|ca|etc|ins?)\.$", re.IGNORECASE
)


def strikes_sentence(override: Override) -> bool:
    """True for a replacement that only strikes out a sentence named by its place."""
    return override.action == "replace" and _NAMED.fullmatch(override.was or "") is not None


def without_sentence(
    override: Override, item: Item | None, earlier: Sequence[str]
) -> tuple[str | None, tuple[str, ...]]:
    """The step's words without the sentence, and the doubts; None where it cannot be told which one is meant.

    `earlier` are words that earlier notes put into the step: which sentences they leave is not worked out.
    """
    named = _NAMED.fullmatch(override.was or "")
    if named is None or item is None:
        return None, ()
    if earlier:
        return None, ("an earlier note already changed the step: what is left of it is to be written out",)
    pieces = _BOUNDARY.split(item.text.strip())
    if any(_UNSURE.search(p) or len(p.split()) < 2 for p in pieces):
        return None, ("where the sentences of the step end cannot be told for certain",)
    place = len(pieces) if named[1] == "last" else _ORDINALS.index(named[1]) + 1
    if len(pieces) < 2 or place > len(pieces):
        return None, (f"the step as held has no {named[1]} sentence beside others",)
    return " ".join(p for n, p in enumerate(pieces, 1) if n != place), ()
