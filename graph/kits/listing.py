"""A kit's list in force, from several words on it: a full list stands for itself, a partial one changes the
list before it.

A word is partial if it speaks of the plates only, or of one line, or says of every line what it was before;
what it does not speak of stays as it was. A rule of ours, common practice: makers seldom print a whole list
again for one plate more.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.keys import key
from benchleaf.graph.kits.likeness import same_name
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.model import Contents, KitLine

_ALIKE = 75.0


@dataclass(frozen=True, slots=True)
class ListedLine:
    """A line of the list in force, the note or publication whose word it is, and the date of the word that
    gives its number (without a number: of its word)."""

    line: KitLine
    note: str
    date: dt.date | None = None


def in_force(words: Sequence[Contents]) -> tuple[ListedLine, ...]:
    """The list after all these words, oldest first.

    >>> in_force(())
    ()
    """
    lines: list[ListedLine] = []
    for word in words:
        lines = _changed(lines, word) if partial(word, [x.line for x in lines]) else _whole(word)
    return tuple(lines)


def partial(word: Contents, before: Sequence[KitLine]) -> bool:
    """Whether a word only changes the list before it."""
    silent = [b for b in before if not any(alike(b, line) for line in (*word.lines, *word.previous))]
    if not silent:
        return bool(before) and bool(word.previous) and len(word.lines) < len(before)
    told_before = all(any(alike(line, was) for was in word.previous) for line in word.lines)
    only_plates = all(plate_kind(line.description) for line in word.lines)
    spared = not any(plate_kind(b.description) for b in silent)
    return len(word.lines) == 1 or told_before or (only_plates and spared)


def alike(one: KitLine, other: KitLine) -> bool:
    """One number, or, where either has none or another, alike names."""
    if one.part and other.part and key(one.part) == key(other.part):
        return True
    return same_name(one.description, other.description) >= _ALIKE


def _whole(word: Contents) -> list[ListedLine]:
    return [ListedLine(line, word.note, word.date) for line in word.lines]


def _changed(before: Sequence[ListedLine], word: Contents) -> list[ListedLine]:
    """The list before with the word's lines in the places of those they stand for, new ones at the end."""
    new = list(word.lines)
    lines: list[ListedLine] = []
    for listed in before:
        stands = _stands_for(listed.line, new, word)
        if stands is not None:
            new.remove(stands)
            number = stands.part or (None if _named_before(listed.line, word) else listed.line.part)
            since = word.date if stands.part or number is None else listed.date
            lines.append(ListedLine(replace(stands, part=number), word.note, since))
        elif not any(_same_thing(listed.line, was) for was in word.previous):
            lines.append(listed)
    return [*lines, *(ListedLine(line, word.note, word.date) for line in new)]


def _named_before(listed: KitLine, word: Contents) -> bool:
    """The word itself says that another number stood there before: the old number does not go on."""
    return any(
        was.part and listed.part and key(was.part) != key(listed.part)
        for was in word.previous
        if same_name(was.description, listed.description) >= _ALIKE
    )


def _stands_for(listed: KitLine, new: Sequence[KitLine], word: Contents) -> KitLine | None:
    """The new line for a listed one: by number, by what the word says was before, then by name."""
    by_number = (n for n in new if n.part and listed.part and key(n.part) == key(listed.part))
    by_name = (n for n in new if alike(n, listed))
    place = next((i for i, was in enumerate(word.previous) if _same_thing(listed, was)), None)
    paired = len(word.previous) == len(word.lines) and place is not None
    by_place = (n for n in new if paired and n is word.lines[place or 0])
    return next((n for found in (by_number, by_place, by_name) for n in found), None)


def _same_thing(listed: KitLine, was: KitLine) -> bool:
    """Numbers decide where both have one; else names."""
    if listed.part and was.part:
        return key(listed.part) == key(was.part)
    return same_name(listed.description, was.description) >= _ALIKE
