"""Supersession: chains, splits, merges, returns and circles."""

import datetime as dt
import itertools
from dataclasses import replace

from benchleaf.graph.supersession import current, earlier, graph_of
from fake_shelf import became, day
from hypothesis import given
from hypothesis import strategies as st


def _on(date: str | None, old: object, new: object, **fields: object):
    return became(old, new, date=day(date) if date else None, note=f"N {date}", **fields)  # type: ignore[arg-type]


def test_chain_leads_to_its_end_as_of_a_date() -> None:
    """A number leads through its successors to the last one; as of an earlier date only as far as was
    known."""
    told = [_on("2001-01-01", "A1000", "B1000"), _on("2005-01-01", "B1000", "C1000")]
    assert current("a-1000", told).numbers == ("C1000",)
    assert current("A1000", told, day("2003-01-01")).numbers == ("B1000",)
    assert current("A1000", told, day("2000-01-01")).numbers == ("A1000",)
    assert current("C1000", told).numbers == ("C1000",)


def test_split_all_of_follows_each_new_number() -> None:
    """A split into two numbers gives both, each followed to its own current one."""
    told = [
        _on("2001-01-01", "A1000", ("B1000", "C1000"), relation="all of"),
        _on("2002-01-01", "C1000", "D1000"),
    ]
    found = current("A1000", told)
    assert (found.numbers, found.relation) == (("B1000", "D1000"), "all of")


def test_split_that_keeps_the_old_number() -> None:
    """A part replaced by itself plus another is both."""
    found = current("A1000", [_on("2001-01-01", "A1000", ("A1000", "B1000"), relation="all of")])
    assert set(found.numbers) == {"A1000", "B1000"} and found.relation == "all of"


def test_merge_leads_each_old_number_to_the_new_one() -> None:
    """Two numbers merged into one both lead there, and both are its earlier numbers."""
    told = [_on("2001-01-01", ("A1000", "B1000"), "C1000")]
    assert current("A1000", told).numbers == current("B1000", told).numbers == ("C1000",)
    assert earlier("C1000", told) == ("A1000", "B1000")


def test_return_to_an_earlier_number_is_resolved_by_date() -> None:
    """a→b one year and b→a another: the date decides, and that is no circle (trade notes, Supersession)."""
    told = [_on("2001-01-01", "A1000", "B1000"), _on("2004-01-01", "B1000", "A1000")]
    for number in ("A1000", "B1000"):
        found = current(number, told)
        assert found.numbers == ("A1000",) and not found.problems
    assert current("A1000", told, day("2002-01-01")).numbers == ("B1000",)
    again = [*told, _on("2006-01-01", "A1000", "B1000")]
    assert current("A1000", again).numbers == current("B1000", again).numbers == ("B1000",)


def test_circle_without_dates_is_told_and_not_empty() -> None:
    """A true circle answers with its numbers as a choice, and says that the maker must be asked."""
    told = [_on("2001-01-01", "A1000", "B1000"), _on("2001-01-01", "B1000", "A1000")]
    found = current("A1000", told)
    assert set(found.numbers) == {"A1000", "B1000"} and found.relation == "one of"
    assert any("circle" in p for p in found.problems)


def test_a_circle_with_a_way_out_is_told_too() -> None:
    """Where one of two numbers that replace each other also became a third, the third is the answer, and the
    circle is told whichever of them is asked for."""
    split = replace(_on("2001-01-01", "A1000", "B1000"), new=("B1000", "C1000"), relation="all of")
    told = [split, _on("2001-01-01", "B1000", "A1000")]
    for asked in ("A1000", "B1000"):
        found = current(asked, told)
        assert found.numbers == ("C1000",) and any("circle" in p for p in found.problems)


def test_later_word_wins_and_the_earlier_is_told() -> None:
    """Two different successors: the later note is followed, the other named."""
    told = [_on("2001-01-01", "A1000", "B1000"), _on("2003-01-01", "A1000", "C1000")]
    found = current("A1000", told)
    assert found.numbers == ("C1000",) and "B1000" in found.problems[0]


def test_list_that_skips_a_step_is_no_contradiction() -> None:
    """A later list that gives the end of a known chain at once is no problem."""
    told = [
        _on("2001-01-01", "A1000", "B1000"),
        _on("2002-01-01", "B1000", "C1000"),
        _on("2003-01-01", "A1000", "C1000"),
    ]
    assert current("A1000", told).problems == ()


def test_same_date_and_different_numbers_is_a_choice() -> None:
    """Two different successors of one date are both given, and told as a problem."""
    told = [_on("2001-01-01", "A1000", "B1000"), _on("2001-01-01", "A1000", "C1000")]
    found = current("A1000", told)
    assert set(found.numbers) == {"B1000", "C1000"} and found.relation == "one of" and found.problems


def test_doubtful_statements_are_not_followed() -> None:
    """A doubtful reading changes no number."""
    assert current("A1000", [_on("2001-01-01", "A1000", "B1000", standing="doubtful")]).numbers == ("A1000",)


def test_long_chain_is_followed_to_its_end() -> None:
    """Three thousand steps are followed without running out of stack."""
    start = dt.date(2000, 1, 1)
    told = [
        became(f"P{n}", f"P{n + 1}", date=start + dt.timedelta(days=n), note=f"N{n}") for n in range(3000)
    ]
    assert current("P0", told).numbers == ("P3000",)


def test_graph_has_an_edge_for_each_old_and_new_number() -> None:
    """The graph carries each statement on an edge from every old to every new number."""
    graph = graph_of([_on("2001-01-01", ("A1000", "B1000"), ("C1000", "D1000"))])
    assert set(graph.edges()) == {(a, b) for a in ("A1000", "B1000") for b in ("C1000", "D1000")}


PARTS = st.sampled_from([f"P{n}" for n in range(6)])
STEPS = st.lists(st.tuples(PARTS, PARTS, st.integers(0, 5)), max_size=9)


@given(STEPS, PARTS, st.randoms(use_true_random=False))
def test_any_statements_give_an_answer_whatever_their_order(steps, asked, chance) -> None:
    """No set of statements leaves a number without an answer, and the order of adding does not matter."""
    told = [
        became(old, new, date=dt.date(2000 + year, 1, 1), note=f"N{i}", id=i)
        for i, (old, new, year) in enumerate(steps)
        if old != new
    ]
    first = current(asked, told)
    chance.shuffle(told)
    second = current(asked, told)
    assert first.numbers
    assert set(first.numbers) == set(second.numbers) and first.relation == second.relation


@given(st.lists(st.integers(1, 4), min_size=1, max_size=8))
def test_tree_of_dates_follows_every_step(jumps) -> None:
    """In any chain with rising dates every member leads to the last one."""
    names, at = ["P0"], 0
    for jump in jumps:
        at += jump
        names.append(f"P{at}")
    told = [
        became(old, new, date=dt.date(2000, 1, 1) + dt.timedelta(days=i), note=f"N{i}")
        for i, (old, new) in enumerate(itertools.pairwise(names))
    ]
    assert {current(n, told).numbers for n in names} == {(names[-1],)}
