"""Which shim or selective part gives the play or preload asked for, and the fewest shims that make it up.

Millimetres. A target's range is what the paper allows; a measurement's range is what the gauge leaves open.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.packs.size import EQUAL, Size, exactly, minus, plus

_GRAIN = 100_000  # steps to a millimetre: a tenth of a thousandth of an inch is a whole number of them
_SUMS = 20_000
_LIKE = 100  # nobody stacks more of one thickness


@dataclass(frozen=True, slots=True)
class Fill:
    """The thickness to fit. `aim` is for the target's middle, with what the measuring leaves open.

    `sure` are the thicknesses that meet the target whatever the measurement's limits hide; None if there are
    none, that is, if the measuring leaves more open than the target allows.
    """

    aim: Size
    sure: Size | None


@dataclass(frozen=True, slots=True)
class Shim:
    """A shim thickness at hand; `stock` is how many there are, None for as many as needed."""

    thickness: float
    stock: int | None = None

    def __post_init__(self) -> None:
        """Raise WrongUse for a thickness or a stock that cannot be."""
        if not (math.isfinite(self.thickness) and round(self.thickness * _GRAIN) >= 1):
            raise WrongUse("a shim must be thicker than zero", "give the thicknesses at hand")
        if self.stock is not None and self.stock < 1:
            raise WrongUse("a stock of shims must be at least 1", "leave out what is not at hand")


@dataclass(frozen=True, slots=True)
class Shims:
    """Shims to fit, thickest first, their sum, and whether the sum lies within what was asked for."""

    thicknesses: tuple[float, ...]
    total: float
    within: bool


def end_play(trial: Size, measured: Size, target: Size) -> Fill:
    """Shim for an end play: trial + measured − target. Also a selective part: fitted + measured − target.

    >>> round(end_play(exactly(0.5), exactly(0.32), exactly(0.12)).aim.middle, 6)
    0.7
    """
    base = plus(trial, measured)
    return Fill(minus(base, exactly(target.middle)), _sure(base.high - target.high, base.low - target.low))


def preload(trial: Size, measured: Size, wanted: Size) -> Fill:
    """Shim for a preload: trial + measured + preload, the preload as a length.

    >>> round(preload(exactly(0.5), exactly(0.32), exactly(0.05)).aim.middle, 6)
    0.87
    """
    base = plus(trial, measured)
    return Fill(plus(base, exactly(wanted.middle)), _sure(base.high + wanted.low, base.low + wanted.high))


def _sure(low: float, high: float) -> Size | None:
    if low > high + EQUAL:
        return None
    return Size(low, max(low, high))


def fewest(need: Size, at_hand: Sequence[Shim]) -> Shims | None:
    """The fewest shims whose sum lies in the range; among as few, the sum nearest the range's middle.

    No shim at all is a sum too. If no sum lies in the range: the nearest one, by the fewest shims, `within`
    False. None if nothing is at hand or the range lies below zero. "Use the fewest shims" is common
    practice, no source. No more than 100 of a thickness are tried. Raises WrongUse if the set allows too
    many sums to try them all.

    >>> fewest(Size(0.45, 0.45), [Shim(0.10), Shim(0.15), Shim(0.30)]).thicknesses
    (0.3, 0.15)
    """
    if not at_hand or need.high < -EQUAL:
        return None
    if len(at_hand) > _LIKE or need.high > _LIKE * max(s.thickness for s in at_hand):
        raise WrongUse(f"over {_LIKE} shims", "give the shims at hand, in the unit they are in")
    low, high, middle = need.low * _GRAIN, need.high * _GRAIN, need.middle * _GRAIN
    sums = _sums(at_hand, max(math.ceil(high), 0) + max(_grains(s) for s in at_hand))
    best = min(sums, key=lambda s: _rank(s, sum(sums[s]), low, high, middle))
    pieces = [s.thickness for s, n in zip(at_hand, sums[best], strict=False) for _ in range(n)]
    thicknesses = tuple(sorted(pieces, reverse=True))
    return Shims(thicknesses, math.fsum(thicknesses), low - 0.5 <= best <= high + 0.5)


def _rank(total: int, count: int, low: float, high: float, middle: float) -> tuple[float, ...]:
    off = round(abs(total - middle), 3)
    return (0, count, off, -total) if low - 0.5 <= total <= high + 0.5 else (1, off, count, -total)


def _grains(shim: Shim) -> int:
    return round(shim.thickness * _GRAIN)


def _sums(at_hand: Sequence[Shim], most: int) -> dict[int, tuple[int, ...]]:
    """Every sum up to `most` with the counts, one a thickness, of the fewest shims that make it.

    A bounded knapsack, one thickness at a time.
    """
    best: dict[int, tuple[int, ...]] = {0: ()}
    for place, shim in enumerate(at_hand):
        grains, limit = _grains(shim), min(shim.stock or _LIKE, _LIKE)
        for total, used in list(best.items()):
            padded = used + (0,) * (place - len(used))
            for more in range(1, min((most - total) // grains, limit) + 1):
                made = total + more * grains
                if made not in best or sum(used) + more < sum(best[made]):
                    best[made] = (*padded, more)
            if len(best) > _SUMS:
                raise WrongUse("these shims allow too many sums to try", "give fewer thicknesses")
    return best
