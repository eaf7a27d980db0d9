"""Does the pack that came stack the way the step in force asks: the arithmetic at the parts counter."""

from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.kits.baseline import asked
from benchleaf.graph.kits.pack import Order, admits, arithmetic, orders
from benchleaf.graph.kits.packstep import PackStep
from benchleaf.graph.kits.packwords import PackWords
from benchleaf.graph.kits.plates import Plate


@dataclass(frozen=True, slots=True)
class ProcedureOrder:
    """The order that the step in force asks for; `item` is its label."""

    first: Plate | None
    last: Plate | None
    item: str
    publication: str
    page: str


@dataclass(frozen=True, slots=True)
class PackAnswer:
    """The counts, the orders they allow, the order asked for, and whether the two fit (None: nothing to
    judge)."""

    friction: int
    steel: int
    orders: tuple[Order, ...]
    procedure_order: ProcedureOrder | None
    fits: bool | None


@dataclass(frozen=True, slots=True)
class PackVerdict:
    """The answer, whether the kit must be held for it, and why in plain words."""

    answer: PackAnswer | None
    hold: bool
    reasons: tuple[str, ...]


def check_pack(counts: tuple[int | None, int | None], steps: Sequence[PackStep]) -> PackVerdict:
    """Compare plate counts with the pack steps linked to the kit."""
    friction, steel = counts
    if friction is None or steel is None:
        return PackVerdict(None, False, ())
    judged = [(s, _fits(s.words, friction, steel)) for s in steps]
    told, fits = _decisive(judged, friction, steel)
    answer = PackAnswer(friction, steel, orders(friction, steel), _order(told), fits)
    reasons = [] if orders(friction, steel) else [arithmetic(friction, steel)]
    if not steps and orders(friction, steel):
        unlinked = "no pack step held is tied to this kit: compare the step before building"
        reasons.append(f"{arithmetic(friction, steel)}; {unlinked}")
    if told is not None:
        reasons += _reasons(told, fits, friction, steel, weak=len(steps) > 1)
    return PackVerdict(answer, fits is False, tuple(dict.fromkeys(reasons)))


def _fits(words: PackWords, friction: int, steel: int) -> bool | None:
    """A step that names these very counts, unlike by more than one, has its own way to stack them: not
    judged."""
    if not orders(friction, steel) and (words.friction, words.steel) == (friction, steel):
        return None
    return admits(words, friction, steel)


def _decisive(
    judged: Sequence[tuple[PackStep, bool | None]], friction: int, steel: int
) -> tuple[PackStep | None, bool | None]:
    """The step to go by: among several, those with just these counts speak; else one that fits is enough."""
    same = [(s, f) for s, f in judged if (s.words.friction, s.words.steel) == (friction, steel)]
    if same:
        return next(((s, f) for s, f in same if f is False), same[0])
    for wanted in (True, False, None):
        for step, fit in judged:
            if fit is wanted:
                return step, fit
    return None, None


def _order(told: PackStep | None) -> ProcedureOrder | None:
    if told is None or (told.words.first is None and told.words.last is None):
        return None
    step = told.step
    return ProcedureOrder(told.words.first, told.words.last, step.label, step.publication, step.page)


def _reasons(told: PackStep, fits: bool | None, friction: int, steel: int, *, weak: bool) -> list[str]:
    where = f"step {told.step.label} on page {told.step.page} of {told.step.publication}"
    said = list(told.warnings)
    if told.step.doubts:
        ids = ", ".join(str(d) for d in told.step.doubts)
        said.append(f"{where} has doubtful readings that may change it ({ids}): settle them first")
    if fits is False:
        which = f"{where} (and every other that could be meant)" if weak and told.link == "counts" else where
        said.append(
            f"{arithmetic(friction, steel)}; {which} asks for {asked(told.words)}. "
            "Probably a note that changes the order is missing: ask the maker for it before building"
        )
    elif told.words.counted and (told.words.friction, told.words.steel) != (friction, steel):
        said.append(
            f"{where} counts {told.words.friction} friction and {told.words.steel} steel plates, the kit "
            f"{friction} and {steel}: more than one kit to a unit, or plates used again?"
        )
    elif fits is None and told.words.first is None and told.words.last is None:
        said.append(f"{where} does not say which plate comes first and last")
    return said
