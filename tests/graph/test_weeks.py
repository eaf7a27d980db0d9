"""The weekly report, and what is cited but not held."""

import datetime as dt

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.missing import missing_answer
from benchleaf.graph.week import span, week_answer
from fake_shelf import FakeShelf, became, cancels, contains, lines, manual, note, override, withdrawn

TODAY = dt.date(2026, 11, 25)
BOOK = manual({"4-12": [("5", "Tighten to 90 Nm.")]})


def test_week_is_by_receipt_not_by_date() -> None:
    """An old bulletin found this week is this week's news; one received before is not."""
    shelf = FakeShelf(
        [BOOK],
        [
            note(
                "N 1",
                "1998-01-01",
                override("change-value", "5", was="90 Nm", now="95 Nm"),
                received="2026-11-24",
            ),
            note("N 2", "2026-11-24", override("delete", "5"), received="2026-11-22"),
        ],
    )
    answer = week_answer(shelf, None, None, TODAY)
    assert (answer.week, answer.first, answer.last) == (
        "2026-W48",
        dt.date(2026, 11, 23),
        dt.date(2026, 11, 29),
    )
    assert [n.number for n in answer.notes] == ["N 1"]
    assert [(s.item, s.action, s.was, s.now, s.standing, s.models) for s in answer.steps] == [
        ("5", "change-value", "90 Nm", "95 Nm", "settled", ("K7",))
    ]


def test_week_lists_parts_kits_doubts_and_missing() -> None:
    """Parts by old and new, kits by what they were and are, doubts counted, missing papers named."""
    shelf = FakeShelf(
        [BOOK],
        [
            note("N 0", "2000-01-01", contains("7001-01", lines(friction_disc=11, steel_disc=10))),
            note(
                "N 1",
                "2001-01-01",
                became("7001-01", "7001-02"),
                withdrawn("4410-21"),
                contains("7001-02", lines(friction_disc=11, steel_disc=12)),
                override("delete", "5", standing="doubtful"),
                override("delete", "1", page="9-9", publication="RX 99", standing="doubtful"),
                received="2026-11-23",
            ),
        ],
    )
    answer = week_answer(shelf, "2026-W48", None, TODAY)
    assert [(p.old, p.new) for p in answer.parts] == [(("7001-01",), ("7001-02",)), (("4410-21",), ())]
    assert [(k.kit, k.was, k.now) for k in answer.kits] == [
        ("7001-02", lines(friction_disc=11, steel_disc=10), lines(friction_disc=11, steel_disc=12))
    ]
    assert answer.doubts == 2 and answer.jobs == ()
    assert [(m.kind, m.number) for m in answer.missing] == [("publication", "RX 99")]


def test_spans() -> None:
    """ISO weeks run Monday to Sunday, over the year's end too; since a date runs to today."""
    assert span("2026-w1", None, TODAY) == (dt.date(2025, 12, 29), dt.date(2026, 1, 4))
    assert span("W48", None, TODAY)[0] == dt.date(2026, 11, 23)
    assert span(None, dt.date(2026, 11, 1), TODAY) == (dt.date(2026, 11, 1), TODAY)


@pytest.mark.parametrize(
    ("week", "since"),
    [("2025-W53", None), ("48", None), ("2026-W00", None), (None, dt.date(2027, 1, 1)), ("2026-W48", TODAY)],
)
def test_what_is_no_week_is_wrong_use(week: str | None, since: dt.date | None) -> None:
    """Weeks that do not exist (2025 has 52), days to come, and both at once are refused."""
    with pytest.raises(WrongUse):
        span(week, since, TODAY)


def test_every_day_is_in_its_own_week() -> None:
    """For every day of ten years, the week named by its ISO number contains it (datetime's isocalendar)."""
    for number in range(0, 3650, 3):
        at = dt.date(2020, 1, 1) + dt.timedelta(days=number)
        iso = at.isocalendar()
        first, last = span(f"{iso.year}-W{iso.week:02d}", None, TODAY)
        assert first <= at <= last


def test_missing_publications_pages_and_notes() -> None:
    """Cited but not held: publications with the places cited, pages with their publication, cancelled
    notes."""
    shelf = FakeShelf(
        [BOOK],
        [
            note(
                "N 1",
                "2001-01-01",
                override("delete", "3", page="2-2", publication="RX 99", standing="doubtful"),
            ),
            note(
                "N 2",
                "2001-01-01",
                override("delete", "3", page="2-2", publication="rx99", standing="doubtful"),
            ),
            note(
                "N 3",
                "2001-01-01",
                override("delete", "3", page="4-13", standing="doubtful"),
                cancels("N 77"),
            ),
            note("N 4", "2001-01-01", override("delete", "5"), cancels("N 3")),
            note("N 5", "2001-01-01", override("delete", "1", page="8-8", standing="refused")),
        ],
    )
    found = missing_answer(shelf)
    assert [(m.kind, m.number, m.cited_by, m.where) for m in found] == [
        ("publication", "RX 99", ("N 1", "N 2"), ("page 2-2, item 3",)),
        ("page", "4-13", ("N 3",), ("RX 40",)),
        ("note", "N 77", ("N 3",), ()),
    ]
    assert missing_answer(FakeShelf([BOOK])) == ()
