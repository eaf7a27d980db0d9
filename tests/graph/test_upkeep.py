"""Upkeep: `check` finds each kind of damage and nothing in a whole store; `backup` makes a store."""

import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.db.upkeep import Condition, backup, check
from benchleaf.graph.errors import StoreProblem, WrongUse
from benchleaf.graph.model import Target
from benchleaf.graph.store import Store
from store_papers import NOW, became, digest, document, manual, note, override, put


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "s", create=True) as opened:
        put(opened, document("m", "manual", manual=manual()))
        said = note("N 1", became("KB 7001", "KB 7002"), override("RM 55", "4-10", "5"))
        put(opened, document("n", notes=(said,)))
        yield opened


def _looked_at(store: Store) -> Condition:
    with Store.open(store.folder) as reader:
        return check(reader)


def _spoil(store: Store, *statements: str) -> None:
    store.connection.execute("PRAGMA foreign_keys = OFF")
    for sql in statements:
        store.connection.execute(sql)


def test_whole_store(store: Store) -> None:
    """A whole store has no problems, the counts are those of what is held, and looking changes no byte."""
    before = (store.folder / "benchleaf.db").read_bytes()
    found = _looked_at(store)
    assert found.problems == ()
    assert found.whole
    counts = found.counts
    assert (counts.files, counts.publications, counts.items, counts.notes, counts.statements) == (
        2,
        1,
        2,
        1,
        2,
    )
    assert (store.folder / "benchleaf.db").read_bytes() == before


def _remove(path: Path) -> None:
    path.unlink()


def _flip(path: Path) -> None:
    path.write_bytes(bytes([path.read_bytes()[0] ^ 1]))


@pytest.mark.parametrize(("spoil", "words"), [(_remove, "missing"), (_flip, "changed")])
def test_originals(store: Store, spoil: Callable[[Path], None], words: str) -> None:
    """An original that is gone, or has one bit changed, is named with its file."""
    spoil(store.original(digest("m")))
    (problem,) = _looked_at(store).problems
    assert problem.kind == "original"
    assert f"original of m ({digest('m')[:12]}…) " in problem.message
    assert words in problem.message


NOTE_COLUMNS = """file_id, listing, number, number_key, date, subject, issuer, source, revision, applies,
    file, received, unclear, cites, own_words, read_head"""
SPOILS = {
    "row missing in the index": """INSERT INTO item_search(item_search, rowid, text, notice_text)
        SELECT 'delete', id, text, notice_text FROM item WHERE id = 1""",
    "row too many in the index": "INSERT INTO item_search(rowid, text, notice_text) VALUES (99, 'lost', '')",
    "words changed behind the index": "UPDATE sheet SET text = 'other words' WHERE id = 1",
    "note unknown to the index": f"INSERT INTO note SELECT 9, {NOTE_COLUMNS} FROM note WHERE id = 1",
    "part gone behind the index": "DELETE FROM part WHERE part_key = 'KB7001'",
}
ROWS = {
    "row missing in the index": "item_search lacks row 1 of item",
    "row too many in the index": "item_search holds a lost row 99 of item",
    "words changed behind the index": "sheet_search does not agree",
    "note unknown to the index": "note_search lacks row 9 of note",
    "part gone behind the index": "part_search holds a lost row 1 of part",
}


@pytest.mark.parametrize("name", SPOILS)
def test_search_index_both_ways(store: Store, name: str) -> None:
    """A row that an index lacks, one that it has too many, and words that changed behind it are all found."""
    _spoil(store, SPOILS[name])
    problems = _looked_at(store).problems
    assert {p.kind for p in problems} == {"search"}
    assert any(ROWS[name] in p.message for p in problems)


def test_dangling_links(store: Store) -> None:
    """A row that points at one that is gone is found."""
    _spoil(store, "DELETE FROM publication")
    assert {p.kind for p in _looked_at(store).problems} == {"link"}


def test_settled_target_that_is_not_there(store: Store) -> None:
    """A settled override on an item that its held page does not have, or without a whole target, is found;
    one on a page that is not held, and a doubtful one, are none."""
    targets = (("RM 55", "4-10", "6"), ("RM 55", None, "5"), ("RM 55", "99", "1"))
    vague = replace(override("RM 55", "4-10", "6"), standing="doubtful")
    put(store, document("x", notes=(note("N 2", *(override(*t) for t in targets), vague),)))
    problems = _looked_at(store).problems
    assert [p.kind for p in problems] == ["target", "target"]
    assert "item 6 on page 4-10 of RM 55" in problems[0].message
    assert "statement 4" in problems[1].message


def test_circle_of_numbers(store: Store) -> None:
    """Numbers that replace each other on one day are a circle; with a doubtful link they are none."""
    ring = (became("KB 1001", "KB 1002"), became("KB 1002", "KB 1003"), became("KB 1003", "KB 1001"))
    doubtful = replace(became("KB 2002", "KB 2001"), standing="doubtful")
    put(store, document("x", notes=(note("N 2", became("KB 2001", "KB 2002"), doubtful),)))
    assert _looked_at(store).problems == ()
    put(store, document("y", notes=(note("N 3", *ring),)))
    problems = _looked_at(store).problems
    assert {p.kind for p in problems} == {"number"}
    assert all(name in problems[0].message for name in ("KB 1001", "KB 1002", "KB 1003"))


def test_return_by_date_is_no_circle(store: Store) -> None:
    """A number that goes back to an earlier one in a later year is in order (common practice, no source)."""
    put(store, document("x", notes=(note("N 2", became("KB 3001", "KB 3002")),)))
    later = note("N 3", became("KB 3002", "KB 3001"), date=NOW.date())
    put(store, document("y", notes=(later,)))
    assert _looked_at(store).problems == ()


def test_damaged_database_is_told_not_raised(store: Store) -> None:
    """Overwritten pages of the database are told as such, and the check does not stumble over them."""
    rows = [became(f"KB 5{n:04d}", f"KB 6{n:04d}") for n in range(300)]
    put(store, document("big", notes=(note("N 7", *rows),)))
    path = store.folder / "benchleaf.db"
    root = store.connection.execute(
        "SELECT rootpage FROM sqlite_master WHERE name = 'statement_note'"
    ).fetchone()[0]
    size = store.connection.execute("PRAGMA page_size").fetchone()[0]
    with path.open("rb+") as file:
        file.seek((root - 1) * size)
        file.write(b"\xff" * size)
    found = _looked_at(store)
    assert "database" in {p.kind for p in found.problems}


def test_unreadable_json_is_told(store: Store) -> None:
    """A list that is no list any more is a problem and not a crash."""
    _spoil(store, "UPDATE statement SET why = '[' WHERE id = 1")
    assert {p.kind for p in _looked_at(store).problems} == {"database"}


def test_backup_is_a_store(store: Store, tmp_path: Path) -> None:
    """The copy is a whole store of its own with every original, made by a reader; no half file is left."""
    with Store.open(store.folder) as reader:
        made = backup(reader, tmp_path / "copies" / "today")
        held = reader.document(digest("n"))
    with Store.open(made) as copy:
        assert check(copy).problems == ()
        assert copy.document(digest("n")) == held
        assert copy.original(digest("m")).read_bytes() == b"m"
        assert [hit.item for hit in copy.search("seal") if hit.kind == "item"] == ["5"]
        assert [o.target for o in copy.overrides("RM 55", "4-10")] == [Target("RM 55", "4-10", "5")]
    assert sorted(p.name for p in made.iterdir()) == ["benchleaf.db", "originals"]


def test_backup_brings_an_earlier_copy_up_to_date(store: Store, tmp_path: Path) -> None:
    """A second backup into the same folder holds what came since, and copies only the originals it lacks."""
    made = backup(store, tmp_path / "b")
    stamp = (made / "originals" / digest("m")).stat().st_mtime_ns
    put(store, document("later"))
    backup(store, made)
    with Store.open(made) as copy:
        assert [f.name for f in copy.files()] == ["m", "n", "later"]
        assert check(copy).problems == ()
    assert (made / "originals" / digest("m")).stat().st_mtime_ns == stamp


def test_backup_refuses_wrong_places(store: Store, tmp_path: Path) -> None:
    """Neither the store itself nor a folder with another program's database is overwritten."""
    with pytest.raises(WrongUse):
        backup(store, store.folder)
    other = tmp_path / "other"
    other.mkdir()
    connection = sqlite3.connect(other / "benchleaf.db")
    connection.execute("CREATE TABLE theirs (a)")
    connection.close()
    before = (other / "benchleaf.db").read_bytes()
    with pytest.raises(StoreProblem, match="another program"):
        backup(store, other)
    assert (other / "benchleaf.db").read_bytes() == before


@pytest.mark.parametrize(("spoil", "words"), [(_remove, "missing"), (_flip, "damaged")])
def test_backup_of_a_damaged_store_keeps_the_old_copy(
    store: Store, tmp_path: Path, spoil: Callable[[Path], None], words: str
) -> None:
    """If an original is gone or changed, the backup says so and the earlier copy stays as it was."""
    made = backup(store, tmp_path / "b")
    before = (made / "benchleaf.db").read_bytes()
    put(store, document("later"))
    spoil(store.original(digest("later")))
    with pytest.raises(StoreProblem, match=words):
        backup(store, made)
    assert (made / "benchleaf.db").read_bytes() == before
    assert not list(made.glob("**/*.part"))
