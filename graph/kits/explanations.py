"""What kind of note would explain a pack that the held papers do not: only what the arithmetic admits.

Which causes there are is common practice, no source. Nothing here is claimed to be so; each sentence says why
the figures allow it.
"""

from collections.abc import Sequence

from benchleaf.graph.kits.baseline import KINDS, Baseline, asked, where
from benchleaf.graph.kits.heights import equal_height, in_mm
from benchleaf.graph.kits.pack import admits, orders
from benchleaf.graph.kits.packchange import Change
from benchleaf.graph.kits.packgap import Gap, differences, plates
from benchleaf.graph.kits.packstep import PackStep
from benchleaf.graph.model import Item


def explanations(gap: Gap, elsewhere: Sequence[tuple[str, Item, tuple[str, ...]]]) -> tuple[str, ...]:
    """The kinds of note that would explain the gap, most likely first.

    `elsewhere` are steps of other packs that count just what came: publication, item, models.
    """
    said = [*_of_itself(gap), *_several(gap), *_elsewhere(gap, elsewhere)]
    said += [*_order(gap), *_thickness(gap), *_end_plate(gap)]
    said += [*_spare(gap), *_used_again(gap)]
    said.append(
        "a kit packed for another model or another pack of this unit: compare the number on the box with the"
        " order"
    )
    return tuple(dict.fromkeys(said))


def first_looks(gap: Gap) -> tuple[str, ...]:
    """What to look at before asking the maker, since no note is missing if it is so."""
    friction, steel = gap.counts
    said = []
    if gap.cannot_be_built or gap.base is not None:
        said.append("count both kinds once more")
    said += [
        f"measure one of the {c.kind} plates with the micrometer: what is written may be rounded"
        for c in gap.changes
        if c.now.one is not None
    ]
    without = (friction, steel - 1)
    steps = gap.misfits or ((gap.base.pack,) if gap.base and gap.base.pack else ())
    if steel > 0 and any(_is_just(p, without) for p in steps if p):
        said.append(
            f"see whether an end plate was counted with the steel plates: without it there are {friction} and"
            f" {steel - 1}, which {where(next(p for p in steps if p and _is_just(p, without)))} builds"
        )
    return tuple(said)


def _is_just(pack: PackStep, counts: tuple[int, int]) -> bool:
    same = (pack.words.friction, pack.words.steel) == counts or not pack.words.counted
    return same and admits(pack.words, *counts) is not False and bool(orders(*counts))


def _of_itself(gap: Gap) -> list[str]:
    """The step's own counts do not build its own order."""
    return [
        f"a correction of {where(p)}: it counts just these plates, and they do not build its own order"
        for p in gap.misfits
        if (p.words.friction, p.words.steel) == gap.counts
    ]


def _several(gap: Gap) -> list[str]:
    if gap.times is None or gap.base is None:
        return []
    friction, steel = gap.counts
    base = f"{gap.base.friction} and {gap.base.steel}"
    if friction >= gap.base.friction:
        return [
            f"a kit for {gap.times} packs or {gap.times} units: {friction} and {steel} are just"
            f" {gap.times} times {base}"
        ]
    return [
        f"{gap.times} kits to a pack: {gap.times} times {friction} and {steel} are just {base}; the note or"
        " the parts list says how many to order"
    ]


def _elsewhere(gap: Gap, elsewhere: Sequence[tuple[str, Item, tuple[str, ...]]]) -> list[str]:
    friction, steel = gap.counts
    return [
        f"a kit for another pack: step {item.label} on page {item.page} of {book}"
        f"{f' ({_models(models)})' if models else ''} counts just {friction} and {steel}"
        for book, item, models in elsewhere
    ]


def _models(models: Sequence[str]) -> str:
    return f"model {', '.join(models[:4])}"


def _order(gap: Gap) -> list[str]:
    """Another order is admitted only if the counts can alternate and the order asked for is not theirs."""
    found = orders(*gap.counts)
    if not found or not (gap.misfits or gap.turned):
        return []
    if len(found) == 1:
        return [
            f"another order of stacking, with a {found[0].first} plate first and last: so many plates stack"
            " in no other way"
        ]
    return [
        "another order of stacking, with a friction plate at one end and a steel plate at the other: equal "
        "numbers stack in no other way"
    ]


def _thickness(gap: Gap) -> list[str]:
    """Thinner where there are more, thicker where there are fewer; not where the kit's own are known to be of
    the old thickness."""
    return [_thickness_of(c) for c in gap.changes if _may_differ(c)]


def _may_differ(c: Change) -> bool:
    if c.was.one is None or c.now.one is None:
        return c.old != c.new
    return (c.now.one.mm - c.was.one.mm) * (c.old - c.new) > 0 or c.old == c.new


def _thickness_of(c: Change) -> str:
    was, now = c.was.one, c.now.one
    if was is not None and now is not None:
        thin = "thinner" if now.mm < was.mm else "thicker"
        stays = ": the height then stays as it was" if c.level else ""
        return f"{thin} {c.kind} plates, {in_mm(now.mm)} instead of {in_mm(was.mm)}{stays}"
    thin = "thinner" if c.new > c.old else "thicker"
    if was is not None:
        each = in_mm(equal_height(c.old, was.mm, c.new))
        return (
            f"{thin} {c.kind} plates, about {each} each instead of {in_mm(was.mm)}: then {c.new} of them are"
            f" as high as the {c.old} were"
        )
    return (
        f"{thin} {c.kind} plates, about {100 * c.old / c.new:.1f} % of the old thickness: then {c.new} of"
        f" them are as high as the {c.old} were"
    )


def _end_plate(gap: Gap) -> list[str]:
    """Another end plate is admitted if the plates may take another height."""
    if not gap.changes or all(c.level for c in gap.changes):
        return []
    known = [c.higher if c.higher is not None else _if_as_before(c) for c in gap.changes]
    sure = [k for k in known if k is not None]
    if len(sure) == len(known):
        by = sum(sure)
        if abs(by) < 0.005:
            return []
        if_so = "" if all(c.higher is not None for c in gap.changes) else ", if they are as thick as before"
        much = f"the plates take up {in_mm(abs(by))} {'more' if by > 0 else 'less'}{if_so}"
    else:
        by = sum(c.new - c.old for c in gap.changes)
        much = "the plates take up another height if they are as thick as before"
    if by > 0:
        return [f"a thinner end plate or backing plate, or one fewer: {much}"]
    if by < 0:
        return [f"a thicker end plate or backing plate, or one more: {much}"]
    return [f"another end plate or backing plate: {much}"]


def _if_as_before(c: Change) -> float | None:
    return None if c.was.one is None else (c.new - c.old) * c.was.one.mm


def _spare(gap: Gap) -> list[str]:
    base = gap.base
    if base is None or not _all_at_least(gap.counts, base) or gap.times:
        return []
    over = differences(gap.counts, base).replace(" more", "")
    return [f"spare plates in the box: {over} beyond what {_whose(base)}; the packing note would say so"]


def _whose(base: Baseline) -> str:
    return f"{where(base.pack)} uses" if base.pack else "was listed"


def _all_at_least(counts: tuple[int, int], base: Baseline) -> bool:
    return counts[0] >= base.friction and counts[1] >= base.steel


def _used_again(gap: Gap) -> list[str]:
    """Fewer of a kind, more of none: the missing ones come from elsewhere."""
    base = gap.base
    if base is not None and 0 in gap.counts and base.friction and base.steel:
        here, other = ("steel", "friction") if gap.counts[1] else ("friction", "steel")
        return [f"a set of {here} plates only: the {other} plates are used again or ordered on their own"]
    if base is None or gap.times or not (gap.counts[0] <= base.friction and gap.counts[1] <= base.steel):
        return []
    short = " and ".join(
        plates(base.count(kind) - now, kind)
        for kind, now in zip(KINDS, gap.counts, strict=True)
        if now < base.count(kind)
    )
    return [f"plates used again or ordered on their own: {short} short of what {_whose(base)}"]


def asks(gap: Gap) -> str:
    """What the wanted note changes, in one word or two."""
    if (gap.misfits and gap.stacks) or gap.turned:
        return "the order of the plates"
    if gap.base is not None or not gap.stacks:
        return "the number of plates"
    return "the thickness of the plates"


def held_words(gap: Gap) -> str:
    """What came, as said on the telephone: `10 friction and 11 steel plates, the steel ones 1.8 mm thick`."""
    thick = [
        f"the {c.kind} ones {in_mm(c.now.one.mm)} thick{_instead(c)}"
        for c in gap.changes
        if c.now.one is not None
    ]
    return ", ".join((f"{gap.counts[0]} friction and {gap.counts[1]} steel plates", *thick))


def _instead(c: Change) -> str:
    return f" instead of {in_mm(c.was.one.mm)}" if c.was.one is not None and not c.level else ""


def as_asked(gap: Gap) -> str:
    """The paper that does not agree, as said on the telephone: `step 4 on page 31 of X is for 10 and 10 with
    a friction plate first`."""
    pack = gap.misfits[0] if gap.misfits else gap.base.pack if gap.base else None
    if pack is None:
        return f"{gap.base.said} {gap.base.friction} and {gap.base.steel}" if gap.base else ""
    counts = f" is for {pack.words.friction} and {pack.words.steel}" if pack.words.counted else ""
    order = asked(pack.words)
    joint = " with " if counts else " asks for "
    return f"{where(pack)}{counts}{joint + order if order else ''}"
