"""The answers over the real store: the same as over papers in memory."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.kits.kit import kit_answer, parse_got
from benchleaf.graph.missing import missing_answer
from benchleaf.graph.model import Applies, KitLine
from benchleaf.graph.page import page_answer
from benchleaf.graph.part import part_answer
from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer
from benchleaf.graph.store import Store
from benchleaf.graph.week import week_answer
from fake_shelf import FakeShelf, became, cancels, contains, lines, manual, note, override
from store_papers import DAY, document, put

FRICTION_ENDS = "Stack 11 friction discs and 10 steel discs in turn, a friction disc first and last."
STEEL_ENDS = "Stack 11 friction discs and 12 steel discs in turn, a steel disc first and last."
BOOKS = [
    manual(
        {
            "4-12": [("5", FRICTION_ENDS), ("6", "Fit seal 4410-21 dry."), ("7", "Tighten to 9 Nm.")],
            "4-13": [("8", "Blow dry air at 3 bar into the hole.")],
        }
    ),
    manual({"7-1": [("1", "Fill the pump.")]}, number="RX 70", models=("K9",), section="Oil pump"),
]
NOTES = [
    note(
        "N 1",
        "2001-01-01",
        became("7001-01", "7001-02", quote="kit 7001-02 replaces kit 7001-01"),
        contains("7001-02", lines(friction_disc=11, steel_disc=12), lines(friction_disc=11, steel_disc=10)),
        override("replace", "5", text=STEEL_ENDS),
        applies=Applies(models=("K7",), serial_from="400"),
        received="2026-11-24",
    ),
    note("N 2", "2002-01-01", override("change-value", "7", was="9 Nm", now="11 Nm"), received="2026-11-24"),
    note(
        "N 3",
        "2003-01-01",
        became("4410-21", "4410-35"),
        contains("7009-01", [KitLine("4410-35", "seal", 2)]),
    ),
    note("N 4", "2004-01-01", override("insert-after", "8", page="4-13", text="Listen for one knock.")),
    note("N 5", "2005-01-01", cancels("N 2")),
    note(
        "N 6",
        "2006-01-01",
        override("delete", "6", standing="doubtful", why=("a question",), settled_by=None),
        override("delete", "1", page="9-9", publication="RX 99", standing="doubtful", settled_by=None),
        override("delete", "8", page="4-13", publication=None, standing="doubtful", settled_by=None),
    ),
]


@pytest.fixture(scope="module")
def shelf() -> FakeShelf:
    return FakeShelf(BOOKS, NOTES)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    folder: Path = tmp_path_factory.mktemp("store")
    with Store.open(folder, create=True) as made:
        for book in BOOKS:
            put(made, document(book.number, "manual", manual=book))
        for n in NOTES:
            put(made, document(n.number, notes=(n,)), n.received or DAY.replace(day=2))
    with Store.open(folder) as opened:
        yield opened


@pytest.mark.parametrize("number", ["4410-21", "4410 35", "700101", "7001-02", "7009-01", "44IO-21", "1"])
def test_part(store: Store, shelf: FakeShelf, number: str) -> None:
    """A part's way, uses, kits and problems are the same over the store."""
    assert part_answer(store, number) == part_answer(shelf, number)


@pytest.mark.parametrize("page", ["4-12", "4.13"])
def test_page(store: Store, shelf: FakeShelf, page: str) -> None:
    """A page with its overrides, doubtful ones without a publication among them, is the same over the
    store."""
    assert page_answer(store, "rx40", page) == page_answer(shelf, "rx40", page)


@pytest.mark.parametrize("serial", [None, "300", "500"])
@pytest.mark.parametrize("kits", [(), ("7001-01",), ("7001-02",)])
def test_procedure(store: Store, shelf: FakeShelf, serial: str | None, kits: tuple[str, ...]) -> None:
    """The procedure in force is the same over the store, for any serial and kit; and it is what it should
    be."""
    asked = ProcedureQuestion(publication="RX 40", model="K7", serial=serial, kits=kits)
    answer = procedure_answer(store, asked)
    assert answer == procedure_answer(shelf, asked)
    new = serial == "500" and kits != ("7001-01",)
    assert answer.steps[0].text == (STEEL_ENDS if new else FRICTION_ENDS)
    assert [s.label for s in answer.steps] == ["5", "6", "7", "8", "8a"]


@pytest.mark.parametrize(
    "got", ["11 friction disc, 12 steel disc", "11 friction disc, 10 steel disc", "3 seal"]
)
def test_kit(store: Store, shelf: FakeShelf, got: str) -> None:
    """The verdict on a kit is the same over the store; which notes a search finds depends on its index."""
    answer = kit_answer(store, "7001-02", parse_got(got), model="K7")
    other = kit_answer(shelf, "7001-02", parse_got(got), model="K7")
    assert replace(answer, missing=None) == replace(other, missing=None)
    told = [None if a.missing is None else a.missing.arithmetic for a in (answer, other)]
    assert told[0] == told[1]
    assert answer.hold == (got != "11 friction disc, 12 steel disc")


def test_week_and_missing(store: Store, shelf: FakeShelf) -> None:
    """The week's notes and what is missing are the same over the store."""
    ours, theirs = week_answer(store, "2026-W48", None, DAY), week_answer(shelf, "2026-W48", None, DAY)
    assert [n.number for n in ours.notes] == [n.number for n in theirs.notes] == ["N 1", "N 2"]
    assert (ours.steps, ours.parts, ours.kits, ours.doubts) == (
        theirs.steps,
        theirs.parts,
        theirs.kits,
        theirs.doubts,
    )
    assert [(m.kind, m.number, m.cited_by) for m in missing_answer(store)] == [
        ("publication", "RX 99", ("N 6",))
    ]
