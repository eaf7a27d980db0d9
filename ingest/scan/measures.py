"""Type size and baseline from the ink of a line whose words are known.

Proportions of common text faces (Times, Helvetica, Courier) in ems, measured on their outlines, from memory:
capitals, figures and ascenders 0.69 above the baseline, small letters 0.47, descenders 0.21 below it.
"""

from collections.abc import Sequence
from statistics import median
from typing import NamedTuple

from benchleaf.graph.model import Box

_TALL, _SMALL, _DEEP, _COMMA = 0.69, 0.47, 0.21, 0.13
_LOW = frozenset("acegmnopqrsuvwxyz:;.,+-–—=~*•")  # no higher than small letters
_HANGING, _DIPPING = frozenset("gjpqy()[]{}|§"), frozenset(",;Q/")
_ABOVE, _BELOW = 0.89, 0.23  # a word's box reaches so far from its baseline, in ems, as in text layers
_ALIKE = 0.09  # sizes this near, as a share, are one size
_SIDE = 0.3  # ems: baselines this near on one row are one baseline


class Type(NamedTuple):
    """A line's type: size and baseline in the unit measured in; not `sure` where marks alone were seen."""

    size: float
    baseline: float
    sure: bool = True


def type_of(text: str, top: float, bottom: float, foot: float | None = None) -> Type:
    """The type of words whose ink reaches from `top` to `bottom`; `foot` is the baseline if it was seen."""
    marks = {c for c in text if not c.isspace()}
    above = _SMALL if marks <= _LOW else _TALL
    below = _DEEP if marks & _HANGING else _COMMA if marks & _DIPPING else 0.0
    sure = any(c.isalnum() for c in marks)
    if foot is not None and foot > top:
        return Type((foot - top) / above, foot, sure)
    size = max(bottom - top, 0.1) / (above + below)
    return Type(size, bottom - below * size, sure)


def word_box(x0: float, x1: float, kind: Type) -> Box:
    """The box that a word takes, as tall as its size and not as its letters happen to be."""
    return Box(x0, kind.baseline - _ABOVE * kind.size, x1, kind.baseline + _BELOW * kind.size)


class Run(NamedTuple):
    """A stretch of one line: where it stands, its type, and how many characters it has."""

    x0: float
    x1: float
    kind: Type
    letters: int


def evened_types(runs: Sequence[Run]) -> list[Type]:
    """The runs' types made alike over a sheet: near sizes are one size, neighbours share a baseline."""
    usual = _usual([r for r in runs if r.kind.sure])
    sized = [_resized(r, usual) for r in runs]
    found: list[Type] = []
    for run in sized:
        beside = [
            r
            for r in sized
            if r.letters > run.letters and abs(r.kind.baseline - run.kind.baseline) < _SIDE * run.kind.size
        ]
        near = min(beside, key=lambda r: _between(r, run), default=run)
        close = _between(near, run) < 6 * run.kind.size
        found.append(run.kind._replace(baseline=near.kind.baseline) if close else run.kind)
    return found


def _between(one: Run, two: Run) -> float:
    return max(one.x0 - two.x1, two.x0 - one.x1, 0.0)


def _usual(runs: Sequence[Run]) -> list[float]:
    """The sizes of a sheet: each the median of runs of nearly one size, by their characters."""
    found: list[float] = []
    waiting = sorted(runs, key=lambda r: r.kind.size)
    while waiting:
        weighty = max(waiting, key=lambda r: sum(q.letters for q in waiting if _alike(q, r)))
        group = [r for r in waiting if _alike(r, weighty)]
        found.append(median(s for r in group for s in [r.kind.size] * min(r.letters, 20)))
        waiting = [r for r in waiting if not _alike(r, weighty)]
    return found


def _alike(one: Run, two: Run) -> bool:
    return abs(one.kind.size - two.kind.size) <= _ALIKE * two.kind.size


def _resized(run: Run, usual: Sequence[float]) -> Run:
    """The run at the sheet's nearest size; one of marks alone, or of few letters, at its commonest size."""
    if not usual:
        return run
    near = min(usual, key=lambda s: abs(s - run.kind.size))
    if not run.kind.sure or (run.letters < 4 and abs(usual[0] - run.kind.size) < 0.25 * usual[0]):
        near = usual[0]
    return run._replace(kind=run.kind._replace(size=near))
