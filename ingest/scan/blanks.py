"""Where a line's words begin and end: the recogniser's blanks, checked against the gaps in the ink.

Recognisers drop blanks and place the rest by guess; the ink shows them. A blank that the ink alone shows is
put in, and words with figures that it parts are marked, since a figure set apart by chance is no new number.
"""

from collections.abc import Sequence, Set
from itertools import pairwise
from statistics import median
from typing import NamedTuple

from benchleaf.ingest.scan.readings import Piece, Reading

_WIDE = 0.22  # ems: the least blank between words where the line shows none to compare with
_LIKE = 0.8  # share of the line's usual blank from which a gap is one
_FULL, _FIGURES = 0.95, 0.6  # two figures part from so many usual blanks, or ems: a 1 has room on both sides
_HARDLY = 0.5  # share of the line's usual blank under which one inside a number is none
_CLOSING, _OPENING = frozenset(".,;:)]%°'’\"”"), frozenset("([“")
_APART = 2.0  # times the usual gap between letters that a blank has at least


class Gap(NamedTuple):
    """A stretch of a line's picture without ink, in pixels."""

    x0: float
    x1: float

    @property
    def wide(self) -> float:
        """Its width."""
        return self.x1 - self.x0

    @property
    def middle(self) -> float:
        """Its middle."""
        return (self.x0 + self.x1) / 2


def gaps_in(inked: Sequence[bool]) -> tuple[list[Gap], float, float]:
    """The gaps between the first and last column with ink, and these two columns."""
    columns = [i for i, full in enumerate(inked) if full]
    if not columns:
        return [], 0.0, float(len(inked))
    found = [Gap(a + 1.0, float(b)) for a, b in pairwise(columns) if b - a > 1]
    return found, float(columns[0]), columns[-1] + 1.0


def pieces(reading: Reading, inked: Sequence[bool], size: float) -> list[Piece]:
    """The words of a line's picture: `inked` tells which columns have ink, `size` is the type's in pixels."""
    gaps, first, last = gaps_in(inked)
    letters = [i for i, c in enumerate(reading.text) if not c.isspace()]
    text = "".join(reading.text[i] for i in letters)
    if not letters:
        return []
    places = [reading.places[i] * len(inked) for i in letters]
    spaced = {k for k, (a, b) in enumerate(pairwise(letters)) if b - a > 1}
    at, doubted = _believed(text, _matched(spaced, places, gaps))
    spaced = set(at)
    shown = _shown(spaced, places, gaps, at, size)
    blanks = [g.wide for g in at.values() if g.wide > 0]
    wide = median(blanks) * _FULL if len(blanks) > 2 else _FIGURES * size
    shown = {k: gap for k, gap in shown.items() if _may_part(text[k], text[k + 1], gap.wide, wide)}
    return _cut(reading, letters, places, {**at, **shown}, doubted | set(shown), first, last)


def _matched(spaced: set[int], places: Sequence[float], gaps: Sequence[Gap]) -> dict[int, Gap]:
    """For each blank of the text (after the kth letter) its gap in the ink, or a point where none is seen."""
    found: dict[int, Gap] = {}
    reach = _pitch(places)
    used: set[Gap] = set()
    for k in sorted(spaced):
        left, right = places[k] - 0.5 * reach, places[k + 1] + 0.5 * reach
        near = [g for g in gaps if left <= g.middle <= right and g not in used]
        best = max(near, key=lambda g: g.wide, default=None)
        middle = (places[k] + places[k + 1]) / 2
        found[k] = best or Gap(middle, middle)
        if best:
            used.add(best)
    return found


def _pitch(places: Sequence[float]) -> float:
    steps = [b - a for a, b in pairwise(places) if b > a]
    return median(steps) if steps else 8.0


def _shown(
    spaced: set[int], places: Sequence[float], gaps: Sequence[Gap], at: dict[int, Gap], size: float
) -> dict[int, Gap]:
    """Blanks that the ink shows and the text lacks."""
    used = set(at.values())
    blanks = [g.wide for g in used if g.wide > 0]
    between = [g.wide for g in gaps if g not in used]
    usual = median(between) if between else 0.0
    least = max(
        _LIKE * median(blanks) if len(blanks) > 1 else _WIDE * size * 1.3, 0.16 * size, _APART * usual
    )
    found: dict[int, Gap] = {}
    for gap in gaps:
        k = sum(p < gap.middle for p in places) - 1
        free = 0 <= k < len(places) - 1 and not {k - 1, k, k + 1} & (spaced | found.keys())
        if gap not in used and gap.wide >= least and free:
            found[k] = gap
    return found


def _may_part(left: str, right: str, gap: float, wide: float) -> bool:
    """True if the ink alone may part two letters: closing marks stay, figures part only by a wide gap."""
    if right in _CLOSING or left in _OPENING:
        return False
    return gap >= wide or not _of_number(left, right)


def _of_number(left: str, right: str) -> bool:
    """True for two signs as stand side by side within a number: `44`, `4-`, `-2`."""
    return (left.isdigit() or left == "-") and (right.isdigit() or right == "-")


def _believed(text: str, at: dict[int, Gap]) -> tuple[dict[int, Gap], set[int]]:
    """The blanks without those inside a number where the ink hardly shows one; and these."""
    blanks = [gap.wide for gap in at.values() if gap.wide > 0]
    if len(blanks) < 3:
        return at, set()
    least = _HARDLY * median(blanks)
    doubted = {k for k, gap in at.items() if gap.wide < least and _of_number(text[k], text[k + 1])}
    return {k: gap for k, gap in at.items() if k not in doubted}, doubted


def _cut(
    reading: Reading,
    letters: Sequence[int],
    places: Sequence[float],
    at: dict[int, Gap],
    split: Set[int],
    first: float,
    last: float,
) -> list[Piece]:
    found: list[Piece] = []
    start, x0 = 0, min(first, places[0])
    for k in [*sorted(at), len(letters) - 1]:
        own = letters[start : k + 1]
        x1 = at[k].x0 if k in at else max(last, places[-1])
        text = "".join(reading.text[i] for i in own)
        confidence = word_confidence(text, [reading.confidences[i] for i in own])
        found.append(
            Piece(text, x0, max(x1, x0 + 1), confidence, any(i in split for i in range(start - 1, k + 1)))
        )
        start, x0 = k + 1, at[k].x1 if k in at else x1
    return found


def word_confidence(text: str, confidences: Sequence[float]) -> float:
    """A word's confidence: the mean over its letters; with a figure in it, that of its least sure sign.

    One wrong sign spoils a number, while a word bears it.
    """
    if not confidences:
        return 0.0
    if any(c.isdigit() for c in text):
        return min(confidences)
    return sum(confidences) / len(confidences)
