"""What a person at the bench gives to the arithmetic. mm, mm², N, N/mm², N·m; None is "not given"."""

from dataclasses import dataclass

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.packs.select import Row, Tie
from benchleaf.graph.packs.shims import Shim
from benchleaf.graph.packs.size import Size
from benchleaf.graph.packs.stack import Layer


@dataclass(frozen=True, slots=True)
class Plates:
    """The plates of one kind: a bare count, or layers with their thicknesses."""

    bare: int = 0
    layers: tuple[Layer, ...] = ()

    def __post_init__(self) -> None:
        """Raise WrongUse for a count that cannot be."""
        if self.bare < 0:
            raise WrongUse("a count of plates cannot be below zero", "give the counts as whole numbers")

    @property
    def count(self) -> int:
        """How many plates there are."""
        return sum(layer.count for layer in self.layers) or self.bare

    @property
    def sized(self) -> bool:
        """Their thickness is known; no plates at all need none."""
        return bool(self.layers) or not self.bare


@dataclass(frozen=True, slots=True)
class Build:
    """The pack: plates, other pieces in the stack, the depth they go into, and how faces are counted."""

    friction: Plates | None = None
    steel: Plates | None = None
    others: tuple[Layer, ...] = ()
    depth: Size | None = None
    end_plates: int = 0
    single_sided: bool = False


@dataclass(frozen=True, slots=True)
class Setting:
    """Play, preload or clearance to set: what is fitted or on trial, what was measured, what is wanted."""

    need: Size | None = None
    fitted: Size | None = None
    trial: Size | None = None
    measured: Size | None = None
    target: Size | None = None
    end_play: Size | None = None
    preload: Size | None = None


@dataclass(frozen=True, slots=True)
class AtHand:
    """What can be fitted: a selection table with its tie rule, single thicknesses, shims to add up."""

    rows: tuple[Row, ...] = ()
    tie: Tie = "lower"
    sizes: tuple[float, ...] = ()
    shims: tuple[Shim, ...] = ()


@dataclass(frozen=True, slots=True)
class Rub:
    """What the torque needs: the lining's diameters, μ, and the force or what makes it."""

    inner: float | None = None
    outer: float | None = None
    mu: float | None = None
    force: float | None = None
    pressure: float | None = None
    area: float | None = None
    spring: float | None = None


@dataclass(frozen=True, slots=True)
class Thread:
    """A bolt: K, force and diameter, or its torque; the wrench's length and the crow-foot's."""

    k: float | None = None
    force: float | None = None
    diameter: float | None = None
    torque: float | None = None
    wrench: float | None = None
    crowfoot: float | None = None


@dataclass(frozen=True, slots=True)
class PackQuestion:
    """All that was given. `was_friction` and `was_steel` are the plates before the change."""

    build: Build = Build()
    was_friction: Plates | None = None
    was_steel: Plates | None = None
    setting: Setting = Setting()
    at_hand: AtHand = AtHand()
    rub: Rub = Rub()
    thread: Thread = Thread()
