"""The part of a pack's answer that its plates give: orders, faces, height, clearance, other counts."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

from benchleaf.graph.kits.pack import Order, arithmetic, orders
from benchleaf.graph.kits.plates import Plate
from benchleaf.graph.packs.question import Build, PackQuestion, Plates
from benchleaf.graph.packs.said import Figure, Pad
from benchleaf.graph.packs.size import EQUAL, Size
from benchleaf.graph.packs.stack import Layer, Sum, clearance, height
from benchleaf.graph.packs.swap import PairLine, needed, needed_beside, pair_line
from benchleaf.graph.packs.torque import faces, faces_single


@dataclass(frozen=True, slots=True)
class Needed:
    """How thick the plates of one kind must be to keep the pack's height; mm."""

    kind: Plate
    count: int
    each: Size


@dataclass(frozen=True, slots=True)
class Swap:
    """What other counts mean for the height: plates needed, or the pairs possible, or the height's change.

    `difference` is height now less height before, in mm.
    """

    needed: Needed | None = None
    pairs: PairLine | None = None
    difference: float | None = None


def orders_of(build: Build, pad: Pad) -> tuple[Order, ...]:
    """The orders in which the plates can stack; a finding if there are none."""
    if build.friction is None or build.steel is None:
        if build.friction or build.steel:
            pad.want("the order and the friction faces", "the count of the other kind")
        return ()
    counts = build.friction.count, build.steel.count
    found = orders(*counts)
    if not found:
        pad.fault(arithmetic(*counts))
    elif found[0].first == found[0].last == "friction" and not build.end_plates and not build.single_sided:
        pad.find(
            "a friction plate lies at both ends: friction plates bear on steel, not on piston or backing "
            "plate (common practice); if they rub on end plates there, say so with --end-plates"
        )
    return found


def faces_of(build: Build, friction: Plates | None, steel: Plates | None, name: str, pad: Pad) -> int | None:
    """The faces that rub, with the rule that counted them."""
    if friction is None or steel is None or not friction.count:
        return None
    if build.single_sided:
        return _single(friction, name, pad)
    ends, n1, n2 = build.end_plates, friction.count, steel.count + build.end_plates
    count = faces(friction.count, steel.count, ends)
    if count is None:
        pad.want(name, "counts that alternate, with the end plates that are rubbed on (--end-plates)")
        return None
    rule = "friction plates + steel plates − 1, an end plate that is rubbed on counted as a steel; "
    counted = f"{steel.count} + {ends}" if ends else f"{n2}"
    pad.show(name, f"{rule}discs lined on both sides (common practice)", f"{n1} + {counted} − 1 = {count}")
    return count


def _single(friction: Plates, name: str, pad: Pad) -> int:
    count = faces_single(friction.count)
    rule = "one a lined plate, discs lined on one side, each lining against a bare steel face"
    pad.show(name, f"{rule} (common practice)", f"{count}")
    return count


def height_of(build: Build, pad: Pad) -> Sum | None:
    """The pack's height, if every plate named has its thickness."""
    layers = layers_of(build)
    if layers is None:
        if build.depth or any(p is not None and p.layers for p in (build.friction, build.steel)):
            bare = [n for n, p in _kinds(build) if p is not None and not p.sized]
            pad.want("the pack's height and clearance", *(f"the thickness of the {n} plates" for n in bare))
        return None
    if not layers:
        return None
    found = height(layers)
    terms = chain.from_iterable((" + ", *_term(layer)) for layer in layers)
    pad.show("pack height", "sum of the thicknesses", *list(terms)[1:], " = ", Figure(found.nominal))
    _tolerances(found, "pack height", _pieces(layers), pad)
    return found


def clearance_of(build: Build, pad: Pad) -> Sum | None:
    """The clearance that is left in the depth; a finding if there is none."""
    layers = layers_of(build)
    if not layers:
        return None
    if build.depth is None:
        pad.want("the clearance", "the depth that the pack goes into (--depth)")
        return None
    found = clearance(build.depth, layers)
    terms = chain.from_iterable((" − ", *_term(layer)) for layer in layers)
    depth = Figure(build.depth.middle, tolerance=build.depth.half)
    pad.show("clearance", "depth − sum of the thicknesses", depth, *terms, " = ", Figure(found.nominal))
    _tolerances(found, "clearance", [(1, build.depth.half), *_pieces(layers)], pad)
    _judge(found, pad)
    return found


def layers_of(build: Build) -> tuple[Layer, ...] | None:
    """All pieces of the stack; None if the thickness of some plates is not known."""
    plates = [p for p in (build.friction, build.steel) if p is not None]
    if not all(p.sized for p in plates):
        return None
    return (*chain.from_iterable(p.layers for p in plates), *build.others)


def swap_of(question: PackQuestion, pad: Pad) -> Swap | None:
    """What the change of counts asks of the thicknesses, at equal pack height."""
    build = question.build
    kinds = (
        ("friction", build.friction, question.was_friction),
        ("steel", build.steel, question.was_steel),
    )
    known = [(kind, now, was) for kind, now, was in kinds if now is not None and was is not None]
    if not known:
        if question.was_friction or question.was_steel:
            pad.want("what the change means", "the counts now (--friction, --steel)")
        return None
    bare = [kind for kind, now, was in known if not was.sized]
    if bare:
        if len(known) > 1 or any(now.layers for _, now, _ in known):
            pad.want("the thickness needed", *(f"thickness before of the {kind} plates" for kind in bare))
        return None
    return _swap([(_plate(kind), now, was) for kind, now, was in known if now.count and was.count], pad)


def _swap(known: list[tuple[Plate, Plates, Plates]], pad: Pad) -> Swap | None:
    if not known:
        return None
    open_kinds = [(kind, now, was) for kind, now, was in known if not now.sized]
    if not open_kinds:
        return _difference(known, pad)
    changed = [(kind, now, was) for kind, now, was in open_kinds if now.count != was.count]
    if len(changed) == 2:
        return _pairs(known, pad)
    if len(open_kinds) == 2 or len(known) == 1:
        return Swap(needed=_needed(*changed[0], pad)) if changed else None
    return _beside(open_kinds[0], [k for k in known if k[1].sized], pad)


def _difference(known: list[tuple[Plate, Plates, Plates]], pad: Pad) -> Swap:
    now = height([layer for _, n, _ in known for layer in n.layers]).nominal
    before = height([layer for _, _, w in known for layer in w.layers]).nominal
    figures = (Figure(now), " − ", Figure(before), " = ", Figure(now - before))
    which = " and ".join(kind for kind, _, _ in known)
    pad.show("height now less before", f"height of the {which} plates now − before", *figures)
    return Swap(difference=now - before)


def _needed(kind: Plate, now: Plates, was: Plates, pad: Pad) -> Needed:
    each = needed(was.layers, now.count)
    rule = "count before × thickness before ÷ count now, everything else in the pack unchanged"
    before = chain.from_iterable((" + ", *_term(layer)) for layer in was.layers)
    figures = ("(", *list(before)[1:], f") ÷ {now.count} = ", Figure(each.middle, tolerance=each.half))
    pad.show(f"{kind} plate needed", rule, *figures)
    return Needed(kind, now.count, each)


def _beside(
    unknown: tuple[Plate, Plates, Plates], given: list[tuple[Plate, Plates, Plates]], pad: Pad
) -> Swap:
    kind, now, was = unknown
    total = height([*was.layers, *(layer for _, _, w in given for layer in w.layers)]).nominal
    beside = height([layer for _, n, _ in given for layer in n.layers]).nominal
    each = needed_beside(total, beside, now.count)
    rule = f"(height before − the other plates' height now) ÷ count of {kind} plates now"
    figures = ("(", Figure(total), " − ", Figure(beside), f") ÷ {now.count} = ", Figure(each))
    pad.show(f"{kind} plate needed", rule, *figures)
    if each <= EQUAL:
        pad.fault(f"the other plates alone fill the height: no {kind} plate is thin enough")
        return Swap()
    return Swap(needed=Needed(kind, now.count, Size(each, each)))


def _pairs(known: list[tuple[Plate, Plates, Plates]], pad: Pad) -> Swap:
    (_, now_f, was_f), (_, now_s, was_s) = known
    line = pair_line(was_f.layers, was_s.layers, (now_f.count, now_s.count))
    rule = "friction count × friction thickness + steel count × steel thickness = height before; one is free"
    words = f"{line.friction} × friction + {line.steel} × steel = "
    pad.show("pairs that keep the height", rule, words, Figure(line.height))
    pad.find("both counts changed: the height alone does not say which thicknesses; the maker's note does")
    return Swap(pairs=line)


def _judge(found: Sum, pad: Pad) -> None:
    if found.nominal < -EQUAL:
        pad.fault("the pack does not go in: it is higher than the depth by ", Figure(-found.nominal))
    elif found.nominal <= EQUAL:
        pad.find("the pack fills the depth: no clearance is left")
    elif found.limits.low < -EQUAL:
        pad.find("at the worst case the pack does not go in: ", Figure(-found.limits.low), " too high")


def _tolerances(found: Sum, name: str, pieces: list[tuple[int, float]], pad: Pad) -> None:
    if found.worst <= EQUAL:
        return
    loose = [(count, half) for count, half in pieces if half > EQUAL]
    plain: list[str | Figure] = []
    square: list[str | Figure] = []
    for n, t in loose:
        plain += [" + ", f"{n} × " if n > 1 else "", Figure(t)]
        square += [" + ", f"{n} × (" if n > 1 else "(", Figure(t), ")²"]
    rule = "sum of all tolerances, each piece's counted"
    pad.show(f"{name}, worst case", rule, *plain[1:], " = ± ", Figure(found.worst))
    rule = "root of the sum of their squares, for deviations that have nothing to do with each other"
    pad.show(f"{name}, root-sum-square", rule, "√(", *square[1:], ") = ± ", Figure(found.rss))


def _pieces(layers: Sequence[Layer]) -> list[tuple[int, float]]:
    return [(layer.count, layer.each.half) for layer in layers]


def _term(layer: Layer) -> tuple[str | Figure, ...]:
    many = f"{layer.count} × " if layer.count > 1 else ""
    return (many, Figure(layer.each.middle, tolerance=layer.each.half), f" ({layer.name})")


def _kinds(build: Build) -> tuple[tuple[str, Plates | None], ...]:
    return (("friction", build.friction), ("steel", build.steel))


def _plate(kind: str) -> Plate:
    return "friction" if kind == "friction" else "steel"
