"""What the arithmetic alone says against a pack that came: its order, its counts, its height.

It knows no cause. It says what cannot be built, what differs and by how much, and what to measure.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.kits.baseline import KINDS, Baseline, asked, baselines, where
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.pack import admits, arithmetic, orders
from benchleaf.graph.kits.packchange import Change, height_sentences, whole_height
from benchleaf.graph.kits.packheights import Papers
from benchleaf.graph.kits.packstep import PackStep
from benchleaf.graph.kits.plates import Plate
from benchleaf.graph.kits.received import Received
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Gap:
    """What differs, and the sentences that say so.

    `misfits` are the steps whose order these counts cannot build; `stacks` is whether the counts can
    alternate at all (or a step names just these); `bases` is what they are compared with; `times` is how many
    packs the kit would fill, if just several, or how many such kits fill one; `changes` are the kinds whose
    number or thickness changed; `turned` is True where no step tells an order, but these counts build
    none of those that the base's counts build.
    """

    counts: tuple[int, int]
    stacks: bool
    misfits: tuple[PackStep, ...]
    bases: tuple[Baseline, ...]
    changes: tuple[Change, ...]
    times: int | None
    arithmetic: tuple[str, ...]
    turned: bool = False

    @property
    def base(self) -> Baseline | None:
        """The strongest word on the counts that does not agree with those in hand."""
        return self.bases[0] if self.bases else None

    @property
    def cannot_be_built(self) -> bool:
        """The order asked for, or any order, cannot be stacked from these counts."""
        return bool(self.misfits) or not self.stacks


def find_gap(
    store: Shelf,
    counts: tuple[int, int],
    packs: Sequence[PackStep],
    expected: Expected,
    received: Sequence[Received],
    kits_before: Sequence[str] = (),
) -> Gap | None:
    """What the arithmetic says against these counts; None if nothing."""
    misfits, stacks = _misfits(counts, packs), bool(orders(*counts)) or _named(counts, packs)
    found = baselines(counts, packs, expected)
    open_bases = _nearest(counts, [b for b in found if not b.accounted])
    against = (*open_bases, *(b for b in found if b.accounted))
    times = _times(counts, open_bases[0]) if open_bases else None
    changes: tuple[Change, ...] = ()
    if orders(*counts) and times is None:
        papers = Papers(store, packs, expected, received, kits_before)
        changes = _changes(counts, against[0] if against else None, papers, packs)
    if not open_bases:
        changes = tuple(c for c in changes if c.higher is not None and not c.level and not c.told)
    if not (misfits or open_bases or changes) and stacks:
        return None
    said = [*_order_sentences(counts, misfits, stacks), *_count_sentences(counts, open_bases, times)]
    turned = bool(open_bases) and not misfits and _turned(counts, open_bases[0], packs)
    said += [_turned_sentence(counts, open_bases[0])] if turned else []
    said += [s for c in changes for s in height_sentences(c)] + whole_height(changes)
    return Gap(counts, stacks, misfits, open_bases, changes, times, tuple(dict.fromkeys(said)), turned)


def _named(counts: tuple[int, int], packs: Sequence[PackStep]) -> bool:
    """A step that names these very counts, unlike by more than one, has its own way to stack them."""
    return any((p.words.friction, p.words.steel) == counts for p in packs)


def _misfits(counts: tuple[int, int], packs: Sequence[PackStep]) -> tuple[PackStep, ...]:
    """Steps whose order cannot be built. Those with just these counts speak alone; otherwise one step that
    can be built is enough."""
    same = [p for p in packs if (p.words.friction, p.words.steel) == counts]
    if same and not orders(*counts):
        return ()
    wrong = tuple(p for p in same or packs if admits(p.words, *counts) is False)
    fitting = any(admits(p.words, *counts) for p in packs)
    return wrong if same or not fitting else ()


def _turned(counts: tuple[int, int], base: Baseline, packs: Sequence[PackStep]) -> bool:
    """By the counts alone the ends of the pack are others than before; a step that tells an order decides
    instead."""
    now, before = set(orders(*counts)), set(orders(base.friction, base.steel))
    told = any(admits(p.words, *counts) is not None for p in packs)
    return bool(now and before) and not now & before and not told


def _turned_sentence(counts: tuple[int, int], base: Baseline) -> str:
    before = orders(base.friction, base.steel)
    ends = (
        f"a {before[0].first} plate first and last"
        if len(before) == 1
        else "a friction plate at one end and a steel plate at the other"
    )
    return f"{arithmetic(*counts)}; {base.friction} and {base.steel} stack with {ends}: the order is another"


def _times(counts: tuple[int, int], base: Baseline) -> int | None:
    """Twice, three times … the plates of the base, or a half, a third … of them."""
    for (f, s), (g, t) in ((counts, (base.friction, base.steel)), ((base.friction, base.steel), counts)):
        if g and t and f % g == 0 and f // g == s / t and f // g > 1:
            return f // g
    return None


def _nearest(counts: tuple[int, int], found: Sequence[Baseline]) -> tuple[Baseline, ...]:
    """Steps before lists; among steps one whose pack the kit fills just several times, else the nearest."""

    def far(b: Baseline) -> tuple[bool, bool, int]:
        away = abs(counts[0] - b.friction) + abs(counts[1] - b.steel)
        return b.pack is None, _times(counts, b) is None, away

    return tuple(sorted(found, key=far))


def _changes(
    counts: tuple[int, int], base: Baseline | None, papers: Papers, packs: Sequence[PackStep]
) -> tuple[Change, ...]:
    """The kinds whose count or printed thickness is not what it was."""
    found = []
    for kind, new in zip(KINDS, counts, strict=True):
        old = base.count(kind) if base else new
        if not old or not new or not (base or packs):
            continue
        was, now = papers.before(kind, base), papers.now(kind)
        change = Change(kind, old, new, was, now, papers.told(was, now), papers.listed(now))
        if old != new or (change.higher is not None and not change.level):
            found.append(change)
    return tuple(found)


def _order_sentences(counts: tuple[int, int], misfits: Sequence[PackStep], stacks: bool) -> list[str]:
    friction, steel = counts
    if not stacks:
        tail = f"; {where(misfits[0])} asks for {asked(misfits[0].words)}" if misfits else ""
        return [f"{arithmetic(friction, steel)}{tail}"]
    with_these = f"with {friction} friction and {steel} steel that cannot be built"
    return [
        f"{arithmetic(friction, steel)}; {where(p)} asks for {asked(p.words)}: {with_these}" for p in misfits
    ]


def _count_sentences(counts: tuple[int, int], bases: Sequence[Baseline], times: int | None) -> list[str]:
    said = []
    for b in bases:
        now = f"the kit holds {counts[0]} and {counts[1]}"
        said.append(
            f"{b.said} {b.friction} friction and {b.steel} steel plates; {now}: {differences(counts, b)}"
        )
    if times and bases:
        said.append(_times_sentence(counts, bases[0], times))
    return said


def _times_sentence(counts: tuple[int, int], base: Baseline, times: int) -> str:
    if counts[0] >= base.friction:
        return f"that is just {times} packs of {base.friction} friction and {base.steel} steel plates"
    part = {2: "half", 3: "a third"}.get(times, f"1/{times}")
    return f"that is just {part} of the pack"


def differences(counts: tuple[int, int], base: Baseline) -> str:
    """`one steel plate more`, `2 friction plates fewer and one steel plate more`."""
    said = []
    for kind, new in zip(KINDS, counts, strict=True):
        by = new - base.count(kind)
        if by:
            said.append(f"{plates(abs(by), kind)} {'more' if by > 0 else 'fewer'}")
    return " and ".join(said)


def plates(count: int, kind: Plate) -> str:
    """`one steel plate`, `2 friction plates`."""
    return f"one {kind} plate" if count == 1 else f"{count} {kind} plates"
