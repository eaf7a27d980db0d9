"""What another number or another thickness of plates does to the height of a pack, in sentences."""

from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.kits.heights import Thickness, Told, equal_height, in_mm
from benchleaf.graph.kits.plates import Plate

_SAME = 0.005  # mm: below what is printed


@dataclass(frozen=True, slots=True)
class Change:
    """One kind of plate: how many before and now, and how thick each was and is, as far as papers say.

    `told` is True where the step in force itself gives the thickness of now, or one settled note that of
    both; `listed` where settled contents give that of now.
    """

    kind: Plate
    old: int
    new: int
    was: Told
    now: Told
    told: bool = False
    listed: bool = False

    @property
    def higher(self) -> float | None:
        """By how many mm these plates are higher now (below zero: lower); None where not known."""
        if self.was.one is None or self.now.one is None:
            return None
        return self.new * self.now.one.mm - self.old * self.was.one.mm

    @property
    def level(self) -> bool:
        """Known, and the same within the printed tolerances."""
        if self.higher is None or self.was.one is None or self.now.one is None:
            return False
        allowed = self.old * self.was.one.tolerance + self.new * self.now.one.tolerance
        return abs(self.higher) <= max(allowed, _SAME)


def height_sentences(c: Change) -> list[str]:
    """What the change does to the height, or what to measure to know it."""
    if c.old == c.new or c.now.one is not None:
        return _printed(c)
    return _wanted(c, c.was.one) if c.was.one else _to_measure(c)


def _wanted(c: Change, was: Thickness) -> list[str]:
    """The thickness before is known, that of the plates in hand is not."""
    by = (c.new - c.old) * was.mm
    each = in_mm(equal_height(c.old, was.mm, c.new))
    said = (
        f"{c.new} {c.kind} plates of {in_mm(was.mm)} ({was.where}) instead of {c.old} make the pack "
        f"{in_mm(abs(by))} {_higher(by)}; at equal height each must be {each}: measure them"
    )
    return [said]


def _printed(c: Change) -> list[str]:
    """The thickness of the plates in hand is printed."""
    now, was = c.now.one, c.was.one
    if now is None:
        return []
    if was is None:
        old = in_mm(equal_height(c.new, now.mm, c.old))
        said = (
            f"the {c.kind} plates of the kit are {in_mm(now.mm)} thick ({now.where}): {c.new} of them are as"
            f" high as {c.old} old ones only if those were {old}"
        )
        return [f"{said}: {_which(c.was, c.kind)}", *_not_agreed(c.was, c.kind)]
    high, before = in_mm(c.new * now.mm), in_mm(c.old * was.mm)
    verdict = (
        "the pack height stays"
        if c.level
        else f"the pack becomes {in_mm(abs(c.higher or 0))} {_higher(c.higher or 0)}"
    )
    return [
        f"{c.new} {c.kind} plates of {in_mm(now.mm)} ({now.where}) are {high} high, "
        f"{c.old} of {in_mm(was.mm)} ({was.where}) were {before}: {verdict}"
    ]


def _to_measure(c: Change) -> list[str]:
    """No paper gives the thickness before: the ratio, and what to measure."""
    share = 100 * c.old / c.new
    said = (
        f"{c.new} {c.kind} plates instead of {c.old}: at equal height each must be {c.old}/{c.new} as thick"
        f" as before, {share:.1f} %; {_which(c.was, c.kind)} and one of the kit with the micrometer"
    )
    return [said, *_not_agreed(c.was, c.kind)]


def _which(was: Told, kind: Plate) -> str:
    return (
        f"measure an old {kind} plate"
        if was.apart
        else f"no paper held gives that: measure an old {kind} plate"
    )


def _not_agreed(was: Told, kind: Plate) -> list[str]:
    if not was.apart:
        return []
    each = ", ".join(f"{in_mm(t.mm)} ({t.where})" for t in was.apart)
    return [f"more than one thickness is printed for the {kind} plates: {each}"]


def whole_height(changes: Sequence[Change]) -> list[str]:
    """Both kinds changed and all is known: the pack as a whole."""
    each = [c.higher for c in changes if c.higher is not None]
    if len(changes) < 2 or len(each) < len(changes):
        return []
    by = sum(each)
    if abs(by) <= _SAME:
        return ["taken together the pack height stays"]
    return [f"taken together the pack becomes {in_mm(abs(by))} {_higher(by)}"]


def _higher(by: float) -> str:
    return "higher" if by > 0 else "lower"
