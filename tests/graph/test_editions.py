"""Two editions of one publication held at once. All papers are invented."""

from dataclasses import replace

import pytest
from benchleaf.graph.editions import edition_doubt, editions
from benchleaf.graph.model import Applies, Manual, Note, Override, Source, Target
from benchleaf.graph.page import page_answer
from benchleaf.graph.standing import judge
from fake_shelf import FakeShelf, day, manual

OLD = manual({"4-12": [("3", "Tighten to 46 Nm.")]}, edition="1", date=day("1990-01-01"), file="old.pdf")
SAME = replace(OLD, edition="2", date=day("1999-01-01"), file="new.pdf")
NEW = manual({"4-12": [("3", "Tighten to 52 Nm.")]}, edition="2", date=day("1999-01-01"), file="new.pdf")
NOTE = Note("VB 1", day("1995-03-12"), None, None, "maker", None, Applies())


def change(was: str = "46 Nm", now: str = "52 Nm") -> Override:
    place = Target("RX 40", "4-12", "3")
    said = Source("n.txt", 1)
    return Override(
        note="VB 1",
        date=NOTE.date,
        quote="q",
        source=said,
        action="change-value",
        target=place,
        was=was,
        now=now,
    )


def judged(statement: Override, *held: Manual) -> Override:
    got = judge(statement, (), statement.target, NOTE, FakeShelf(held))
    assert isinstance(got, Override)
    return got


def test_editions_that_agree_are_no_doubt() -> None:
    """The same step in both editions is one step: the change settles."""
    assert judged(change(), OLD, SAME).standing == "settled"


def test_an_edition_that_took_the_note_in_says_so() -> None:
    """A reprint may absorb a correction: changing it again would be wrong."""
    got = judged(change(), OLD, NEW)
    assert got.standing == "doubtful"
    assert any("edition 2 of RX 40 says so already; edition 1 is held too" in why for why in got.why)


def test_editions_that_differ_are_named() -> None:
    """Where the newest edition says something third, both editions are named."""
    got = judged(change(now="60 Nm"), OLD, NEW)
    assert any("2 editions of RX 40 are held and differ" in w and "edition 1" in w for w in got.why)


def test_a_step_that_only_the_old_edition_has() -> None:
    """The newest edition without the step leaves the change in doubt."""
    gone = manual({"4-12": [("1", "Fit the key.")]}, edition="2", date=day("1999-01-01"))
    assert any("only edition 1 of RX 40 has this step" in w for w in judged(change(), OLD, gone).why)


def test_files_of_one_edition_are_one() -> None:
    """An edition scanned in two files is no pair of editions."""
    more = manual({"4-13": [("1", "Fit the key.")]}, edition="1", date=day("1990-01-01"), file="more.pdf")
    assert len(editions((OLD, more))) == 1
    assert judged(change(), OLD, more).standing == "settled"


@pytest.mark.parametrize("held", [(OLD,), (OLD, SAME)])
def test_no_doubt_without_a_difference(held: tuple[Manual, ...]) -> None:
    """One edition, or two that agree, give no doubt about the edition."""
    assert edition_doubt(held, Target("RX 40", "4-12", "3"), "52 Nm") is None


def test_the_page_shows_the_newest_edition_and_says_so() -> None:
    """`page` takes the newest edition and tells that another is held."""
    page = page_answer(FakeShelf([OLD, NEW]), "RX 40", "4-12")
    assert page.items[0].text == "Tighten to 52 Nm."
    assert any("2 editions of RX 40 are held; this is edition 2" in w for w in page.warnings)
