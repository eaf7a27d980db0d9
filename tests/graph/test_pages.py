"""A manual page with every note that overrides it."""

import pytest
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.model import Applies
from benchleaf.graph.page import page_answer
from fake_shelf import FakeShelf, became, cancels, contains, day, lines, manual, note, override

STEPS = [("1", "Fit the key."), ("2", "Tighten to 90 Nm."), ("3", "Turn the shaft.")]
BOOK = manual({"4-12": STEPS, "41-2": [("1", "Other page.")]})


def test_page_shows_each_override_and_what_is_in_force() -> None:
    """Each step lists its overrides by date with why they do not hold; the page names all notes."""
    shelf = FakeShelf(
        [BOOK],
        [
            note("N 2", "2002-01-01", override("change-value", "2", was="90 Nm", now="95 Nm")),
            note("N 1", "2001-01-01", override("delete", "1")),
            note("N 3", "2003-01-01", cancels("N 1")),
            note(
                "N 4",
                "2004-01-01",
                override("replace", "3", text="X.", standing="doubtful", why=("a question",)),
            ),
        ],
    )
    page = page_answer(shelf, "rx40", "4.12")
    assert (page.publication, page.page, page.notes) == ("RX 40", "4-12", ("N 1", "N 2", "N 4"))
    first, second, third = page.items
    assert first.in_force.text == "Fit the key." and first.overrides[0].why_not == "cancelled by N 3"
    assert second.in_force.text == "Tighten to 95 Nm." and second.in_force.by == ("N 2",)
    assert second.overrides[0].in_force and second.overrides[0].why_not is None
    assert third.overrides[0].why_not == "not settled" and third.overrides[0].why == ("a question",)


def test_page_as_of_a_date() -> None:
    """As of a date, later overrides and later cancellations do not count yet."""
    shelf = FakeShelf(
        [BOOK],
        [
            note("N 1", "2001-01-01", override("delete", "1")),
            note("N 2", "2003-01-01", cancels("N 1"), override("delete", "3")),
        ],
    )
    page = page_answer(shelf, "RX 40", "4-12", day("2002-01-01"))
    assert page.items[0].in_force.text is None
    assert page.items[2].overrides[0].why_not == "dated later than 2002-01-01"


def test_in_force_is_told_with_its_limits() -> None:
    """What holds for some units only is in force, and says for which."""
    limited = note("N 1", "2001-01-01", override("delete", "1"), applies=Applies(serial_from="400"))
    item = page_answer(FakeShelf([BOOK], [limited]), "RX 40", "4-12").items[0]
    assert item.in_force.text is None and "N 1 holds for serial from 400" in item.warnings


def test_kit_bound_override_names_its_kit() -> None:
    """An override bound to a kit says with which kit it holds."""
    words = "Stack 11 friction discs and 12 steel discs, a steel disc first and last."
    shelf = FakeShelf(
        [BOOK],
        [
            note(
                "N 1",
                "2001-01-01",
                became("7001-01", "7001-02"),
                contains("7001-02", lines(friction_disc=11, steel_disc=12)),
                override("replace", "3", text=words),
            )
        ],
    )
    item = page_answer(shelf, "RX 40", "4-12").items[2]
    assert item.overrides[0].kits == ("7001-02",) and item.in_force.text == words


def test_kit_bound_replacement_does_not_end_an_unbound_one() -> None:
    """With no kit meant, a step for a new kit leaves an earlier note's step in force for the older kits."""
    shelf = FakeShelf(
        [BOOK],
        [
            note("N 1", "2001-01-01", override("replace", "3", text="Stack the pack dry.")),
            note(
                "N 2",
                "2002-01-01",
                contains("7001-02", lines(friction_disc=11, steel_disc=12)),
                override("replace", "3", text="Stack the pack in oil."),
            ),
        ],
    )
    item = page_answer(shelf, "RX 40", "4-12").items[2]
    assert item.in_force.text == "Stack the pack in oil." and item.in_force.by == ("N 2",)
    assert [o.in_force for o in item.overrides] == [True, True]
    assert any("N 1 still holds" in w for w in item.warnings)


def test_pages_of_equal_key_are_told_apart() -> None:
    """4-12 and 41-2 are different pages; 412 typed bare may be either, and both are offered."""
    shelf = FakeShelf([BOOK], [note("N 1", "2001-01-01", override("delete", "1", page="41-2"))])
    assert page_answer(shelf, "RX 40", "41-2").items[0].in_force.text is None
    assert page_answer(shelf, "RX 40", "4-12").items[0].in_force.text == "Fit the key."
    with pytest.raises(NotHeld) as raised:
        page_answer(shelf, "RX 40", "412")
    assert set(raised.value.near) == {"4-12", "41-2"}


def test_unknown_publication_and_page_offer_the_nearest() -> None:
    """What is not held raises NotHeld with near numbers."""
    shelf = FakeShelf([BOOK])
    with pytest.raises(NotHeld) as raised:
        page_answer(shelf, "RX 41", "4-12")
    assert raised.value.near == ("RX 40",)
    with pytest.raises(NotHeld):
        page_answer(shelf, "RX 40", "9-1")


def test_override_without_a_step_is_kept_aside() -> None:
    """A doubtful override that names the page but no step held is shown beside the page and warned of."""
    shelf = FakeShelf(
        [BOOK], [note("N 1", "2001-01-01", override("replace", "9", text="X.", standing="doubtful"))]
    )
    page = page_answer(shelf, "RX 40", "4-12")
    assert [o.note for o in page.others] == ["N 1"] and "reading 1" in page.warnings[0]


def test_step_label_standing_twice_is_not_guessed() -> None:
    """Two steps 1 on a page: a settled override goes to the one with its old value, else to none."""
    twice = manual({"4-12": [("1", "Tighten to 90 Nm."), ("1", "Tighten to 20 Nm.")]})
    told = note("N 1", "2001-01-01", override("change-value", "1", was="20 Nm", now="25 Nm"))
    page = page_answer(FakeShelf([twice], [told]), "RX 40", "4-12")
    assert [i.in_force.text for i in page.items] == ["Tighten to 90 Nm.", "Tighten to 25 Nm."]
    blind = note("N 1", "2001-01-01", override("delete", "1"))
    page = page_answer(FakeShelf([twice], [blind]), "RX 40", "4-12")
    assert all(i.in_force.text for i in page.items) and "more than one step 1" in page.warnings[0]


def test_manual_in_several_files_and_older_edition() -> None:
    """Files of one edition are one book; a page that only an older edition has is shown with a warning."""
    import datetime as dt

    new, old = dt.date(2001, 1, 1), dt.date(1998, 1, 1)
    shelf = FakeShelf(
        [
            manual({"4-12": STEPS}, date=new, file="a.pdf"),
            manual({"5-1": [("1", "Second file.")]}, date=new, file="b.pdf"),
            manual({"4-12": [("1", "Old words.")], "9-9": [("1", "Old page.")]}, date=old, file="c.pdf"),
        ]
    )
    assert page_answer(shelf, "RX 40", "4-12").items[0].text == "Fit the key."
    assert page_answer(shelf, "RX 40", "5-1").file == "b.pdf"
    older = page_answer(shelf, "RX 40", "9-9")
    assert older.items[0].text == "Old page." and any("older edition" in w for w in older.warnings)
