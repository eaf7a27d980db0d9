"""Version 6 of the store: what near numbers and the packs of all books are looked for by. All papers are
invented."""

import sqlite3
from contextlib import closing
from pathlib import Path

from benchleaf.graph.db.connection import connect
from benchleaf.graph.db.schema import VERSION, bring_forward
from benchleaf.graph.db.tables import folded_by
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.keys import folded, key
from benchleaf.graph.store import Store
from hypothesis import given
from hypothesis import strategies as st

VERSION_5 = (
    "INSERT INTO file VALUES (1, 'HASH', 'm.pdf', 'manual', '2026-01-01', '2026-01-01T00:00:00+00:00')",
    "INSERT INTO publication VALUES (1, 1, 'RM 55', 'RM55', NULL, NULL, NULL, NULL, '[]', 'm.pdf')",
    "INSERT INTO page VALUES (1, 1, '4-1', '41', 1, NULL)",
    """INSERT INTO item (id, page_id, publication_id, label, label_key, text, page, page_key, sheet, notices,
       notice_text) VALUES
       (1, 1, 1, '1', '1', 'Fit 5 friction discs and 6 steel discs in turn.', '4-1', '41', 1, '[]', ''),
       (2, 1, 1, '2', '2', 'Oil the drum.', '4-1', '41', 1, '[]', '')""",
    """INSERT INTO note VALUES (1, NULL, 0, 'NB 10', 'NB10', NULL, NULL, NULL, 'maker', NULL,
       '{"models": ["DR 40"]}', '', '2026-01-01', '[]', '[]', NULL, NULL)""",
)


def test_a_store_of_version_5_comes_forward_with_a_copy_beside(tmp_path: Path) -> None:
    """Its steps' packs are read, its notes and models are near; the copy is of version 5 and whole."""
    (tmp_path / "originals").mkdir()
    with closing(connect(tmp_path / "benchleaf.db", "rwc")) as connection:
        bring_forward(connection, upto=5)
        for row in VERSION_5:
            connection.execute(row.replace("HASH", 64 * "a"))
    with Store.open(tmp_path) as store:
        assert store.connection.execute("PRAGMA user_version").fetchone()[0] == VERSION >= 6
        assert store.packs_in("rm-55") == {1} and store.books_counting((5, 6)) == {"RM55"}
        assert store.books_counting((6, 5)) == store.books_counting((5, None)) == frozenset()
        assert store.near_numbers("note", "NB 1O") == ("NB 10",)
        assert store.near_numbers("model", "DR 41") == ("DR 40",)
        assert {p.kind for p in check(store).problems} == {"original"}  # the paper was never there
    with closing(sqlite3.connect(tmp_path / "benchleaf-v5.db")) as copy:
        assert copy.execute("PRAGMA user_version").fetchone()[0] == 5
        assert copy.execute("SELECT count(*) FROM item").fetchone() == (2,)


@given(st.text(st.characters(max_codepoint=127), max_size=30))
def test_the_index_folds_as_the_key_does(printed: str) -> None:
    """Whatever was printed in plain letters, SQL and `folded` make the same of its key."""
    with closing(sqlite3.connect(":memory:")) as connection:
        assert connection.execute(f"SELECT {folded_by('?1')}", (key(printed),)).fetchone() == (
            folded(printed),
        )
