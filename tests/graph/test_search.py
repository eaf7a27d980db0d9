"""Search and near numbers: words as typed are never operators, and near numbers are offered, never taken."""

import itertools
from collections.abc import Iterator

import pytest
from benchleaf.graph.db.near import one_error_away
from benchleaf.graph.db.search import phrases, query
from benchleaf.graph.keys import folded, key
from benchleaf.graph.mentions import runs
from benchleaf.graph.model import ManualPage, Notice, SheetText
from benchleaf.graph.places import same_place
from benchleaf.graph.store import Store
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import OSA
from store_papers import became, document, item, manual, note, put

PARTS = ("KB 6573-575", "KB 6573-576", "KB 1208-2", "LT 99120-447", "RX 7O12-88", "AK 55120-1")


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    steps = (
        item("1", "Lubricate the return spring, then fit the clutch hub.", "12"),
        item("2", "Spring washers are not reused.", "12", 1, (Notice("WARNING", "Hot oil burns the skin."),)),
        item("4", "Count the springs and gaskets.", "12"),
        item("3", "Fit plug KB 3310 70 and the O-ring.", "12"),
    )
    book = manual("RM 55", (ManualPage("12", 1, "Hub", steps),))
    sheets = (
        SheetText(1, "12", "1. Lubricate the return spring"),
        SheetText(2, "13", "List of special tools"),
    )
    chain = [became(old, new) for old, new in itertools.pairwise(PARTS)]
    with Store.open(tmp_path_factory.mktemp("s"), create=True) as opened:
        put(opened, document("book.pdf", "manual", manual=book, sheets=sheets))
        said = (SheetText(1, None, "The gasket is deleted, see drawing."),)
        put(opened, document("bulletin.pdf", notes=(note("SB 12-3", *chain),), sheets=said))
        yield opened


def test_words_find_items_notes_and_sheets(store: Store) -> None:
    """Words are found in items, their notices, notes and sheets, each hit with its place; a sheet whose item
    was found is not given twice."""
    spring = store.search("return spring")
    assert [(h.kind, h.publication, h.page, h.item, h.file) for h in spring] == [
        ("item", "RM 55", "12", "1", "book.pdf")
    ]
    assert "return spring" in spring[0].snippet
    assert [h.item for h in store.search("skin")] == ["2"]
    assert [(h.kind, h.page, h.sheet) for h in store.search("special tools")] == [("sheet", "13", 2)]
    assert [(h.kind, h.note, h.file) for h in store.search("gasket")] == [("note", "SB 12-3", "bulletin.pdf")]
    assert [(h.kind, h.note) for h in store.search("subject")] == [("note", "SB 12-3")]


def test_quoted_words_stand_side_by_side(store: Store) -> None:
    """Words in quotation marks are one phrase, others may stand anywhere in the text."""
    assert [h.item for h in store.search("hub spring")] == ["1"]
    assert store.search('"hub spring"') == ()
    assert [h.item for h in store.search('"return spring" hub')] == ["1"]


def test_beginnings_only_if_nothing_else(store: Store) -> None:
    """A word is found whole; only if nothing has it are words found that begin with it."""
    assert sorted(h.item or "" for h in store.search("spring")) == ["1", "2"]
    assert [h.item for h in store.search("washers")] == ["2"]
    assert [h.item for h in store.search("wash")] == ["2"]
    assert [h.item for h in store.search("gasket") if h.kind == "item"] == []


def test_operators_are_words(store: Store) -> None:
    """What the index takes for an operator is a plain word when a user types it."""
    assert store.search("spring NOT hub") == ()
    assert query('a" OR "b') == '"a" AND " OR " AND "b"'
    assert phrases("OR AND *") == ("OR", "AND")


@given(st.text(max_size=60))
@settings(max_examples=200, deadline=None)
def test_no_words_break_the_search(store: Store, typed: str) -> None:
    """Whatever is typed, the search answers and does not stumble."""
    assert isinstance(store.search(typed), tuple)
    assert isinstance(store.near_parts(typed), tuple)
    assert isinstance(store.near_numbers("note", typed), tuple)


def test_parts_whole_and_in_part(store: Store) -> None:
    """A part number is found whole, from its beginning and from inside, three characters or more, exact
    first."""
    assert [h.part for h in store.search("kb6573575")] == ["KB 6573-575"]
    assert [h.part for h in store.search("6573-57")] == ["KB 6573-575", "KB 6573-576"]
    assert [h.part for h in store.search("120")] == ["KB 1208-2", "AK 55120-1", "LT 99120-447"]
    assert all(h.kind != "part" for h in store.search("12"))


def test_number_in_another_spelling_finds_its_item(store: Store) -> None:
    """An item that prints a number with blanks is found by the number typed without."""
    assert [(h.kind, h.item) for h in store.search("KB331070")] == [("item", "3")]


def test_limit(store: Store) -> None:
    """No more hits than asked for."""
    assert len(store.search("spring", limit=1)) == 1


def test_near_parts_in_their_order(store: Store) -> None:
    """Look-alikes come before one error, one error before pieces, pieces before two errors; the number itself
    is never near to itself."""
    assert store.near_parts("RX 7012-88") == ("RX 7O12-88",)
    assert store.near_parts("KB 6573-577") == ("KB 6573-575", "KB 6573-576")
    assert store.near_parts("6573-575") == ("KB 6573-575",)
    assert store.near_parts("LT 99210-474") == ("LT 99120-447",)
    assert store.near_parts("KB 6573-575") == ("KB 6573-576",)
    assert store.near_parts("QW 5555-111") == ()
    assert store.near_parts("KB") == ()


def test_near_part_from_an_item(store: Store) -> None:
    """A number that only an item mentions is offered where no listed part is near."""
    assert store.near_parts("KB 3310-71") == ("KB 3310 70",)
    assert store.near_parts("3310-70") == ("KB 3310 70",)


SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
bodies = st.text(SIGNS, min_size=4, max_size=12)


@given(number=bodies, data=st.data())
@settings(max_examples=300, deadline=None)
def test_one_error_is_always_near(number: str, data: st.DataObject) -> None:
    """Leaving out, adding, mistaking or swapping one character gives a number among those one error away; and
    all of those are at distance one by an independent library (rapidfuzz)."""
    at = data.draw(st.integers(0, len(number) - 1))
    sign = data.draw(st.sampled_from(SIGNS))
    swapped = number[:at] + number[at : at + 2][::-1] + number[at + 2 :]
    wrong = data.draw(
        st.sampled_from(
            [
                number[:at] + number[at + 1 :],
                number[:at] + sign + number[at:],
                number[:at] + sign + number[at + 1 :],
                swapped,
            ]
        )
    )
    near = one_error_away(folded(number))
    assert folded(wrong) in near | {folded(number)}
    assert all(OSA.distance(folded(number), other) == 1 for other in near)


def test_near_numbers_of_each_kind(store: Store) -> None:
    """Publications, notes, pages and models that are near are named as printed, the nearest first."""
    assert store.near_numbers("publication", "RM 56") == ("RM 55",)
    assert store.near_numbers("note", "SB 12-8") == ("SB 12-3",)
    assert store.near_numbers("note", "12-3") == ("SB 12-3",)
    assert store.near_numbers("page", "l2", "RM 55") == ("12",)
    assert store.near_numbers("page", "12", "RM 66") == ()
    assert store.near_numbers("page", "700", "RM 55") == ("12",)
    assert store.near_numbers("model", "DR40A") == ("DR 40",)
    assert store.near_numbers("model", "ZZ 900") == ()


numbers = st.from_regex(r"\A(?:[A-Z]{1,3}[ -])?[0-9]{3,5}(?:[ ./-][0-9]{2,4}){0,2}[A-Z]?\Z").filter(
    lambda n: 5 <= len(key(n)) <= 20 and sum(c.isdigit() for c in n) >= 4
)
around = st.sampled_from(
    ["fit the seal {} with oil.", "({})", "Use {}, not the old one.", "P/N {}: new", "{}"]
)


@given(number=numbers, frame=around)
@settings(max_examples=300, deadline=None)
def test_every_number_in_a_sentence_is_a_run(number: str, frame: str) -> None:
    """A part number of up to five tokens is among the runs of any sentence that holds it, whatever its
    separators."""
    assert key(number) in {run.key for run in runs(frame.format(number))}


def test_runs_stop_at_words_and_commas() -> None:
    """Numbers with a word or a comma between are not joined; quantities alone are no part numbers."""
    assert [run.key for run in runs("Fit 4410-21, 4410-22 and 7731.")] == ["441021", "441022"]
    assert [run.key for run in runs("Fit 4410-21. A 7731-20 follows.")] == ["441021", "A773120", "773120"]
    assert runs("Fit 11 discs and 12 plates on 3 Nov 99") == ()
    assert [run.key for run in runs("seal 4410\u201121")] == ["441021"]


@pytest.mark.parametrize(
    ("text", "whole"),
    [
        ("Fit KB 4410-21 first", ["KB441021"]),
        ("Fit 4410-21 first", ["441021"]),
        ("FIT SEAL KB 4410-21 WITH OIL", ["FITSEALKB441021", "SEALKB441021", "KB441021"]),
        ("2 KB 4410-21 C", ["2KB441021C", "KB441021C"]),
        ("12 4410-21", ["12441021"]),
        ("KB 4410-21/22", ["KB44102122"]),
    ],
)
def test_whole_runs(text: str, whole: list[str]) -> None:
    """Only a run beside which nothing could belong to the same number stands whole: a number without its
    prefix does not, nor one before a suffix."""
    found = [run.key for run in runs(text) if run.whole]
    assert set(whole) <= set(found)
    assert not {"441021", "441021C"} & set(found) - set(whole)


def test_runs_are_quick_on_hostile_text() -> None:
    """Twenty thousand characters made to be slow take less than half a second."""
    import time

    for text in ("1" * 20_000, "A-" * 10_000, "1 " * 10_000, "A1/" * 6_600, "-./" * 6_600):
        start = time.process_time()
        runs(text)
        assert time.process_time() - start < 0.5


places = st.from_regex(r"\A[0-9]{1,3}(?:[-. ][0-9]{1,3}){0,2}\Z")


@given(one=places, other=places)
def test_same_place(one: str, other: str) -> None:
    """Being one place is mutual, needs equal keys, and holds for a number with itself and its bare form."""
    assert same_place(one, other) == same_place(other, one)
    assert same_place(one, one)
    assert same_place(one, key(one))
    assert not same_place(one, other) or key(one) == key(other)
