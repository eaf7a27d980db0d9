"""Which line of what came is which line of what was expected."""

from itertools import permutations

import networkx as nx
import pytest
from benchleaf.graph.kits.likeness import _words_alike
from benchleaf.graph.kits.matching import LEAST, UNPAIRED, best_pairs, cost, pair_up, same_name
from benchleaf.graph.kits.partnames import name_words
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.received import Received
from benchleaf.graph.kits.succession import Exchange, Linked, exchanges, linked_by
from benchleaf.graph.model import KitLine, Supersession
from fake_shelf import became
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz import fuzz


def _no_link(one: str, other: str) -> None:
    return None


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("friction disc", "friction"),
        ("disk, lined", "friction"),
        ("fibre plates", "friction"),
        ("clutch disc", "friction"),
        ("inner plate", "friction"),
        ("steel disc", "steel"),
        ("separator plate", "steel"),
        ("plain plates", "steel"),
        ("outer disc", "steel"),
        ("unlined disc", "steel"),
        ("steel", "steel"),
        ("steel ring", None),
        ("end plate", None),
        ("pressure plate, steel", None),
        ("seal ring", None),
    ],
)
def test_names_of_plates(name: str, kind: str | None) -> None:
    """Makers' names tell friction from steel plates; end plates and steel rings are neither (common
    practice)."""
    assert plate_kind(name) == kind


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("friction disc", "lined plates", True),
        ("steel disc", "friction disc", False),
        ("seal ring", "sealing rings", True),
        ("seal ring", "retaining ring", False),
        ("retaining ring", "snap ring", True),
        ("circlip", "ring, retaining", True),
        ("O-ring", "o ring", True),
        ("shim 0.10 mm", "shim 0.20 mm", False),
        ("shim 0,10 mm", "shim 0.1 mm", True),
        ("wave spring", "cup spring", False),
        ("gasket", "gaskets", True),
    ],
)
def test_names_of_parts(one: str, other: str, same: bool) -> None:
    """Number, order of words and synonyms do not matter; another kind, another size do."""
    assert (same_name(one, other) >= LEAST) is same
    assert same_name(one, other) == same_name(other, one)


def test_name_words_are_singular() -> None:
    """Plurals and -ing forms come to one word."""
    assert name_words("sealing rings") == name_words("seal ring")


def test_numbers_win_over_names() -> None:
    """A line with the listed number is that line, whatever it is called."""
    expected = [KitLine("4410-21", "seal ring", 2), KitLine("4410-22", "seal ring", 2)]
    came = [Received("seal ring", 2, "441022"), Received("ring", 2, "441021")]
    pairs = pair_up(expected, came, _no_link)
    assert [(p.expected, p.received) for p in pairs] == [(expected[0], came[1]), (expected[1], came[0])]


def test_superseded_number_is_linked_and_a_stranger_is_marked() -> None:
    """A successor's number is linked by its note; a number nothing links is a stranger."""
    expected = [KitLine("4410-21", "seal ring", 2)]
    linked = pair_up(expected, [Received("seal ring", 2, "4410-35")], lambda a, b: ("N 1",))
    assert linked[0].because == ("N 1",) and not linked[0].stranger
    strange = pair_up(expected, [Received("seal ring", 2, "4410-22")], _no_link)
    assert strange[0].stranger


def test_two_thicknesses_counted_as_one_heap() -> None:
    """Where the list has two lines of steel plates and the person one heap, their sum is compared."""
    expected = [KitLine(None, "steel disc 2.5 mm", 5), KitLine(None, "steel disc 3.0 mm", 1)]
    pairs = pair_up(expected, [Received("steel discs", 6)], _no_link)
    assert len(pairs) == 1 and pairs[0].expected is not None and pairs[0].expected.quantity == 6


def test_one_line_counted_in_two_heaps() -> None:
    """Two heaps of one name are added up."""
    pairs = pair_up([KitLine(None, "seal", 5)], [Received("seal", 2), Received("Seal", 3)], _no_link)
    assert len(pairs) == 1 and pairs[0].received is not None and pairs[0].received.quantity == 5


def test_heap_with_an_unknown_count_is_unknown() -> None:
    """Two heaps of which one was not counted have no sum."""
    pairs = pair_up([KitLine(None, "seal", 5)], [Received("seal", 2), Received("seal", None)], _no_link)
    assert pairs[0].received is not None and pairs[0].received.quantity is None


def _best(costs: list[list[int]]) -> int:
    rows, columns = len(costs), len(costs[0])
    padded = [*range(columns), *[-1] * rows]
    return min(
        sum(min(costs[i][j], UNPAIRED) if j >= 0 else UNPAIRED for i, j in enumerate(p))
        for p in set(permutations(padded, rows))
    )


COSTS = st.integers(1, 3).flatmap(
    lambda n: st.lists(
        st.lists(st.integers(UNPAIRED - 50, UNPAIRED + 9), min_size=n, max_size=n), min_size=1, max_size=3
    )
)


@settings(max_examples=60, deadline=None)
@given(COSTS)
def test_pairing_is_the_best_of_all(costs: list[list[int]]) -> None:
    """The pairing's cost equals the least over all permutations (brute force)."""
    found = best_pairs(costs)
    assert len(set(found.values())) == len(found)
    alone = len(costs) - len(found)
    assert sum(costs[i][j] for i, j in found.items()) + alone * UNPAIRED == _best(costs)


@given(st.lists(st.lists(st.sampled_from([0, 5, 40, UNPAIRED]), min_size=4, max_size=4), max_size=5))
@settings(max_examples=400, deadline=None)
def test_pairs_are_those_of_networkx(costs: list[list[int]]) -> None:
    """With ties or without, the pairs are the very ones of networkx's greatest matching by weight, also where
    that is not asked because no two lines contend."""
    graph = nx.Graph()
    for i, row in enumerate(costs):
        for j, price in enumerate(row):
            if price < UNPAIRED:
                graph.add_edge(("row", i), ("column", j), weight=UNPAIRED - price)
    told = [dict(pair) for pair in nx.max_weight_matching(graph)]
    assert best_pairs(costs) == {pair["row"]: pair["column"] for pair in told}


WORDS = st.lists(st.text("abdeilnrst", min_size=1, max_size=9), min_size=1, max_size=3)


@given(WORDS, WORDS)
@settings(max_examples=500, deadline=None)
def test_likeness_of_words_is_that_of_rapidfuzz(first: list[str], second: list[str]) -> None:
    """Leaving out words that share too few letters changes no likeness: it is what rapidfuzz's ratio of every
    two words gives."""
    short, long = sorted((first, second), key=len)
    best = [max(fuzz.ratio(a, b) / 100 for b in long) for a in short]
    whole = max(100 * sum(best) / len(best) - 12 * (len(long) - len(short)), 0)
    assert _words_alike(first, second) == (0 if min(best) < 0.82 else pytest.approx(whole))


def test_the_table_of_costs() -> None:
    """Number before supersession before a look-alike number before a name; what is unlike is never paired."""
    line = KitLine("4410-20", "seal ring", 2)

    def linked(one: str, other: str) -> tuple[str, ...] | None:
        return ("N 1",) if other == "4410-35" else None

    prices = [
        cost(line, Received("", 2, "441020"), linked),
        cost(line, Received("", 2, "4410-35"), linked),
        cost(line, Received("", 2, "44I0-2O"), linked),
        cost(line, Received("seal ring", 2), linked),
        cost(line, Received("seal rings", 2, "9-99"), linked),
        cost(line, Received("wave spring", 2, "9-99"), linked),
    ]
    assert prices == sorted(set(prices)) and prices[0] == 0 and prices[-1] == UNPAIRED


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 12))
def test_a_number_outweighs_any_number_of_names(count: int) -> None:
    """A chain of alike names never tears a pair of one number apart."""
    listed = [KitLine(None, "seal ring", 1), KitLine("4410-21", "seal ring", 1)]
    came = [
        Received("seal ring", 1, "4410-21"),
        *(Received(f"seal ring {c}", 1) for c in "abcdefghijkl"[:count]),
    ]
    pairs = pair_up(listed, came, _no_link)
    assert any(p.expected == listed[1] and p.received == came[0] for p in pairs)


def test_one_number_in_two_heaps() -> None:
    """Two heaps of one number are added up, whatever they are called."""
    came = [Received("seal", 2, "4410-21"), Received("", 3, "441021")]
    pairs = pair_up([KitLine("4410-21", "seal ring", 5)], came, _no_link)
    assert len(pairs) == 1 and pairs[0].received is not None and pairs[0].received.quantity == 5


def test_one_number_listed_twice() -> None:
    """A part listed in two places and counted once is compared with the sum."""
    listed = [KitLine("4410-21", "O-ring, front", 1), KitLine("4410-21", "O-ring, rear", 2)]
    (pair,) = pair_up(listed, [Received("O-rings", 3, "4410-21")], _no_link)
    assert pair.expected is not None and (pair.expected.part, pair.expected.quantity) == ("4410-21", 3)


def test_same_name_and_other_thickness() -> None:
    """Two lines of one name are told apart by thickness; counted as one heap they are added, and that is
    told."""
    listed = [KitLine("8-1", "shim 0.10 mm", 2), KitLine("8-2", "shim 0.20 mm", 3)]
    apart = pair_up(listed, [Received("shim 0,20 mm", 3), Received("shim 0,10 mm", 2)], _no_link)
    assert [(p.expected, p.received and p.received.quantity) for p in apart] == [
        (listed[0], 2),
        (listed[1], 3),
    ]
    (heap,) = pair_up(listed, [Received("shims", 5)], _no_link)
    assert heap.expected is not None and heap.expected.quantity == 5 and "one heap" in heap.told


def test_look_alike_number_is_offered_never_taken() -> None:
    """O for 0 is another number: the two are shown side by side as strangers."""
    (pair,) = pair_up([KitLine("4410-20", "seal", 2)], [Received("", 2, "441O-2O")], _no_link)
    assert pair.stranger and pair.received is not None


def _told(*statements: Supersession) -> tuple[Linked, tuple[Exchange, ...]]:
    return linked_by(statements), exchanges(statements)


def test_merged_successor() -> None:
    """One new number for two listed lines takes the place of both."""
    linked, sets = _told(became(("7-1", "7-2"), "7-9", relation="all of", note="N 4"))
    listed = [KitLine("7-1", "ring", 1), KitLine("7-2", "clip", 1)]
    (pair,) = pair_up(listed, [Received("ring with clip", 1, "7-9")], linked, sets)
    assert pair.listed == tuple(listed) and pair.because == ("N 4",) and not pair.stranger
    assert pair.expected is not None and pair.expected.quantity == 1


def test_merge_of_unequal_lines_leaves_the_quantity_open() -> None:
    """One number for two lines of other quantities: how many are meant is not said."""
    linked, sets = _told(became(("7-1", "7-2"), "7-9", relation="all of", note="N 4"))
    listed = [KitLine("7-1", "ring", 1), KitLine("7-2", "clip", 4)]
    (pair,) = pair_up(listed, [Received("ring with clip", 1, "7-9")], linked, sets)
    assert pair.expected is not None and pair.expected.quantity is None and "ask" in pair.told


def test_one_number_for_each_of_two() -> None:
    """Where a note lists two old numbers for a new one, as many as both together are one for each."""
    linked, sets = _told(became(("7-1", "7-2"), "7-9", note="N 4"))
    listed = [KitLine("7-1", "ring", 1), KitLine("7-2", "ring", 1)]
    for count, word in ((1, "together"), (2, "each")):
        (pair,) = pair_up(listed, [Received("ring", count, "7-9")], linked, sets)
        assert pair.expected is not None and pair.expected.quantity == count and word in pair.told


def test_split_needs_all_its_numbers() -> None:
    """A listed number that became two fitted together: both are expected, one of them alone is not enough."""
    linked, sets = _told(became("7-1", ("7-8", "7-9"), relation="all of", note="N 4"))
    listed = [KitLine("7-1", "valve", 2)]
    both = pair_up(listed, [Received("body", 2, "7-8"), Received("spool", 2, "7-9")], linked, sets)
    assert [(p.expected and p.expected.part, p.received and p.received.quantity) for p in both] == [
        ("7-8", 2),
        ("7-9", 2),
    ]
    half = pair_up(listed, [Received("body", 2, "7-8")], linked, sets)
    assert [p.received is None for p in half] == [False, True]
    old = pair_up(listed, [Received("valve", 2, "7-1")], linked, sets)
    assert old[0].expected == listed[0] and not old[0].listed


def test_set_behind_a_change_of_number() -> None:
    """A listed number that was renamed before it was split is followed."""
    linked, sets = _told(
        became("7-0", "7-1", note="N 1"), became("7-1", ("7-8", "7-9"), relation="all of", note="N 4")
    )
    pairs = pair_up(
        [KitLine("7-0", "valve", 1)], [Received("", 1, "7-8"), Received("", 1, "7-9")], linked, sets
    )
    assert [p.because for p in pairs] == [("N 4",), ("N 4",)]


def test_either_of_two_numbers_is_enough() -> None:
    """“One of” is a choice: one of the new numbers stands for the old one alone."""
    linked, sets = _told(became("7-1", ("7-8", "7-9"), relation="one of", note="N 4"))
    (pair,) = pair_up([KitLine("7-1", "valve", 1)], [Received("", 1, "7-9")], linked, sets)
    assert pair.because == ("N 4",) and not sets


@pytest.mark.parametrize(
    ("listed", "quantity"),
    [("pair of thrust washers", 2), ("set of 4 washers", 4), ("pack of 10 washers", 10)],
)
def test_listed_packs_are_counted_in_pieces(listed: str, quantity: int) -> None:
    """A list that counts packs and a person who counts pieces mean one thing."""
    (pair,) = pair_up([KitLine(None, listed, 1)], [Received("thrust washer", quantity)], _no_link)
    assert pair.expected is not None and pair.expected.quantity == quantity and pair.told
