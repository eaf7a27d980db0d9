"""The pictures of a part's and a step's history: what stands in them, and that it can be read."""

import datetime as dt
from itertools import combinations
from pathlib import Path

from benchleaf.cli.sheets.partview import WIDE, History, part_view
from benchleaf.cli.sheets.stepview import SIGNS, step_history
from benchleaf.graph.model import Document, Note, SheetText, Supersession
from benchleaf.graph.page import page_answer
from benchleaf.graph.part import part_answer
from benchleaf.graph.store import Store
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from small_store import ALL, RECEIVED, source

Said = tuple[tuple[str, ...], tuple[str, ...], str, int]


def stored(folder: Path, told: list[Said]) -> Store:
    """A store with one note that says all this: old numbers, new ones, standing, year."""
    store = Store.open(folder, write=True, create=True)
    for i, (old, new, standing, year) in enumerate(told):
        day, number = dt.date(year, 1, 1), f"HB {i + 1}"
        relation = "all of" if len(new) > 1 else "one"
        by = {"settled_by": "rule"} if standing == "settled" else {"why": ("not clear",)}
        said = Supersession(note=number, date=day, quote="now", source=source("h.pdf"), old=old, new=new,
                            relation=relation, standing=standing, **by)  # fmt: skip
        note = Note(number, day, "Numbers", None, "maker", None, ALL, f"h{i}.pdf", statements=(said,))
        digest = f"{i:064}"
        with store.transaction():
            paper = Document(digest, f"h{i}.pdf", "note", (SheetText(1, "1", number),), notes=(note,))
            store.insert(paper, RECEIVED.date(), RECEIVED)
    return store


def drawn(store: Store, number: str) -> History:
    history = part_view(store, part_answer(store, number)).history
    assert history is not None
    return history


def titles(history: History, **marks: bool) -> set[str]:
    named = [k for k in history.knots if k.number and all(getattr(k, m) is v for m, v in marks.items())]
    return {" ".join(k.title) for k in named}


def test_a_split_is_a_fork(tmp_path: Path) -> None:
    """One number that became two: one box above, two below, both strong, a line to each."""
    with stored(tmp_path, [(("51-1",), ("51-2", "51-3"), "settled", 2001)]) as store:
        history = drawn(store, "51-1")
    assert titles(history, strong=True) == {"51-2", "51-3"}
    tops = {" ".join(k.title): k.y for k in history.knots if k.number}
    assert tops["51-1"] < tops["51-2"] == tops["51-3"]
    assert len(history.threads) == 3 and sum(bool(t.tip) for t in history.threads) == 2


def test_a_merge_joins(tmp_path: Path) -> None:
    """Two numbers that became one: two boxes above, one below; the other old number is shown beside."""
    with stored(tmp_path, [(("51-1", "51-2"), ("51-3",), "settled", 2001)]) as store:
        history = drawn(store, "51-1")
    assert titles(history) == {"51-1", "51-2", "51-3"} and titles(history, strong=True) == {"51-3"}


def test_a_doubt_is_dashed_and_says_so(tmp_path: Path) -> None:
    """A doubtful statement's lines are dashed, its box says DOUBT in words, and the number stays current."""
    with stored(tmp_path, [(("51-1",), ("51-2",), "doubtful", 2001)]) as store:
        history = drawn(store, "51-1")
    assert all(t.dashed for t in history.threads)
    (said,) = [k for k in history.knots if k.note]
    assert said.dashed and "DOUBT, not followed" in said.lines
    assert titles(history, strong=True) == {"51-1"}


def test_two_papers_that_say_the_same_stand_in_one_box(tmp_path: Path) -> None:
    """A note and a later list with the same words make one line of the history, both named."""
    told: list[Said] = [(("51-1",), ("51-2",), "settled", 2001), (("51-1",), ("51-2",), "settled", 2003)]
    with stored(tmp_path, told) as store:
        history = drawn(store, "51-2")
    (said,) = [k for k in history.knots if k.note]
    assert said.lines[:2] == ("HB 1 (2001-01-01)", "HB 2 (2003-01-01)")


def test_a_relative_that_leads_elsewhere_is_left_out(tmp_path: Path) -> None:
    """Only what leads to the number or on from it is drawn: a brother of a split is no part of it."""
    told: list[Said] = [
        (("51-1",), ("51-2", "51-3"), "settled", 2001),
        (("51-3",), ("51-9",), "settled", 2004),
    ]
    with stored(tmp_path, told) as store:
        assert "51-9" not in titles(drawn(store, "51-2"))
        assert "51-9" in titles(drawn(store, "51-1"))


def test_a_history_of_an_earlier_day_ends_there(tmp_path: Path) -> None:
    """As of a day, what later papers say is not drawn."""
    told: list[Said] = [(("51-1",), ("51-2",), "settled", 2001), (("51-2",), ("51-3",), "settled", 2004)]
    day = dt.date(2002, 1, 1)
    with stored(tmp_path, told) as store:
        history = part_view(store, part_answer(store, "51-1", day), day).history
    assert history is not None and titles(history) == {"51-1", "51-2"}


numbers = st.lists(st.sampled_from([f"51-{i}" for i in range(1, 8)]), min_size=1, max_size=3, unique=True)
said = st.tuples(
    numbers.map(tuple),
    numbers.map(tuple),
    st.sampled_from(["settled", "doubtful"]),
    st.integers(1990, 2010),
).filter(lambda s: not set(s[0]) & set(s[1]))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(told=st.lists(said, min_size=1, max_size=7))
def test_no_box_lies_over_another(told: list[Said], tmp_path_factory) -> None:
    """Whatever the statements, rings among them: every number stands once, no two boxes overlap, all are
    within the picture, and each line has its two ends."""
    with stored(tmp_path_factory.mktemp("history"), told) as store:
        history = drawn(store, told[0][0][0])
    names = [k.title for k in history.knots if k.number]
    assert len(names) == len(set(names))
    for one, other in combinations(history.knots, 2):
        across = one.x + WIDE <= other.x or other.x + WIDE <= one.x
        down = one.y + one.high <= other.y or other.y + other.high <= one.y
        assert across or down
    assert all(
        k.x >= 0 and k.x + WIDE <= history.wide and k.y + k.high <= history.high for k in history.knots
    )


def test_a_steps_lines_fit_and_tell_all_words(held: Path) -> None:
    """The lines of each stage are no longer than the picture is wide, follow each other down, and together
    have every word of the text in force."""
    with Store.open(held) as store:
        answer = page_answer(store, "VM-30", "4-12")
    for item in answer.items:
        history = step_history(answer, item, None)
        edge = 0.0
        for stage in history.stages:
            assert stage.top >= edge
            edge = stage.bottom
            for line in (*stage.why, *stage.words):
                assert stage.top < line.y <= stage.bottom
                assert sum(len(r.text) for r in line.runs) <= SIGNS + len(line.runs)
        last = " ".join(r.text for line in history.stages[-1].words for r in line.runs)
        assert last == " ".join((item.in_force.text or "").split())
        assert edge <= history.high
