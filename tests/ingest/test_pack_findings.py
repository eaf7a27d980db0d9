"""Findings on manuals and notes that contradict themselves about a pack; all papers are invented."""

import datetime as dt

from benchleaf.graph.model import (
    Applies,
    Contents,
    Finding,
    Item,
    KitLine,
    Manual,
    ManualPage,
    Note,
    Override,
    Source,
    Statement,
    Target,
)
from benchleaf.ingest.packfindings import pack_findings

SOURCE = Source("n.pdf", 1)
DAY = dt.date(2001, 1, 1)
GOOD = "Stack 5 friction and 4 steel plates of kit 4471-900 alternately."
BAD = "Stack 5 friction and 4 steel plates alternately, beginning and ending with a steel plate."


def plates(friction: int, steel: int) -> tuple[KitLine, ...]:
    return KitLine(None, "friction plate", friction), KitLine(None, "steel plate", steel)


def contents(friction: int, steel: int, note: str = "N 1") -> Contents:
    kit = plates(friction, steel)
    return Contents(note=note, date=DAY, quote="kit 4471-900", source=SOURCE, kit="4471-900", lines=kit)


def book(*steps: str, kits: tuple[Contents, ...] = (), parts: tuple[KitLine, ...] = ()) -> Manual:
    items = tuple(Item(str(i), t, "31", 3, "Disc pack") for i, t in enumerate(steps, 1))
    page = ManualPage("31", 3, "Disc pack", items)
    return Manual("RX 40", None, None, None, None, (), (page,), "m.pdf", parts, kits)


def note(*said: Statement) -> Note:
    return Note("N 1", DAY, None, None, "maker", None, Applies(), statements=said)


def new_step(text: str) -> Override:
    target = Target("RX 40", "31", "1")
    return Override(
        note="N 1", date=DAY, quote=text, source=SOURCE, action="replace", target=target, text=text
    )


def of(manual: Manual | None, *notes: Note) -> list[str]:
    return [f.message for f in pack_findings(manual, notes, "m.pdf")]


def test_step_against_itself_has_its_place() -> None:
    """The finding names step and page, and carries the source and the words."""
    (found,) = pack_findings(book(BAD), (), "m.pdf")
    assert isinstance(found, Finding)
    assert found.message.startswith("step 1 on page 31 of RX 40 contradicts itself: its own counts")
    assert (found.source.file, found.source.sheet, found.source.page, found.quote) == ("m.pdf", 3, "31", BAD)


def test_two_steps_of_a_section() -> None:
    """Two steps of one section with other counts are found once."""
    assert len(of(book(GOOD, "Alternate 6 friction and 5 steel plates."))) == 1
    assert of(book(GOOD, "Alternate 6 friction and 5 steel plates of the reverse clutch.")) == []


def test_manual_against_its_own_kit() -> None:
    """The manual's own contents of the kit that the step names are compared."""
    assert of(book(GOOD, kits=(contents(5, 4, "RX 40"),))) == []
    assert (
        "own contents of kit 4471-900 give 6 friction" in of(book(GOOD, kits=(contents(6, 4, "RX 40"),)))[0]
    )


def test_manual_against_its_parts_list() -> None:
    """A parts list with one line of each kind is compared with the only pack step; a multiple is sound."""
    assert of(book(GOOD, parts=plates(10, 8))) == []
    assert "the parts list gives 5 friction and 6 steel" in of(book(GOOD, parts=plates(5, 6)))[0]


def test_note_against_its_own_kit() -> None:
    """A note's new step that shares a count with its kit or names it is held against the kit's contents."""
    assert of(None, note(contents(5, 4), new_step(GOOD))) == []
    assert len(of(None, note(contents(5, 6), new_step(GOOD)))) == 1


def test_note_on_two_packs_is_left_alone() -> None:
    """A new step of wholly other counts that does not name the kit may be of another pack."""
    step = "Alternate 12 friction and 13 steel plates."
    assert of(None, note(contents(5, 6), new_step(step))) == []


def test_note_with_an_impossible_step() -> None:
    """A note's new step is held against itself."""
    assert len(of(None, note(new_step(BAD)))) == 1


def test_nothing_given() -> None:
    """Without manual and notes nothing is found."""
    assert pack_findings(None, (), "x") == ()
