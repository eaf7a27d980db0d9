"""Version 4 of the store: what came is kept with a hold, and the kits that a manual itself lists. All papers
are invented."""

import datetime as dt
import random
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.db.connection import connect
from benchleaf.graph.db.holds import arrival, read_came, write_came
from benchleaf.graph.db.schema import VERSION, bring_forward
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.kits.received import Received
from benchleaf.graph.model import Contents, Document, Manual
from benchleaf.graph.part import part_answer
from benchleaf.graph.restand import restand
from benchleaf.graph.store import Store
from hypothesis import given, settings
from hypothesis import strategies as st
from store_papers import NOW, SOURCE, digest, document, item, line, manual, put, without_ids

LATER = NOW + dt.timedelta(days=1)
CAME = (Received("friction disc", 5), Received("steel disc", 5, "KB 9100-6"))
KIT = Contents(
    note="RM 55",
    date=dt.date(2019, 3, 1),
    quote="Disc kit KB 9000-1 contains:",
    source=replace(SOURCE, file="manual.pdf", page="7-2"),
    kit="KB 9000-1",
    lines=(line("KB 9100-5", "friction disc", 5), line("KB 9100-6", "steel disc", 6)),
    previous=(line(None, "steel disc", 4),),
    settled_by="rule",
)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "s", create=True) as opened:
        yield opened


def _book(*kits: Contents, **more: object) -> Manual:
    return manual(date=dt.date(2019, 3, 1), kits=tuple(kits), **more)


def _paper(*kits: Contents) -> Document:
    return document("m", "manual", manual=_book(*kits))


def _hold(
    store: Store, *came: Received, kit: str = "KB 9000-1", reason: str = "one short", **unit: str
) -> int:
    with store.transaction():
        return store.set_hold(kit, reason, NOW, came, **unit).id


VERSION_3 = (
    f"""INSERT INTO file VALUES (1, '{digest("m")}', 'm', 'manual', '2026-11-24', '2026-11-24T09:30')""",
    """INSERT INTO publication VALUES (1, 1, 'RM 55', 'RM55', 'Rebuild', 'A maker', '1', '2019-03-01',
       '["DR 40"]', 'manual.pdf')""",
    "INSERT INTO page VALUES (1, 1, '4-10', '410', 1, NULL)",
    """INSERT INTO item VALUES (1, 1, 1, '5', '5', 'Fit seal KB 4410-21 with oil.', '4-10', '410', 1, NULL,
       NULL, '[]', '', 0, '[]')""",
    "INSERT INTO mention VALUES (1, 1, 'KB 4410-21', 'KB441021', 'K8441021', 1)",
    """INSERT INTO hold VALUES (1, 'KB 9000-1', 'KB90001', 'one short', '2026-11-20T09:30:00+00:00', NULL,
       NULL, NULL)""",
    """INSERT INTO hold VALUES (2, 'KB 9000-1', 'KB90001', 'one over', '2026-11-19T09:30:00+00:00',
       '2026-11-21T09:30:00+00:00', 'AB', 'sent back')""",
    "INSERT INTO item_search(item_search) VALUES ('rebuild')",
)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """The folder of a store that the migrations up to version 3 made."""
    (tmp_path / "originals").mkdir()
    with closing(connect(tmp_path / "benchleaf.db", "rwc")) as connection:
        bring_forward(connection, upto=3)
        for row in VERSION_3:
            connection.execute(row)
    (tmp_path / "originals" / digest("m")).write_bytes(b"m")
    return tmp_path


@pytest.mark.parametrize("write", [False, True])
def test_a_store_of_version_3_comes_forward_with_its_holds_and_a_copy_beside(old: Path, write: bool) -> None:
    """Steps, search and holds, the lifted one too, are there as before; the copy is of version 3."""
    with Store.open(old, write=write) as store:
        assert store.connection.execute("PRAGMA user_version").fetchone()[0] == VERSION
        holds = store.holds("KB 9000-1", lifted=True)
        assert [(h.reason, h.lifted_by, h.came, h.model, h.serial) for h in holds] == [
            ("one short", None, (), None, None),
            ("one over", "AB", (), None, None),
        ]
        assert [m.kits for m in store.publications()] == [()] and store.manual_contents("KB 9000-1") == ()
        assert [hit.item for hit in store.search("seal")] == ["5"]
        assert check(store).problems == ()
    with closing(sqlite3.connect(old / "benchleaf-v3.db")) as copy:
        assert copy.execute("PRAGMA user_version").fetchone()[0] == 3
        assert copy.execute("SELECT count(*) FROM hold").fetchone()[0] == 2


def test_reading_anew_fills_the_kits_of_an_older_store(old: Path) -> None:
    """A manual that is read as before but for its kits gets them."""
    with Store.open(old, write=True) as store:
        (page,) = store.publications()[0].pages
        as_read = replace(page, items=tuple(replace(i, id=None) for i in page.items))
        book = replace(_book(KIT), pages=(as_read,))
        paper = document("m", "manual", manual=book)
        with store.transaction():
            restand(store, store.reread(paper), paper)
        assert store.manual_contents("kb9000.1") == (KIT,)
        assert check(store).problems == ()


def test_a_hold_of_before_stays_beside_the_same_question(old: Path) -> None:
    """Nobody knows what lay in the box that an older store holds: asked anew it is another hold, and
    a person lifts both at once."""
    with Store.open(old, write=True) as store:
        assert _hold(store, *CAME, model="DR 40", serial="5210") == 3
        assert [(h.id, h.came) for h in store.holds("KB 9000-1")] == [(1, ()), (3, CAME)]
        with store.transaction():
            assert len(store.lift_hold("KB 9000-1", "AB", "came by post", LATER)) == 2


def test_what_came_is_kept_with_the_hold(store: Store) -> None:
    """Lines, counted or not, and the unit come back as they were given."""
    came = (*CAME, Received("seal ring", None), Received("gasket", 0))
    _hold(store, *came, model="DR 40", serial="5210")
    (held,) = store.holds()
    assert (held.came, held.model, held.serial) == (came, "DR 40", "5210")


def test_the_same_arrival_is_held_once_and_another_anew(store: Store) -> None:
    """Same kit, unit, reason and lines in another order or spelling are one arrival; other lines, another
    unit or another reason are another."""
    first = _hold(store, *CAME)
    assert _hold(store, Received("Steel  disc", 5, "kb9100.6"), CAME[0], kit="kb 90001") == first
    others = [
        _hold(store, Received("friction disc", 4), CAME[1]),
        _hold(store, *CAME, serial="5210"),
        _hold(store, *CAME, reason="one over"),
        _hold(store),
    ]
    assert len({first, *others}) == 5


def test_an_arrival_that_a_person_lifted_is_not_held_again(store: Store) -> None:
    """Asking the same question again gives the lifted hold; a different arrival sets a new one."""
    first = _hold(store, *CAME)
    with store.transaction():
        store.lift_hold("KB 9000-1", "AB", "disc came by post", LATER)
    assert _hold(store, *CAME) == first and store.holds() == ()
    assert _hold(store, Received("friction disc", 4), CAME[1]) != first
    assert len(store.holds()) == 1 and len(store.holds(lifted=True)) == 2


def test_a_hold_that_a_note_explained_may_be_set_anew(store: Store) -> None:
    """Lifted by "rule" with the note; set again it is a new hold, and the ended one stays in the record."""
    first = _hold(store, *CAME)
    with store.transaction():
        ended = store.end_hold(store.holds()[0], "explained by N 4", LATER)
        with pytest.raises(NotHeld):
            store.end_hold(ended, "explained by N 5", LATER)
    assert (ended.lifted_by, ended.lifted_reason, ended.by_person) == ("rule", "explained by N 4", False)
    assert _hold(store, *CAME) != first
    assert [h.lifted_by for h in store.holds(lifted=True)] == ["rule", None]


def test_only_the_rule_lifts_as_rule(store: Store) -> None:
    """A person cannot lift in the name of the rule, nor the rule without what explains it."""
    _hold(store, *CAME)
    with store.transaction():
        with pytest.raises(WrongUse):
            store.lift_hold("KB 9000-1", "rule", "why not", LATER)
        with pytest.raises(WrongUse):
            store.end_hold(store.holds()[0], " ", LATER)


LINES = st.lists(
    st.builds(
        Received,
        st.text(max_size=12),
        st.none() | st.integers(0, 40),
        st.none() | st.text("0123456789AB -", min_size=1, max_size=8),
    ),
    min_size=1,
    max_size=5,
)


@given(LINES, st.randoms(use_true_random=False))
@settings(max_examples=80, deadline=None)
def test_lines_come_back_as_given_and_their_order_is_no_matter(
    came: list[Received], chance: random.Random
) -> None:
    """What came survives its text, and an arrival is known again whatever the order of its lines."""
    assert read_came(write_came(came)) == tuple(came)
    mixed = list(came)
    chance.shuffle(mixed)
    assert arrival("KB 1", "short", mixed) == arrival("kb-1", " short", came)
    more = [*came, Received("one more", 1)]
    assert arrival("KB 1", "short", more) != arrival("KB 1", "short", came)


def test_kits_of_a_manual_are_read_back(store: Store) -> None:
    """A manual's kits come back with it, under the publication's number and date, whole."""
    doubtful = replace(KIT, kit="KB 9000-2", standing="doubtful", why=("two columns",), settled_by=None)
    paper = _paper(KIT, doubtful)
    put(store, paper)
    assert store.publications()[0].kits == (KIT, doubtful)
    assert store.manual_contents("kb90002") == (doubtful,)
    assert store.contents("KB 9000-1") == () and store.statements() == ()
    held = store.document(paper.sha256)
    assert held is not None and without_ids(held) == paper
    assert check(store).problems == ()


def test_numbers_of_a_manuals_kits_are_known(store: Store) -> None:
    """The kit's number and its parts are printed, near, found, mentioned, known by text, and in the part's
    answer; the kit before does not contain what only the new one has."""
    put(store, _paper(KIT))
    assert store.printed("KB90001") == "KB 9000-1" and store.printed("KB91005") == "KB 9100-5"
    assert store.near_parts("KB 91OO-5")[0] == "KB 9100-5"
    assert [hit.part for hit in store.search("9000-1")] == ["KB 9000-1"]
    assert [(m.publication, m.page, m.item) for m in store.mentions("KB 9100-6")] == [("RM 55", "7-2", None)]
    assert store.known_by_text("KB 9100-6") and store.known_by_text("KB 9000-1")
    assert part_answer(store, "kb 9100.6").in_kits == ("KB 9000-1",)


def test_a_part_of_the_kit_before_is_not_in_the_kit(store: Store) -> None:
    """What only the previous contents name is not said to be in the kit now."""
    put(store, _paper(replace(KIT, previous=(line("KB 9050-5", "friction disc", 4),))))
    assert part_answer(store, "KB 9050-5").in_kits == ()


def test_kits_read_by_ocr_are_not_known_by_text(store: Store) -> None:
    """A number that only a picture names is known, but not by text."""
    put(store, _paper(replace(KIT, source=replace(KIT.source, by_ocr=True))))
    assert store.printed("KB91005") == "KB 9100-5" and not store.known_by_text("KB 9100-5")


def test_rereading_follows_the_kits(store: Store) -> None:
    """A manual whose kits alone are read otherwise is stored anew; a misread number is forgotten; one that is
    read the same keeps its rows."""
    put(store, _paper(KIT))
    ids = [i.id for p in store.publications()[0].pages for i in p.items]
    with store.transaction():
        store.reread(_paper(replace(KIT, note="", date=None)))  # the cover's number and date count
    assert [i.id for p in store.publications()[0].pages for i in p.items] == ids
    now = replace(KIT, lines=(line("KB 9100-5", "friction disc", 5), line("KB 9100-8", "steel disc", 6)))
    with store.transaction():
        store.reread(_paper(now))
    assert store.manual_contents("KB 9000-1") == (now,)
    assert store.printed("KB91006") is None and store.printed("KB91008") == "KB 9100-8"
    with store.transaction():
        store.reread(document("m", "other"))
    assert store.manual_contents("KB 9000-1") == () and store.printed("KB90001") is None
    assert check(store).problems == ()


def test_every_editions_word_is_kept(store: Store) -> None:
    """Two editions that list a kit differently both say so, the older first."""
    put(store, _paper(KIT))
    newer = replace(KIT, date=dt.date(2021, 1, 1), lines=(line(None, "friction disc", 6),), previous=())
    pages = (replace(manual().pages[0], items=(item("1", "Fit it.", "4-10"),)),)
    put(store, document("m2", "manual", manual=manual(pages=pages, date=dt.date(2021, 1, 1), kits=(newer,))))
    assert store.manual_contents("KB 9000-1") == (KIT, newer)
