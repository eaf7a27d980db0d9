"""Which line of what came is which line of what was expected: an assignment at the least cost.

What two lines cost to pair (`cost`); the whole is the cheapest assignment, not the first that fits:

| the two lines                                   | cost                          |
| ----------------------------------------------- | ----------------------------- |
| bear the same number                            | `SAME_NUMBER`                 |
| are linked by settled supersession              | `LINKED`                      |
| bear numbers that look alike (0 and O, 1 and I) | `LOOK_ALIKE`, and is asked    |
| have one name, or alike names                   | `UNPAIRED` less 10 × likeness |
| ... under numbers that nothing links            | and `OTHER_NUMBER` more       |
| have other quantities                           | `OTHER_QUANTITY` more         |
| have nothing in common                          | `UNPAIRED`: never paired      |

The gaps are a hundredfold, so that in any kit of up to fifty lines no number of alike names outweighs one
number. The figures are ours.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.keys import folded, key
from benchleaf.graph.kits.likeness import same_name, sizes
from benchleaf.graph.kits.packing import in_pieces
from benchleaf.graph.kits.partnames import name_words
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.received import Received
from benchleaf.graph.kits.succession import Exchange, Linked
from benchleaf.graph.model import KitLine

__all__ = ["LEAST", "UNPAIRED", "Linked", "Pair", "best_pairs", "cost", "pair_up", "same_name"]

SAME_NUMBER = 0
LINKED = 9_900_000
LOOK_ALIKE = 9_998_900
UNPAIRED = 10_000_000
OTHER_NUMBER = 50
OTHER_QUANTITY = 5
LEAST = 60.0
"""Likeness of names out of 100 below which two lines are not the same thing."""


@dataclass(frozen=True, slots=True)
class Pair:
    """An expected line and what came for it; either may be missing.

    `because` are the notes that link the two numbers, `stranger` is True where the numbers differ and nothing
    held links them. `listed` are the listed lines that a set stands for, where one does. `each` is "per side"
    or the like where the expected quantity counts one of several; `told` how packs were counted, or what was
    not told apart. `barred` is why the number that came must not be fitted; `packed_before` says that the
    newest word took the line out and the box is older; `carried_from` whose word the line is, where the
    newest word does not speak of it.
    """

    expected: KitLine | None
    received: Received | None
    because: tuple[str, ...] = ()
    stranger: bool = False
    listed: tuple[KitLine, ...] = ()
    each: str = ""
    told: str = ""
    barred: str = ""
    packed_before: str = ""
    carried_from: str = ""


def pair_up(
    expected: Sequence[KitLine],
    received: Sequence[Received],
    linked: Linked,
    sets: Sequence[Exchange] = (),
) -> tuple[Pair, ...]:
    """Pair every line once: first the expected ones in their order, then what nobody expected.

    `sets` are the numbers that stand together for listed ones; see `benchleaf.graph.kits.succession`.
    """
    listed = [Pair(line, None, each=each, told=told) for line, told, each in map(in_pieces, expected)]
    wanted, came = _level(listed, _heaped(received))
    wanted, came, paired = _as_sets(wanted, came, linked, sets)
    partner = best_pairs([[cost(_line(e), r, linked) for r in came] for e in wanted])
    pairs = [_joined(e, came[partner[i]] if i in partner else None, linked) for i, e in enumerate(wanted)]
    taken = set(partner.values())
    pairs = [_together(p, pairs, sets) for p in pairs]
    return (*pairs, *paired, *(Pair(None, r) for j, r in enumerate(came) if j not in taken))


def _together(pair: Pair, pairs: Sequence[Pair], sets: Sequence[Exchange]) -> Pair:
    """A listed part that did not come, while another came with which one number replaced it: they belong
    together, so it is not passed over uncounted."""
    line = pair.expected
    if line is None or not line.part or pair.received is not None:
        return pair
    for swap in (s for s in sets if len(s.old) > 1 and key(line.part) in {key(n) for n in s.old}):
        came = [p.expected.part for p in pairs if p.received is not None and p.expected and p.expected.part]
        others = [n for n in came if key(n) in {key(o) for o in swap.old} - {key(line.part)}]
        if others:
            told = f"belongs together with {' and '.join(others)}, which came ({swap.note})"
            return replace(pair, listed=(line,), told=told)
    return pair


def best_pairs(costs: Sequence[Sequence[int]]) -> dict[int, int]:
    """The rows and columns paired at the least cost in all, where whoever stays alone costs `UNPAIRED` for
    the two; a pair at `UNPAIRED` or more is none."""
    plain = _without_rivals(costs)
    if plain is not None:
        return plain
    import networkx as nx

    graph = nx.Graph()
    for i, row in enumerate(costs):
        for j, price in enumerate(row):
            if price < UNPAIRED:
                graph.add_edge(("row", i), ("column", j), weight=UNPAIRED - price)
    found = {}
    for one, other in nx.max_weight_matching(graph):
        row, column = (one, other) if one[0] == "row" else (other, one)
        found[row[1]] = column[1]
    return dict(sorted(found.items()))


def _without_rivals(costs: Sequence[Sequence[int]]) -> dict[int, int] | None:
    """The pairs where every row has one cheapest column, and no two rows the same: nothing can be cheaper, so
    that no assignment need be worked out. None where rows contend, or two columns are as cheap."""
    found = {}
    for i, row in enumerate(costs):
        least = min(row, default=UNPAIRED)
        if least < UNPAIRED:
            if row.count(least) > 1:
                return None
            found[i] = row.index(least)
    return found if len(set(found.values())) == len(found) else None


def cost(expected: KitLine, received: Received, linked: Linked) -> int:
    """What it costs to take the two for the same thing, by the table above."""
    more = 0 if expected.quantity == received.quantity else OTHER_QUANTITY
    strange = 0
    if expected.part and received.part:
        if key(expected.part) == key(received.part):
            return SAME_NUMBER + more
        if linked(expected.part, received.part) is not None:
            return LINKED + more
        if folded(expected.part) == folded(received.part):
            return LOOK_ALIKE + more
        strange = OTHER_NUMBER
    alike = same_name(expected.description, received.description)
    return UNPAIRED if alike < LEAST else UNPAIRED - round(10 * alike) + strange + more


def _joined(want: Pair, received: Received | None, linked: Linked) -> Pair:
    line = _line(want)
    if received is None or not line.part or not received.part or key(line.part) == key(received.part):
        return replace(want, received=received)
    notes = linked(line.part, received.part)
    return replace(want, received=received, because=notes or (), stranger=notes is None)


def _line(pair: Pair) -> KitLine:
    return pair.expected or KitLine(None, "", None)


def _level(expected: Sequence[Pair], came: list[Received]) -> tuple[list[Pair], list[Received]]:
    """Bring both sides to one grain: a person counts "11 steel discs" where the list has two thicknesses of
    them, or a slip has one line for a number that is listed twice."""
    wanted = list(expected)
    numbers = {key(r.part) for r in came if r.part}
    for number in dict.fromkeys(key(_line(e).part or "") for e in expected):
        twice = [e for e in wanted if _line(e).part and key(_line(e).part or "") == number]
        if number in numbers and len(twice) > 1:
            _put_together(wanted, twice, "")
    for name in dict.fromkeys(_basis(_line(e).description) for e in expected):
        want = [e for e in wanted if name and _basis(_line(e).description) == name]
        have = [r for r in came if _basis(r.description) == name]
        if len(want) > 1 and len(have) == 1 and not have[0].part and not sizes(have[0].description):
            _put_together(wanted, want, "counted as one heap: see which is which")
    return wanted, came


def _basis(description: str) -> tuple[str, ...]:
    kind = plate_kind(description)
    return (f"{kind} plate",) if kind else name_words(description)


def _put_together(wanted: list[Pair], some: Sequence[Pair], told: str) -> None:
    at = wanted.index(some[0])
    whole = _sum([_line(e) for e in some])
    for one in some:
        wanted.remove(one)
    each = {e.each for e in some}
    said = "; ".join(dict.fromkeys(t for t in (*(e.told for e in some), told) if t))
    if len(each) > 1:  # one counted by side and one not have no sum
        whole = replace(whole, quantity=None)
    wanted.insert(at, Pair(whole, None, each=each.pop(), told=said))


def _sum(lines: Sequence[KitLine]) -> KitLine:
    counts = [line.quantity for line in lines]
    total = None if None in counts else sum(c for c in counts if c is not None)
    names = " + ".join(dict.fromkeys(line.description for line in lines))
    parts = {key(line.part or "") for line in lines}
    return KitLine(lines[0].part if len(parts) == 1 else None, names, total)


def _heaped(received: Iterable[Received]) -> list[Received]:
    """Heaps of one number, or without numbers of one name, as one."""
    heaps: dict[str, Received] = {}
    for r in received:
        at = key(r.part) if r.part else " " + " ".join(r.description.lower().split())
        held = heaps.get(at)
        heaps[at] = r if held is None else _both(held, r)
    return list(heaps.values())


def _both(one: Received, other: Received) -> Received:
    told = "; ".join(dict.fromkeys(t for t in (one.told, other.told) if t))
    count = None if one.quantity is None or other.quantity is None else one.quantity + other.quantity
    return replace(one, description=one.description or other.description, quantity=count, told=told)


def _as_sets(
    wanted: list[Pair], came: list[Received], linked: Linked, sets: Sequence[Exchange]
) -> tuple[list[Pair], list[Received], list[Pair]]:
    """Take out what came as a set for listed lines: several numbers for one, or one for several."""
    paired: list[Pair] = []
    for swap in sets:
        olds = [next((e for e in wanted if _stands(_line(e).part, n, linked)), None) for n in swap.old]
        olds_keys = {key(n) for n in swap.old}
        fresh = [r for r in came if r.part and key(r.part) not in olds_keys]
        news = [next((r for r in fresh if _stands(n, r.part or "", linked)), None) for n in swap.new]
        listed = [e for e in olds if e is not None]
        have = [r for r in news if r is not None]
        numbers = {key(r.part) for r in came if r.part}
        old_came = any(key(_line(e).part or "") in numbers for e in listed)
        if len(listed) < len(swap.old) or len(set(map(id, listed))) < len(listed) or not have:
            continue
        if old_came and len(swap.old) == 1:
            continue
        paired += _set_pairs(swap, listed, news)
        wanted = [e for e in wanted if not any(e is one for one in listed)]
        over = [r for r in came if r.part and key(r.part) in {key(n) for n in swap.old}]
        paired += [
            Pair(None, r, told=f"{_names(news)} came too, and stands for it ({swap.note})") for r in over
        ]
        came = [r for r in came if not any(r is one for one in over)]
        came = [r for r in came if not any(r is one for one in have)]
    return wanted, came, paired


def _names(received: Sequence[Received | None]) -> str:
    return " and ".join(r.part for r in received if r is not None and r.part)


def _stands(old: str | None, new: str, linked: Linked) -> bool:
    return bool(old) and (key(old or "") == key(new) or linked(old or "", new) is not None)


def _set_pairs(swap: Exchange, listed: Sequence[Pair], news: Sequence[Received | None]) -> list[Pair]:
    """A pair for each number of the set; as many of each as of each listed line, if those agree."""
    lines = tuple(_line(e) for e in listed)
    counts = {line.quantity for line in lines}
    share = swap.share([line.quantity for line in lines])
    count = lines[0].quantity if len(counts) == 1 else share
    told = f"stands for {' and '.join(line.part or '' for line in lines)} together ({swap.note})"
    if count is None and len(counts) > 1:
        told += "; those are listed in other quantities: ask how many are meant"
    total = _sum(lines).quantity
    if not swap.sure and news[0] is not None and news[0].quantity == total and len(news) == 1:
        count, told = total, f"stands for each of {' and '.join(x.part or '' for x in lines)} ({swap.note})"
    names = " + ".join(dict.fromkeys(line.description for line in lines))
    told_counts = share is not None and len(swap.new_counts) == len(swap.new)
    each = (
        {n: (share or 0) * c for n, c in zip(swap.new, swap.new_counts, strict=True)} if told_counts else {}
    )
    return [
        Pair(
            KitLine(
                number, (came.description if came and came.description else names), each.get(number, count)
            ),
            came,
            (swap.note,),
            listed=lines,
            told=told,
        )
        for number, came in zip(swap.new, news, strict=True)
    ]
