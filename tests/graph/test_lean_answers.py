"""The answers that a store gives from few rows are those that reading everything gives. All papers are
invented; no source."""

import datetime as dt
import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import networkx as nx
import pytest
from benchleaf.graph.circles import circles
from benchleaf.graph.db.near import LONG, MOST, dead_end
from benchleaf.graph.keys import folded, natural
from benchleaf.graph.lean import Lean
from benchleaf.graph.missing import missing_answer
from benchleaf.graph.model import Applies, Cancels, Citation, Contents, KitLine, Source
from benchleaf.graph.rings import rings
from benchleaf.graph.store import Store
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import OSA
from store_papers import NOW, became, document, manual, note, override, put

DAY = dt.date(2026, 11, 24)
NUMBERS = st.text("01458ABM", min_size=1, max_size=12)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "s", create=True) as opened:
        yield opened


class Wide:
    """A store that answers nothing leanly: everything is read."""

    def __init__(self, store: Store) -> None:
        self.store = store

    def __getattr__(self, name: str) -> object:
        if name in {n for n in vars(Lean) if not n.startswith("_")}:
            raise AttributeError(name)
        return getattr(self.store, name)


@given(NUMBERS, NUMBERS, st.integers(0, 2))
@settings(max_examples=400, deadline=None)
def test_no_near_number_is_skipped(asked: str, held: str, errors: int) -> None:
    """A number within so many errors (optimal string alignment, by rapidfuzz) is no dead end, nor is any of
    its beginnings."""
    near = OSA.distance(asked, held) <= errors
    assert (dead_end(asked, held, errors) is None) == near
    if near:
        assert all((dead_end(asked, held[:n], errors) or n + 1) > n for n in range(1, len(held)))


def test_near_notes_are_those_of_a_look_at_every_number(store: Store) -> None:
    """Over random numbers, the ten nearest notes are offered: by distance, then by holding or held."""
    dice = random.Random(7)
    numbers = {"".join(dice.choice("0148 AB-") for _ in range(dice.randint(3, 13))) for _ in range(400)}
    numbers = {n.strip() for n in numbers if folded(n)}
    with store.transaction():
        for n in numbers:
            store.insert(document(n, notes=(note(n),)), DAY, NOW)
    for asked in [*dice.sample(sorted(numbers), 60), "A 1048-0148", "14 8014 8A8"]:
        asked = asked[:3] + dice.choice("014AB") + asked[4:]
        if len(folded(asked)) >= 4:
            assert store.near_numbers("note", asked) == _nearest(asked, numbers)


def _nearest(asked: str, held: set[str]) -> tuple[str, ...]:
    ranked = []
    for printed in held:
        one, other = folded(asked), folded(printed)
        bound = 1 if len(one) < LONG else 2
        far = OSA.distance(one, other)
        inside = one in other or (len(other) > 2 and other in one)
        if far <= bound or inside:
            ranked.append((float(far) if far <= bound else bound + 1.0, natural(printed), printed))
    return tuple(printed for _, _, printed in sorted(ranked)[:MOST])


def test_models_named_in_heads_and_readings_are_offered(store: Store) -> None:
    """A model is near whether a note's head or only a reading names it, also with a bracket in its name."""
    head = Applies(models=("QF 40]a", "QF 41"), serial_from="5")
    said = override("RM 55", "4-10", "5", applies=Applies(models=("QF 42",)))
    with store.transaction():
        store.insert(document("n", notes=(replace(note("N 1", said), applies=head),)), DAY, NOW)
    assert set(store.near_numbers("model", "QF 4")) == {"QF 40]a", "QF 41", "QF 42"}


def test_missing_is_the_same_lean_and_wide(store: Store) -> None:
    """Publications, pages and notes not held are told alike, with who cites them."""
    put(store, document("m", "manual", manual=manual()))
    cites = (
        Citation("note", "N 9"),
        Citation("publication", "RM 55", "7-7"),
        Citation("publication", "RM 9"),
    )
    said = (
        override("RM 55", "9-9", "5"),
        override("RM 77", "1-1", "1"),
        override(None, "1-1", "1", standing="doubtful"),
        Cancels(note="", date=None, quote="words", source=Source("n.pdf", 1), cancels="N 8"),
        override("RM 78", "1-1", "1", standing="refused"),
    )
    put(store, document("a", notes=(note("N 1", *said, cites=cites),)))
    lean = missing_answer(store)
    assert lean == missing_answer(Wide(store))  # type: ignore[arg-type]  # it stands for a shelf
    assert {(m.kind, m.number) for m in lean} == {
        ("page", "9-9"), ("page", "7-7"), ("publication", "RM 77"), ("publication", "RM 9"),
        ("note", "N 8"), ("note", "N 9"),
    }  # fmt: skip


def test_kits_that_count_just_these_plates(store: Store) -> None:
    """Friction plates on two lines are added up; a line without a quantity, or a kind that is not listed,
    counts nothing."""
    friction = (KitLine("KB 1", "friction disc", 4), KitLine("KB 2", "lined plate", 2))
    kits = {
        "Z 1": (*friction, KitLine(None, "steel disc", 7)),
        "Z 2": (*friction, KitLine(None, "steel disc", None)),
        "Z 3": friction,
    }
    source = Source("n.pdf", 1)
    said = [
        Contents(note="", date=None, quote="w", source=source, kit=k, lines=lines)
        for k, lines in kits.items()
    ]
    put(store, document("a", notes=(note("N 1", *said),)))
    assert [c.kit for c in store.contents_counting((6, 7))] == ["Z 1"]
    assert store.contents_counting((6, 6)) == ()


@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), max_size=40))
@settings(max_examples=200, deadline=None)
def test_rings_are_networkx_components(linked: list[tuple[int, int]]) -> None:
    """Over any links, the rings are the strongly connected components of more than one number (networkx)."""
    links = [(a, b) for a, b in linked if a != b]
    found = nx.strongly_connected_components(nx.DiGraph(links))
    assert set(rings(links)) == {frozenset(c) for c in found if len(c) > 1}


def test_every_circle_put_in_is_told(store: Store) -> None:
    """Of three rings, one opened by its dates, the other two are told with all their numbers; no other."""
    rows = [
        became("A 11", "A 12"), became("A 12", "A 13"), became("A 13", "A 11"), became("A 13", "A 14"),
        became("B 21", "B 22"), became("B 22", "B 21"), became("C 31", "C 32"),
        became("D 41", "D 42"), became("D 42", "D 41", standing="doubtful", why=("unsure",)),
    ]  # fmt: skip
    put(store, document("a", notes=(note("N 1", *rows, date=None),)))
    told = list(circles(store))
    assert any("B 21" in words and "B 22" in words for words in told)
    assert not any("D 4" in words or "C 3" in words for words in told)
