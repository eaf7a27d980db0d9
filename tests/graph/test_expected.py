"""What a kit should contain, and whose word that is."""

import datetime as dt
from typing import Any

from benchleaf.graph.binding import Family
from benchleaf.graph.kits.expected import Expected, expected_contents
from benchleaf.graph.model import Contents, KitLine, Manual, Note
from fake_shelf import FakeShelf, became, contains, day, lines, manual, note

KIT = "7001-02"
NEW = lines(friction_disc=11, steel_disc=12)
OLD = lines(friction_disc=11, steel_disc=10)
SWAP = became("7001-01", KIT)


def book(
    date: str | None, *kits: tuple[str, tuple[KitLine, ...]], parts: tuple[KitLine, ...] = (), **fields: Any
) -> Manual:
    """A manual that lists kits itself."""
    dated = day(date) if date else None
    told = tuple(contains(kit, has, note="RX 40", date=dated, **fields) for kit, has in kits)
    return manual({"4-12": [("5", f"Fit the discs of kit {KIT}.")]}, date=dated, kits=told, parts=parts)


def ask(*notes: Note, books: tuple[Manual, ...] = (), on: dt.date | None = None, **unit: Any) -> Expected:
    shelf = FakeShelf(books, notes)
    return expected_contents(shelf, KIT, Family(shelf, [KIT]), on, **unit)


def test_the_note_goes_before_the_older_manual() -> None:
    """A settled note later than the manual is the word; the manual's own list is what was before."""
    told = ask(note("N 1", "2001-01-01", contains(KIT, NEW)), books=(book("1999-01-01", (KIT, OLD)),))
    assert (told.basis, told.note, told.lines, told.before) == ("contents", "N 1", NEW, OLD)
    assert told.before_from == "RX 40"


def test_a_newer_manual_goes_before_the_note_and_says_so() -> None:
    """A manual dated after the note is the newer word, and the reasons name both."""
    told = ask(note("N 1", "2001-01-01", contains(KIT, NEW)), books=(book("2003-01-01", (KIT, OLD)),))
    assert (told.basis, told.note, told.lines) == ("manual", "RX 40", OLD)
    assert any("newer than N 1" in r and "otherwise" in r for r in told.reasons)


def test_an_undated_manual_is_no_newer_word() -> None:
    """Without a date on the manual the settled note counts."""
    told = ask(note("N 1", "2001-01-01", contains(KIT, NEW)), books=(book(None, (KIT, OLD)),))
    assert (told.basis, told.lines) == ("contents", NEW)


def test_the_manual_s_own_list_goes_before_the_kit_before() -> None:
    """Without a note on the kit the manual's own list of it counts, not its predecessor's."""
    notes = (note("N 1", "2001-01-01", contains("7001-01", OLD), SWAP),)
    told = ask(*notes, books=(book("1999-01-01", (KIT, NEW)),))
    assert (told.basis, told.lines, told.before) == ("manual", NEW, OLD)
    assert any("RX 40 itself" in r for r in told.reasons)


def test_the_manual_s_list_of_the_kit_before() -> None:
    """Where only the manual lists only the predecessor, that is compared with, and said."""
    told = ask(note("N 1", "2001-01-01", SWAP), books=(book("1999-01-01", ("7001-01", OLD)),))
    assert (told.basis, told.note, told.lines) == ("predecessor", "RX 40", OLD)
    assert any("7001-01 before it (RX 40)" in r for r in told.reasons)


def test_a_manual_s_list_that_was_not_read_for_certain_is_nobody_s_word() -> None:
    """A doubtful list of the manual is not used, and what stands in for it is not sure."""
    doubtful = book("1999-01-01", (KIT, NEW), standing="doubtful", why=("blurred",))
    assert ask(books=(doubtful,)).basis == "nothing"
    told = ask(note("N 1", "2001-01-01", contains("7001-01", OLD), SWAP), books=(doubtful,))
    assert told.basis == "predecessor" and not told.sure
    assert any("not read for certain" in r for r in told.reasons)


def test_two_manuals_of_one_date_that_differ_are_not_sure() -> None:
    """Contradicting lists of one date are no word to settle by."""
    told = ask(books=(book("1999-01-01", (KIT, NEW)), book("1999-01-01", (KIT, OLD))))
    assert told.basis == "manual" and not told.sure


def test_a_date_asked_for_leaves_later_words_out() -> None:
    """What was known on a day: a manual of a later date does not count."""
    notes = (note("N 1", "2001-01-01", contains(KIT, NEW)),)
    told = ask(*notes, books=(book("2003-01-01", (KIT, OLD)),), on=day("2002-01-01"))
    assert (told.basis, told.lines) == ("contents", NEW)


def test_the_parts_list_is_compared_in_remarks() -> None:
    """Another quantity by unit is told and decides nothing; equal ones and others' parts are not told."""
    parts = (
        KitLine("44-1", "seal ring", 4),
        KitLine("44-2", "gasket", 1),
        KitLine("44-9", "cover", 3),
        KitLine("44-3", "shim", None),
    )
    has = (KitLine("44-1", "seal ring", 2), KitLine("44-2", "gasket", 1), KitLine("44-3", "shim", 2))
    told = ask(note("N 1", "2001-01-01", contains(KIT, has)), books=(book("1999-01-01", parts=parts),))
    assert told.remarks == ("the parts list of RX 40 has 4 × 44-1 seal ring, the kit lists 2",)


def test_the_parts_list_of_the_model_s_manual() -> None:
    """A manual that does not name the kit is compared only where it covers the model asked for."""
    other = manual({"1-1": [("1", "Fit the cover.")]}, parts=(KitLine("44-1", "seal ring", 4),))
    told = note("N 1", "2001-01-01", contains(KIT, (KitLine("44-1", "seal ring", 2),)))
    assert ask(told, books=(other,)).remarks == ()
    assert len(ask(told, books=(other,), model="K 7").remarks) == 1
    assert ask(told, books=(other,), model="Z 9").remarks == ()


def test_what_ocr_read_of_a_manual_is_told() -> None:
    """A list that a machine read from a picture is marked, whoever's it is."""
    from benchleaf.graph.model import Source

    told = ask(books=(book("1999-01-01", (KIT, NEW), source=Source("a.pdf", 3, by_ocr=True)),))
    assert any("read by OCR" in r for r in told.reasons)


def test_every_older_word_is_kept() -> None:
    """The manual's own list and the predecessor's are both what the newest word may differ from."""
    notes = (
        note("N 0", "1999-05-01", contains("7001-01", OLD)),
        note("N 1", "2001-01-01", SWAP, contains(KIT, NEW)),
    )
    told = ask(*notes, books=(book("1999-01-01", (KIT, NEW)),))
    assert [c.lines for c in told.earlier] == [NEW, OLD] and all(
        isinstance(c, Contents) for c in told.earlier
    )
