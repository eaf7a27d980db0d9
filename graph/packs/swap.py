"""Other counts at the same pack height: how thick the plates must then be. Millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.packs.size import Size, scaled
from benchleaf.graph.packs.stack import Layer, height


@dataclass(frozen=True, slots=True)
class Pair:
    """Thickness of a friction and of a steel plate that together keep the height; `why` says the choice."""

    friction: float
    steel: float
    why: str


@dataclass(frozen=True, slots=True)
class PairLine:
    """Every pair of thicknesses that keeps the height: friction × its count + steel × its count = height.

    One of the two is free; `pairs` are the three that a person would try first, those above zero.
    """

    height: float
    friction: int
    steel: int
    pairs: tuple[Pair, ...]

    def steel_for(self, friction: float) -> float:
        """The steel plate's thickness that goes with a friction plate's."""
        return (self.height - self.friction * friction) / self.steel


def needed(layers: Sequence[Layer], count: int) -> Size:
    """Thickness at which `count` plates stand as high as these did: n_old · t_old / n_new.

    The limits scale alike, so that the worst case of the height stays what it was.

    >>> round(needed([Layer("friction", 4, Size(3.0, 3.0))], 5).middle, 6)
    2.4
    """
    if count < 1:
        raise WrongUse("a count of plates must be at least 1", "leave out the kind that is not in the pack")
    whole = height(layers).limits
    return scaled(whole, 1 / count)


def needed_beside(total: float, beside: float, count: int) -> float:
    """Thickness that fills the height which the other kind leaves; zero or below if it leaves none."""
    return (total - beside) / count


def pair_line(friction: Sequence[Layer], steel: Sequence[Layer], now: tuple[int, int]) -> PairLine:
    """Both counts change: the line of possible pairs, from the plates of before to the counts of now."""
    high_f, high_s = height(friction).nominal, height(steel).nominal
    total, (n_f, n_s) = high_f + high_s, now
    same_f, same_s = high_f / _count(friction), high_s / _count(steel)
    pairs = (
        Pair(same_f, (total - n_f * same_f) / n_s, "friction plates as thick as before"),
        Pair((total - n_s * same_s) / n_f, same_s, "steel plates as thick as before"),
        Pair(high_f / n_f, high_s / n_s, "each kind keeps its own share of the height"),
    )
    return PairLine(total, n_f, n_s, tuple(p for p in pairs if p.friction > 0 and p.steel > 0))


def _count(layers: Sequence[Layer]) -> int:
    return sum(layer.count for layer in layers)
