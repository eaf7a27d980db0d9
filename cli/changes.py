"""Old words and new words of a step, side by side."""

import re
from difflib import SequenceMatcher
from typing import Literal, NamedTuple

Mark = Literal["same", "was", "now"]
_WORDS = re.compile(r"[ \t\n]++|[^ \t\n]++")
_ALIKE = 0.6
"""Below this share of common words two wordings are set one after the other: a patchwork cannot be read."""


class Stretch(NamedTuple):
    """A run of words that stayed, went ("was") or came ("now")."""

    mark: Mark
    text: str


def changed_words(was: str, now: str) -> tuple[Stretch, ...]:
    """The words of both texts in one run; wordings that have little in common follow each other whole.

    >>> [tuple(s) for s in changed_words("Torque to 29 N.", "Torque to 31 N.")]
    [('same', 'Torque to '), ('was', '29'), ('now', '31'), ('same', ' N.')]
    """
    old, new = _WORDS.findall(was), _WORDS.findall(now)
    matcher = SequenceMatcher(None, old, new, autojunk=False)
    if was == now:
        return (Stretch("same", now),)
    if matcher.ratio() < _ALIKE:
        return tuple(s for s in (Stretch("was", was), Stretch("now", now)) if s.text)
    return tuple(_stretches(matcher, old, new))


def _stretches(matcher: "SequenceMatcher[str]", old: list[str], new: list[str]) -> list[Stretch]:
    run: list[Stretch] = []
    for name, i1, i2, j1, j2 in matcher.get_opcodes():
        if name == "equal":
            run.append(Stretch("same", "".join(new[j1:j2])))
            continue
        went, came = "".join(old[i1:i2]), "".join(new[j1:j2])
        run += (
            [Stretch(m, t) for m, t in (("was", went), ("now", came)) if t]
            if went.strip() or came.strip()
            else []
        )
    return run
