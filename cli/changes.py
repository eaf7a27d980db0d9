"""Old words and new words of a step, side by side."""

import re
from collections.abc import Sequence
from difflib import SequenceMatcher
from typing import Literal, NamedTuple

Mark = Literal["same", "was", "now"]
_WORDS = re.compile(r"(?:\A\s++)?\S++\s*+")
_ALIKE = 0.6
"""Below this share of common words two wordings are set one after the other: a patchwork cannot be read."""


class Stretch(NamedTuple):
    """A run of words that stayed, went ("was") or came ("now")."""

    mark: Mark
    text: str


def changed_words(was: str, now: str) -> tuple[Stretch, ...]:
    """The words of both texts in one run; wordings that have little in common follow each other whole.

    >>> [tuple(s) for s in changed_words("Torque to 29 N.", "Torque to 31 N.")]
    [('same', 'Torque to '), ('was', '29'), ('same', ' '), ('now', '31'), ('same', ' '), ('same', 'N.')]
    """
    old, new = _WORDS.findall(was), _WORDS.findall(now)
    matcher = SequenceMatcher(None, [w.strip() for w in old], [w.strip() for w in new], autojunk=False)
    if matcher.ratio() < _ALIKE:
        return (*_gone(old), *_come(new))
    run: list[Stretch] = []
    for name, i1, i2, j1, j2 in matcher.get_opcodes():
        if name == "equal":
            run.append(Stretch("same", "".join(new[j1:j2])))
        else:
            run += _apart(run, [*_gone(old[i1:i2]), *_come(new[j1:j2])])
    return tuple(run)


def _apart(run: Sequence[Stretch], more: list[Stretch]) -> list[Stretch]:
    """More stretches, with a blank before them if the run so far ends in a word."""
    if run and more and not (run[-1].text[-1:].isspace() or more[0].text[:1].isspace()):
        return [Stretch("same", " "), *more]
    return more


def _gone(words: Sequence[str]) -> list[Stretch]:
    text = "".join(words).strip()
    return [Stretch("was", text), Stretch("same", " ")] if text else []


def _come(words: Sequence[str]) -> list[Stretch]:
    """New words, with the white space around them apart, so that only words are marked."""
    text = "".join(words)
    bare = text.strip()
    if not bare:
        return []
    before, after = text[: len(text) - len(text.lstrip())], text[len(text.rstrip()) :]
    run: list[Stretch] = [Stretch("same", before), Stretch("now", bare), Stretch("same", after)]
    return [s for s in run if s.text]
