"""Which plate counts those in hand are held against: the step in force, what is listed, the kit before."""

from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.binding import plate_counts
from benchleaf.graph.keys import key
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.packstep import PackStep
from benchleaf.graph.kits.packwords import PackWords
from benchleaf.graph.kits.plates import Plate

KINDS: tuple[Plate, Plate] = ("friction", "steel")


@dataclass(frozen=True, slots=True)
class Baseline:
    """Counts that some paper gives, and the words that say whose they are (`step 4 on page 31 of X counts`).

    `pack` is the step, if a step it is. `accounted` is True where a settled note says that these counts
    became the ones in hand.
    """

    friction: int
    steel: int
    said: str
    pack: PackStep | None = None
    accounted: bool = False

    def count(self, kind: Plate) -> int:
        """How many plates of a kind."""
        return self.friction if kind == "friction" else self.steel


def where(pack: PackStep) -> str:
    """`step 4 on page 31 of X`."""
    return f"step {pack.step.label} on page {pack.step.page} of {pack.step.publication}"


def asked(words: PackWords) -> str:
    """The order that a step asks for: `a friction plate first`; empty if it asks for none."""
    if words.first and words.first == words.last:
        return f"a {words.first} plate first and last"
    ends = (
        f"a {words.first} plate first" if words.first else "",
        f"a {words.last} plate last" if words.last else "",
    )
    return " and ".join(e for e in ends if e)


def baselines(counts: tuple[int, int], packs: Sequence[PackStep], expected: Expected) -> tuple[Baseline, ...]:
    """The papers whose counts differ from those in hand, the strongest first.

    Where a step in force has just these counts, no other step is compared.
    """
    found = [*_of_steps(counts, packs), *_of_lists(counts, expected)]
    return tuple({(b.friction, b.steel): b for b in reversed(found)}.values())[::-1]


def _of_steps(counts: tuple[int, int], packs: Sequence[PackStep]) -> list[Baseline]:
    told = [p for p in packs if p.words.counted]
    if any((p.words.friction, p.words.steel) == counts for p in told):
        return []
    return [
        Baseline(p.words.friction or 0, p.words.steel or 0, f"{where(p)} counts", p)
        for p in told
        if (p.words.friction, p.words.steel) != counts
    ]


def _of_lists(counts: tuple[int, int], expected: Expected) -> list[Baseline]:
    """What is listed; where that is what came, what the kit held before."""
    if expected.basis not in ("contents", "predecessor"):
        return []
    listed = _filled(plate_counts(expected.lines), counts)
    if listed != counts:
        before_it = expected.basis == "predecessor"
        said = f"by {expected.note} the kit before it has" if before_it else f"{expected.note} lists"
        return [Baseline(*listed, said)]
    before = _filled(plate_counts(expected.before), counts)
    if before == counts:
        return []
    own = expected.before_from is not None and key(expected.before_from) == key(expected.note or "")
    whose = "there were before" if own else "the kit before it has"
    said = f"by {expected.before_from} {whose}"
    return [Baseline(*before, said, accounted=expected.sure)]


def _filled(told: tuple[int | None, int | None], counts: tuple[int, int]) -> tuple[int, int]:
    """A kind that the paper does not speak of counts as unchanged."""
    friction, steel = told
    return (counts[0] if friction is None else friction, counts[1] if steel is None else steel)
