"""Documents in and out: whatever was read is stored whole and comes back equal."""

import datetime as dt
import itertools
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.errors import StoreProblem
from benchleaf.graph.model import (
    Applies,
    Box,
    Cancels,
    Contents,
    Document,
    Finding,
    Item,
    KitLine,
    Manual,
    ManualPage,
    Note,
    Notice,
    Override,
    SheetText,
    Source,
    Supersession,
    Target,
    Withdrawn,
)
from benchleaf.graph.store import Mention, Store
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from store_papers import (
    DAY,
    NOW,
    SOURCE,
    became,
    digest,
    document,
    item,
    line,
    manual,
    note,
    override,
    put,
    without_ids,
)

words = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=20)
maybe = st.none() | words
several = st.lists(words, max_size=3).map(tuple)
days = st.none() | st.dates()
small = st.integers(1, 10_000)
boxes = st.none() | st.builds(Box, *[st.floats(-1e4, 1e4)] * 4)
sources = st.builds(Source, words, small, maybe, boxes, st.booleans())
lines = st.lists(st.builds(KitLine, maybe, words, st.none() | st.integers(0, 99)), max_size=3).map(tuple)
applies = st.builds(
    Applies,
    models=several,
    serial_from=maybe,
    serial_to=maybe,
    excepted=several,
    built_from=days,
    built_to=days,
    kits=several,
    as_printed=words,
    unclear=several,
)
common = {
    "note": words,
    "date": days,
    "quote": words,
    "source": sources,
    "standing": st.sampled_from(["settled", "doubtful", "refused"]),
    "why": several,
    "confidence": st.floats(0, 1),
    "settled_by": maybe,
}
statements = st.one_of(
    st.builds(
        Supersession,
        old=several,
        new=several,
        relation=st.sampled_from(["one", "all of", "one of"]),
        interchange=st.sampled_from(["both ways", "new for old", "none", "unstated"]),
        stock=st.sampled_from([None, "use up", "scrap"]),
        **common,
    ),
    st.builds(
        Override,
        action=st.sampled_from(
            ["replace", "insert-after", "insert-before", "delete", "change-value", "caution"]
        ),
        target=st.builds(Target, maybe, maybe, maybe),
        text=maybe,
        was=maybe,
        now=maybe,
        applies=applies,
        **common,
    ),
    st.builds(Contents, kit=words, lines=lines, previous=lines, **common),
    st.builds(Cancels, cancels=words, **common),
    st.builds(Withdrawn, part=words, **common),
)
notices = st.lists(st.builds(Notice, words, words), max_size=2).map(tuple)
items = st.builds(Item, words, words, words, small, maybe, notices, boxes)
pages = st.builds(ManualPage, words, small, maybe, st.lists(items, max_size=3).map(tuple))
manuals = st.builds(
    Manual, words, maybe, maybe, maybe, days, several, st.lists(pages, max_size=3).map(tuple), words, lines
)
notes = st.builds(
    Note,
    number=words,
    date=days,
    subject=maybe,
    issuer=maybe,
    source=st.sampled_from(["maker", "shop", "unknown"]),
    revision=maybe,
    applies=applies,
    file=words,
    unclear=several,
    statements=st.lists(statements, max_size=3).map(tuple),
)
counter = itertools.count()
documents = st.builds(
    Document,
    sha256=st.builds(lambda: digest(f"drawn {next(counter)}")),
    name=words,
    kind=st.sampled_from(["manual", "note", "list", "slip", "other"]),
    sheets=st.lists(st.builds(SheetText, small, maybe, words, st.booleans(), st.booleans()), max_size=3).map(
        tuple
    ),
    manual=st.none() | manuals,
    notes=st.lists(notes, max_size=2).map(tuple),
    findings=st.lists(st.builds(Finding, words, sources, words), max_size=2).map(tuple),
)


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    with Store.open(tmp_path_factory.mktemp("shared"), create=True) as store:
        yield store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path, create=True) as opened:
        yield opened


@given(drawn=documents)
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_document_reads_back_equal(shared: Store, drawn: Document) -> None:
    """Whatever a document holds, it reads back equal, but for ids, the day of receipt and cancellations; and
    every standing doubt is kept as the reading gave it."""
    with shared.transaction():
        number = shared.insert(drawn, DAY, NOW)
    back = shared.document(drawn.sha256)
    assert back is not None
    assert without_ids(back) == drawn
    stated = [s for n in drawn.notes for s in n.statements]
    held = shared.statements_of_document(number)
    assert [replace(s, id=None) for s in held] == stated
    assert [shared.reading_doubts(s.id or 0) for s in held] == [s.why for s in stated]
    assert all(n.received == DAY for n in back.notes)


def test_broken_characters_are_stored_as_replacement(store: Store) -> None:
    """Lone surrogates and NULs, which damaged files yield, are stored as U+FFFD and do not stop the batch."""
    put(store, document("torn", sheets=(SheetText(1, None, "a\ud800b\0c"),)))
    back = store.document(digest("torn"))
    assert back is not None
    assert back.sheets[0].text == "a\ufffdb\ufffdc"


def test_same_bytes_twice(store: Store) -> None:
    """The same bytes are stored once: `held` finds them, and a second insert is refused with its name."""
    put(store, document("once"))
    held = store.held(digest("once"))
    assert held is not None
    assert (held.name, held.kind, held.received, held.sheets) == ("once", "note", DAY, 1)
    with pytest.raises(StoreProblem, match="once is held already"), store.transaction():
        store.insert(document("once"), DAY, NOW)
    assert len(store.files()) == 1


def test_document_that_fails_half_way_is_not_there(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """A document whose last statement cannot be stored leaves no file, item, note, part or index entry."""
    paper = document("half", "manual", manual=manual(), notes=(note("N 1", became("KB 7001", "KB 7002")),))
    monkeypatch.setattr(Store, "_insert_numbers", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError), store.transaction():
        store.insert(paper, DAY, NOW)
    tables = ("file", "sheet", "item", "note", "statement", "part", "mention", "item_search_docsize")
    counts = [store.connection.execute(f"SELECT count(*) FROM {t}").fetchone()[0] for t in tables]
    assert counts == [0] * len(tables)
    assert store.publications() == ()


def test_numbers_are_typed_freely(store: Store) -> None:
    """Publication, page, item and part are found with or without blanks, hyphens and dots, in either case."""
    put(store, document("m", "manual", manual=manual("RM 55-2")))
    for typed in ("RM 55-2", "rm552", "RM.55.2"):
        assert store.publication(typed) is not None
    for typed in ("4-10", "4.10", "4 10"):
        page = store.page("rm552", typed)
        assert page is not None
        assert page.page == "4-10"
    assert [i.text for i in store.item(Target("RM552", "4-10", "5"))] == ["Fit seal KB 4410-21 with oil."]


def test_separators_keep_pages_apart(store: Store) -> None:
    """Page 4-10 is not page 41-0; `410` could be either, so it is answered with neither and both are near."""
    put(store, document("m", "manual", manual=manual()))
    assert [p.page for p in (store.page("RM 55", "4-10"), store.page("RM 55", "41-0")) if p] == [
        "4-10",
        "41-0",
    ]
    assert store.page("RM 55", "410") is None
    assert store.near_numbers("page", "410", "RM 55") == ("4-10", "41-0")
    assert [i.page for i in store.item(Target("RM 55", "4-10", "5"))] == ["4-10"]
    assert len(store.item(Target("RM 55", None, "5"))) == 2


def test_page_written_just_so_wins(store: Store) -> None:
    """Where both a page 410 and a page 4-10 are held, each is found as it is written."""
    pages = (ManualPage("410", 9, None, (item("1", "plain", "410", 9),)), ManualPage("4-10", 1, None, ()))
    put(store, document("m", "manual", manual=manual(pages=pages)))
    found = [store.page("RM 55", typed) for typed in ("410", "4-10")]
    assert [page.sheet for page in found if page] == [9, 1]


def test_target_without_item_matches_nothing(store: Store) -> None:
    """A target that names no item matches no item, whatever else it names."""
    put(store, document("m", "manual", manual=manual()))
    assert store.item(Target("RM 55", "4-10", None)) == ()
    assert store.item(Target("RM 55", "4-10", "6")) == ()
    assert len(store.item(Target(None, "4-10", "5"))) == 1


def test_newest_edition_first(store: Store) -> None:
    """Of two editions the newer one answers for its pages, the older one for those that only it has."""
    old = ManualPage("7", 1, None, (item("1", "old words", "7"),))
    only = ManualPage("8", 2, None, (item("1", "only here", "8"),))
    new = ManualPage("7", 1, None, (item("1", "new words", "7"),))
    put(store, document("new", "manual", manual=manual(pages=(new,), date=dt.date(2010, 1, 1))))
    put(store, document("old", "manual", manual=manual(pages=(old, only), date=dt.date(2000, 1, 1))))
    assert [len(m.pages) for m in store.publications_like("RM 55")] == [1, 2]
    texts = [page.items[0].text for page in (store.page("RM 55", "7"), store.page("RM 55", "8")) if page]
    assert texts == ["new words", "only here"]
    assert [i.text for i in store.item(Target("RM 55", "7", "1"))] == ["new words", "old words"]
    assert store.file_of_page("RM 55", "7") == digest("new")


def test_manual_in_several_files_is_read_anew(store: Store) -> None:
    """A manual taken in after the publications were asked for is among them at once; after a failed
    transaction it is not."""
    put(store, document("m", "manual", manual=manual()))
    assert len(store.publications()) == 1
    with pytest.raises(ZeroDivisionError), store.transaction():
        store.insert(document("n", "manual", manual=manual("RM 56")), DAY, NOW)
        assert len(store.publications()) == 2
        raise ZeroDivisionError
    assert len(store.publications()) == 1


def test_other_programs_manual_is_seen(store: Store) -> None:
    """What another connection stores is seen by one that has answered before."""
    assert store.publications_like("RM 55") == ()
    with Store.open(store.folder, write=True) as other:
        put(other, document("m", "manual", manual=manual()))
    assert len(store.publications_like("RM 55")) == 1


def test_mentions_of_a_part(store: Store) -> None:
    """A part number is found in items, in their notices, and in the manual's parts list with its page."""
    noticed = item("6", "Fit it.", "9", 3, (Notice("CAUTION", "Do not reuse kb441021."),))
    spaced = item("7", "Fit seal KB 4410 21, then KB 4410-22/23.", "9", 3)
    pages = (*manual().pages, ManualPage("9", 3, None, (noticed, spaced)))
    listed = manual(pages=pages, parts=(line("KB 8890-1", "screw", 4), line("KB 8890-2", "washer", None)))
    sheets = (SheetText(4, "12", "KB 8890-1 screw 4"), SheetText(5, None, "KB 8890-2 washer"))
    put(store, document("m", "manual", manual=listed, sheets=sheets))
    assert store.mentions("kb441021") == (Mention("RM 55", "4-10", "5"), Mention("RM 55", "9", "7"))
    assert store.mentions("KB 4410-22") == (Mention("RM 55", "9", "7"),)
    assert store.mentions("KB 8890-1") == (Mention("RM 55", "12", None),)
    assert store.mentions("KB 8890-2") == (Mention("RM 55", None, None),)


def test_printed_comes_from_the_sources(store: Store) -> None:
    """A number is given as a statement or parts list prints it, else as an item does, else not at all."""
    put(store, document("m", "manual", manual=manual()))
    assert store.printed("KB441021") == "KB 4410-21"
    put(store, document("n", notes=(note("N 1", became("KB-4410-21", "KB 4410.25")),)))
    assert store.printed("KB441021") == "KB-4410-21"
    assert store.printed("KB441025") == "KB 4410.25"
    assert store.printed("KB441029") is None


def test_number_without_its_prefix_is_not_known(store: Store) -> None:
    """An item that says `KB 4410-21` does not make `4410-21` a known number: it is another one, and would
    look current though the whole one was superseded. It is near."""
    put(store, document("m", "manual", manual=manual()))
    assert store.printed("441021") is None
    assert store.near_parts("4410-21") == ("KB 4410-21",)


def test_notes_by_day_received(store: Store) -> None:
    """A note belongs to the day on which the shop received it, whatever date it bears; both ends count."""
    put(store, document("a", notes=(note("N 1", date=dt.date(1999, 1, 1)),)), dt.date(2026, 11, 23))
    put(store, document("b", notes=(note("N 2", override("RM 55", "1", "1")),)), dt.date(2026, 11, 29))
    put(store, document("c", notes=(note("N 3"),)), dt.date(2026, 11, 30))
    week = store.received_between(dt.date(2026, 11, 23), dt.date(2026, 11, 29))
    assert [(n.number, len(n.statements)) for n in week] == [("N 1", 0), ("N 2", 1)]


def test_list_is_no_note(store: Store) -> None:
    """A list's supersessions are held under its name; it is found by name and among arrivals, not among
    notes."""
    put(store, document("l", "list", notes=(note("prices.csv", became("KB 7001", "KB 7002")),)))
    assert store.notes() == ()
    assert [n.number for n in store.notes(lists=True)] == ["prices.csv"]
    assert [s.note for s in store.statements(note="prices.csv")] == ["prices.csv"]
    assert [n.number for n in store.received_between(DAY, DAY)] == ["prices.csv"]


def test_findings(store: Store) -> None:
    """What should be known about a reading is kept with its source, for one file or for all."""
    one, two = Finding("no page number", SOURCE), Finding("two dates", SOURCE, "05/06/2016")
    first = put(store, document("a", findings=(one,)))
    put(store, document("b", findings=(two,)))
    assert store.findings(first) == (one,)
    assert store.findings() == (one, two)
