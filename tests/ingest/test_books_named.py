"""A publication goes by its number, with or without the word for a publication before it."""

import datetime as dt
from pathlib import Path

import pytest
from benchleaf.cli.main import benchleaf
from benchleaf.graph.keys import book_key
from benchleaf.graph.model import Override
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths
from click.testing import CliRunner

NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
MANUAL = """Brackwell Hoists
Service Manual
Models H 40 and H 60
Form 730-B  Printed June 1994
\f
SECTION 4  BRAKE

1. Take off the cover and drain the oil.
2. Tighten the four bolts to 46 Nm.
3. Fill with 1.5 litres of oil.
4. Fit the cover with a new gasket.

                              4-1
\f
SECTION 4  BRAKE

5. Turn the shaft by hand.
6. Fit the plug with a new ring.
7. Look for leaks.

                              4-2
\f
SECTION 4  BRAKE

8. Run it for ten minutes.
9. Tighten the plug once more.
10. Wipe it dry.

                              4-3
"""
NOTE = """Brackwell Hoists
Service Letter 12
Date: 8 May 1996
Subject: Bolts
Models: H 40, H 60

In step 2 on page 4-1 of {book} change 46 Nm to 52 Nm.
"""


def _store(folder: Path, book: str) -> Path:
    (folder / "manual.txt").write_text(MANUAL, encoding="utf-8")
    (folder / "note.txt").write_text(NOTE.format(book=book), encoding="utf-8")
    with Store.open(folder / "store", create=True) as store:
        add_paths(store, [folder / "manual.txt", folder / "note.txt"], NOW)
    return folder / "store"


@pytest.mark.parametrize("book", ["Form 730-B", "730-B", "Form No. 730-B"])
def test_a_note_may_leave_the_word_out(tmp_path: Path, book: str) -> None:
    """The cover prints "Form 730-B"; a note that says so, or the bare number, changes the step."""
    with Store.open(_store(tmp_path, book)) as store:
        (held,) = store.publications()
        (said,) = [s for s in store.statements() if isinstance(s, Override)]
        assert held.number == said.target.publication == "Form 730-B" and said.standing == "settled"
        assert [s.id for s in store.overrides("Form 730-B", "4-1")] == [said.id]


@pytest.mark.parametrize("typed", ["Form 730-B", "form 730b", "730-B", "Publication 730-B"])
def test_it_is_found_however_it_is_typed(tmp_path: Path, typed: str) -> None:
    """Whoever asks may type the word, leave it out, or use another."""
    store = _store(tmp_path, "Form 730-B")
    result = CliRunner().invoke(benchleaf, ["--store", str(store), "page", typed, "4-1"])
    assert result.exit_code == 0 and "52 Nm" in result.output


def test_the_word_alone_is_no_number() -> None:
    """A word for a publication is dropped only where a number follows it as another word."""
    assert book_key("Form") == "FORM" and book_key("FORM730") == "FORM730"
    assert book_key("Book A") == "BOOKA" and book_key("PUB 12-3") == "123"
