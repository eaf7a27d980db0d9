"""Statements as the answers need them: by part, by step, by note; and their standing worked out anew."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import networkx as nx
import pytest
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Cancels, Contents, Supersession, Target, Withdrawn
from benchleaf.graph.store import Store
from hypothesis import given, settings
from hypothesis import strategies as st
from store_papers import NOW, SOURCE, became, digest, document, line, manual, note, override, put


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path, create=True) as opened:
        yield opened


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    with Store.open(tmp_path_factory.mktemp("shared"), create=True) as opened:
        yield opened


numbers = st.integers(0, 14)
groups = st.lists(numbers, min_size=1, max_size=2, unique=True)


@given(
    edges=st.lists(st.tuples(groups, groups), max_size=14), asked=st.lists(numbers, min_size=1, max_size=2)
)
@settings(max_examples=80, deadline=None)
def test_neighbourhood_is_the_connected_part(
    shared: Store, edges: list[tuple[list[int], list[int]]], asked: list[int]
) -> None:
    """`supersessions` gives just the statements of the connected parts in which the asked numbers lie: the
    same as networkx finds on the whole graph."""

    def name(n: int) -> str:
        return f"{start}-{n:03d}"

    start = f"KB {1000 + len(shared.files())}"
    stated = [became(tuple(map(name, old)), tuple(map(name, new))) for old, new in edges]
    put(shared, document(f"drawn {start}", notes=(note(f"N {start}", *stated),)))
    graph: nx.Graph[str] = nx.Graph()
    for s in stated:
        all_of_it = [key(n) for n in (*s.old, *s.new)]
        nx.add_path(graph, all_of_it)
    wanted = {key(name(n)) for n in asked}
    near = {n for part in nx.connected_components(graph) if part & wanted for n in part}
    found = shared.supersessions([name(n) for n in asked])
    expected = [(s.old, s.new) for s in stated if {key(n) for n in s.old} & near]
    assert [(s.old, s.new) for s in found] == expected


def test_empty_numbers_connect_nothing(store: Store) -> None:
    """A number without letters or digits ("—" for none) does not join unrelated parts."""
    put(store, document("a", notes=(note("N 1", became("KB 7001", "—"), became("KB 8001", "—")),)))
    assert [s.old for s in store.supersessions(["KB7001"])] == [("KB 7001",)]
    assert store.supersessions([""]) == ()
    assert store.supersessions([]) == ()


def test_all_supersessions_in_portions(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading everything in portions yields every supersession once, in order."""
    monkeypatch.setattr("benchleaf.graph.db.statements._SOME", 3)
    stated = [became(f"KB 70{n:02d}", f"KB 80{n:02d}") for n in range(8)]
    put(store, document("a", notes=(note("N 1", *stated, override("RM 1", "1", "1")),)))
    assert [s.old for s in store.all_supersessions()] == [s.old for s in stated]


def test_statements_are_filtered(store: Store) -> None:
    """Statements are found by note (typed freely), by kind, by standing, and by id."""
    doubtful = replace(override("RM 55", "4-10", "5"), standing="doubtful", why=("unclear",))
    put(store, document("a", notes=(note("N 1", became("KB 7001", "KB 7002"), doubtful), note("N 2"))))
    assert [s.id for s in store.statements(note="n1")] == [1, 2]
    assert [type(s) for s in store.statements(kind="supersession")] == [Supersession]
    assert [s.why for s in store.statements(standing="doubtful")] == [("unclear",)]
    assert store.statements(note="N 2") == ()
    assert store.statement(2) == store.statements(kind="override")[0]
    assert store.statement(3) is None


def test_overrides_by_date(store: Store) -> None:
    """A step's overrides come by date, whatever the order in which the shop received them."""
    late = note("N 9", override("RM 55", "4-10", "5"), date=dt.date(2020, 1, 1))
    early = note("N 1", override("rm55", "4.10", "5"), date=dt.date(2010, 1, 1))
    put(store, document("a", notes=(late,)))
    put(store, document("b", notes=(early,)))
    assert [o.note for o in store.overrides("RM 55", "4-10")] == ["N 1", "N 9"]
    assert [o.note for o in store.overrides("RM 55")] == ["N 1", "N 9"]
    assert store.overrides("RM 55", "41-0") == ()
    assert [o.note for o in store.overrides_of_note("n 9")] == ["N 9"]


def test_vague_doubts_are_shown_where_they_could_matter(store: Store) -> None:
    """A doubtful override without publication is given for every publication with its page, one without page
    for every page of its publication; a settled one only where it says."""
    put(store, document("m", "manual", manual=manual()))
    vague = [override(None, "4-10", "5"), override("RM 55", None, "5"), override(None, None, "5")]
    doubts = [replace(o, standing="doubtful") for o in vague]
    put(store, document("a", notes=(note("N 1", *doubts), note("N 2", *vague))))
    assert [(o.note, o.target) for o in store.overrides("RM 55", "4-10")] == [
        ("N 1", Target(None, "4-10", "5")),
        ("N 1", Target("RM 55", None, "5")),
    ]
    assert [o.target.page for o in store.overrides("RM 66", "4-10")] == ["4-10"]
    assert [(o.note, o.target.page) for o in store.overrides("RM 55")] == [
        ("N 1", "4-10"),
        ("N 1", None),
        ("N 2", None),
    ]


def test_contents_and_withdrawals(store: Store) -> None:
    """Contents are found by kit and by a part in any of its lines, withdrawals by part."""
    kit = Contents(
        note="",
        date=None,
        quote="q",
        source=SOURCE,
        kit="KB 9000-1",
        lines=(line("KB 7001", "disc", 5),),
        previous=(line("KB 7000", "disc", 4), line(None, "seal", None)),
    )
    gone = Withdrawn(note="", date=None, quote="q", source=SOURCE, part="KB 7000")
    put(store, document("a", notes=(note("N 1", kit, gone),)))
    assert [c.lines for c in store.contents("kb90001")] == [kit.lines]
    assert [c.previous for c in store.contents_with("KB7000")] == [kit.previous]
    assert store.contents_with("KB 7003") == ()
    assert [w.part for w in store.withdrawals("kb 7000")] == ["KB 7000"]
    assert store.withdrawals("KB 7001") == ()


def test_cancelled_by_settled_word_only(store: Store) -> None:
    """A note is cancelled by a settled statement of another note; a doubt, a refusal or its own word do not
    count."""

    def cancels(number: str, **more: str) -> Cancels:
        return replace(Cancels(note="", date=None, quote="q", source=SOURCE, cancels=number), **more)  # type: ignore[arg-type]

    by = note(
        "N 9",
        cancels("n.1"),
        cancels("N 2", standing="doubtful"),
        cancels("N 3", standing="refused"),
        cancels("N 9"),
    )
    put(store, document("a", notes=tuple(note(f"N {n}") for n in (1, 2, 3))))
    put(store, document("b", notes=(by,)))
    assert [(n.number, n.cancelled_by) for n in store.notes()] == [
        ("N 1", "N 9"),
        ("N 2", None),
        ("N 3", None),
        ("N 9", None),
    ]
    assert [c.cancels for c in store.cancellations()] == ["n.1", "N 2", "N 3", "N 9"]


def test_newest_revision_answers(store: Store) -> None:
    """Of two notes of one number the newer one answers, each with its own statements only."""
    old = note("N 1", became("KB 7001", "KB 7002"), date=dt.date(2001, 1, 1))
    new = note("N 1", became("KB 7001", "KB 7003"), date=dt.date(2002, 1, 1))
    put(store, document("new", notes=(new,)))
    put(store, document("old", notes=(old,)))
    newest = store.note("N1")
    assert newest is not None
    assert newest.date == dt.date(2002, 1, 1)
    assert [[s.new for s in n.statements] for n in store.notes_like("N 1")] == [
        [("KB 7003",)],
        [("KB 7002",)],
    ]  # type: ignore[attr-defined]
    owner = store.note_of_statement(2)
    assert owner is not None
    assert owner.date == dt.date(2001, 1, 1)


def test_standing_worked_out_anew(store: Store) -> None:
    """`replace_statement` changes standing, reasons, settler and target, nothing else, and the reading's own
    doubts and target stay known."""
    read = replace(override(None, "4-10", "5"), standing="doubtful", why=("read by OCR",))
    put(store, document("a", notes=(note("N 1", read),)))
    held = store.overrides_of_note("N 1")[0]
    judged = replace(
        held,
        standing="settled",
        why=(),
        settled_by="rule",
        target=Target("RM 55", "4-10", "5"),
        quote="other words",
        text="other text",
    )
    with store.transaction():
        assert store.replace_statement(judged)
    assert store.statement(1) == replace(judged, quote=held.quote, text=held.text)
    assert store.reading_doubts(1) == ("read by OCR",)
    assert store.reading_target(1) == Target(None, "4-10", "5")
    assert [o.id for o in store.overrides("RM 55", "4-10")] == [1]


def test_person_outlasts_rule(store: Store) -> None:
    """What a person settled, yes or no, no rule changes, unless it is forced."""
    put(store, document("m", "manual", manual=manual()))
    put(
        store,
        document("a", notes=(note("N 1", override("RM 55", "4-10", "5"), override("RM 55", "41-0", "5")),)),
    )
    with store.transaction():
        settled = [store.settle(1, "yes", "AB", NOW), store.settle(2, "no", "AB", NOW)]
        for statement in settled:
            assert not store.replace_statement(replace(statement, standing="doubtful", settled_by=None))
    assert [s.standing for s in store.statements()] == ["settled", "refused"]
    assert store.unsettled_by_person_overrides("RM 55") == ()
    with store.transaction():
        assert store.replace_statement(replace(settled[0], standing="doubtful", settled_by=None), force=True)
    assert [o.id for o in store.unsettled_by_person_overrides("RM 55")] == [1]


def test_overrides_to_judge_anew(store: Store) -> None:
    """When a manual arrives, the overrides that cite it or nothing are judged anew: by what the note cites,
    not by what was filled in."""
    cited = (override("RM 55", "1", "1"), override(None, "1", "1"), override("RM 66", "1", "1"))
    put(store, document("a", notes=(note("N 1", *cited),)))
    vague = store.overrides_of_note("N 1")[1]
    with store.transaction():
        store.replace_statement(replace(vague, target=Target("RM 66", "1", "1"), settled_by="rule"))
    assert [o.id for o in store.unsettled_by_person_overrides("rm55")] == [1, 2]
    assert [o.id for o in store.unsettled_by_person_overrides(None)] == [1, 2, 3]


def test_unknown_ids_are_named_errors(store: Store) -> None:
    """An id that is not stored is NotHeld, and a change outside a transaction WrongUse."""
    with pytest.raises(NotHeld):
        store.reading_doubts(7)
    with pytest.raises(NotHeld), store.transaction():
        store.replace_statement(became("KB 1", "KB 2"))
    put(store, document("a", notes=(note("N 1", became("KB 7001", "KB 7002")),)))
    with pytest.raises(WrongUse):
        store.replace_statement(store.statements()[0])


def test_kits_of_applicability_are_known_parts(store: Store) -> None:
    """A kit that only an applicability names is a known number."""
    for_kit = replace(override("RM 55", "4-10", "5"), applies=Applies(kits=("KB 9000-7",)))
    put(store, document("a", notes=(note("N 1", for_kit),)))
    assert store.printed("KB90007") == "KB 9000-7"
    assert store.document(digest("a")) is not None
