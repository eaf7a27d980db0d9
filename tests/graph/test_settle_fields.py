"""Corrections of every field that a person may put right, and taking his word back."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.model import Applies, Contents, Override, Statement, Supersession
from benchleaf.graph.restand import restand
from benchleaf.graph.settling import settle
from benchleaf.graph.store import Store
from store_papers import NOW, SOURCE, became, document, line, manual, note, override, put

KIT = Contents(note="", date=None, quote="q", source=SOURCE, kit="KB 9000-1", lines=(line(None, "disc", 5),))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path, create=True) as opened:
        put(opened, document("m", "manual", manual=manual()))
        yield opened


def _state(store: Store, statement: Statement) -> int:
    content = document("a", notes=(note("N 1", replace(statement, standing="doubtful", why=("not sure",))),))
    number = put(store, content)
    with store.transaction():
        restand(store, number, content)
    (found,) = store.statements_of_document(number)
    return found.id or 0


def test_what_it_does_and_for_which_units(store: Store) -> None:
    """Action, models, serial numbers and days of build are put right, and what was unclear in the units is
    clear once a person has given them."""
    unsure = Applies(models=("X",), excepted=("12",), unclear=("the bound may be exclusive",))
    number = _state(store, override("RM 55", "4-10", "5", action="replace", applies=unsure))
    fields = {
        "action": "insert-after",
        "models": "DR 40, DR 41",
        "serial_from": "100",
        "serial_to": "899",
        "built_from": "2001-02-03",
        "built_to": "",
    }
    done = settle(store, number, "yes", "AB", NOW, fields)
    assert isinstance(done, Override)
    assert (done.action, done.standing) == ("insert-after", "settled")
    assert done.applies == Applies(
        models=("DR 40", "DR 41"),
        serial_from="100",
        serial_to="899",
        excepted=("12",),
        built_from=dt.date(2001, 2, 3),
    )
    assert store.statement(number) == done


def test_lines_of_a_kit(store: Store) -> None:
    """The contents of a kit are given as `kit --got` takes them, and are what the kit then holds."""
    number = _state(store, KIT)
    done = settle(store, number, "yes", "AB", NOW, {"lines": "5 friction disc, 4 steel disc (12-345)"})
    assert isinstance(done, Contents)
    assert done.lines == (line(None, "friction disc", 5), line("12-345", "steel disc", 4))
    assert store.contents_with("12345") == (done,)
    (kept,) = store.settlements(number)
    assert [c.after for c in kept.changes if c.name == "lines"] == [
        '[[5, "friction disc", null], [4, "steel disc", "12-345"]]'
    ]


@pytest.mark.parametrize(
    ("statement", "fields", "words"),
    [
        (override("RM 55", "4-10", "5"), {"action": "swap"}, "no action"),
        (override("RM 55", "4-10", "5"), {"built_from": "05/06/2016"}, "no date"),
        (became("KB 1001", "KB 1002"), {"relation": "some of"}, "no relation"),
        (became("KB 1001", "KB 1002"), {"to": "KB 1002, KB 1003"}, "--relation"),
        (became("KB 1001", "KB 1002"), {"models": "DR 40"}, "no models"),
        (KIT, {"lines": "discs"}, "no quantity"),
        (replace(KIT, lines=()), {}, "--lines"),
    ],
)
def test_what_cannot_be_is_wrong_use(
    store: Store, statement: Statement, fields: dict[str, str], words: str
) -> None:
    """A value that a field cannot have, or a field of another kind, is refused with its name; nothing
    changes."""
    number = _state(store, statement)
    before = store.statement(number)
    with pytest.raises(WrongUse) as told:
        settle(store, number, "yes", "AB", NOW, fields)
    assert words in f"{told.value.message} {told.value.remedy}"
    assert store.statement(number) == before and store.settlements() == ()


def test_a_rule_s_settling_may_be_overruled(store: Store) -> None:
    """What a rule settled, a person may refuse or correct; rules leave it alone from then on."""
    content = document("a", notes=(note("N 1", override("RM 55", "4-10", "5")),))
    number = put(store, content)
    with store.transaction():
        restand(store, number, content)
    (found,) = store.statements_of_document(number)
    assert found.settled_by == "rule"
    settle(store, found.id or 0, "no", "AB", NOW)
    with store.transaction():
        restand(store, number, content)
    held = store.statement(found.id or 0)
    assert held is not None and (held.standing, held.settled_by) == ("refused", "AB")
    assert settle(store, found.id or 0, "yes", "CD", NOW, {"text": "Fit none."}).settled_by == "CD"


def test_a_word_taken_back_leaves_the_reading(store: Store) -> None:
    """Back: the reading is as it was, judged by the rules; that it was settled and taken back is kept."""
    number = _state(store, became("KB 7O01", "KB 7002"))
    before = store.statement(number)
    settle(
        store, number, "yes", "AB", NOW, {"from": "KB 7001", "to": "KB 7003, KB 7004", "relation": "one of"}
    )
    assert settle(store, number, "back", "CD", NOW) == before
    assert [s.old for s in store.supersessions(["KB7O01"])] == [("KB 7O01",)]
    assert [(s.verdict, s.initials) for s in store.settlements(number)] == [("yes", "AB"), ("back", "CD")]
    with pytest.raises(WrongUse, match="nobody"):
        settle(store, number, "back", "CD", NOW)


def test_back_restores_an_override_as_cited(store: Store) -> None:
    """An override's target goes back to what the note cites, and is looked up anew."""
    number = _state(store, override(None, None, "5"))
    before = store.statement(number)
    settle(store, number, "yes", "AB", NOW, {"publication": "RM 55", "page": "41-0"})
    assert settle(store, number, "back", "AB", NOW) == before


def test_the_shop_s_own_word_is_not_taken_back_so(store: Store) -> None:
    """The shop's own note was never read from a paper: there is no reading to go back to."""
    own = replace(note("", override("RM 55", "4-10", "5", settled_by="AB")), source="shop")
    with store.transaction():
        stored = store.shop_note(own, NOW)
    with pytest.raises(WrongUse, match="nobody"):
        settle(store, stored.statements[0].id or 0, "back", "AB", NOW)


def test_settling_one_override_judges_its_neighbours(store: Store) -> None:
    """A later note that quotes the words of a doubtful earlier one is settled by rule once that one is."""
    change = {"action": "change-value", "text": None}
    first = replace(override("RM 55", "41-0", "5", was="29 N·m", now="31 N·m", **change), why=("not sure",))
    first = replace(first, standing="doubtful")
    later = override("RM 55", "41-0", "5", was="31 N·m", now="33 N·m", **change)
    for name, statement, year in (("a", first, 2020), ("b", later, 2021)):
        content = document(name, notes=(note(f"N {name}", statement, date=dt.date(year, 1, 1)),))
        number = put(store, content)
        with store.transaction():
            restand(store, number, content)
    one, two = store.statements()
    assert (one.standing, two.standing) == ("doubtful", "doubtful")
    settle(store, one.id or 0, "yes", "AB", NOW)
    assert [s.settled_by for s in store.statements()] == ["AB", "rule"]
    settle(store, one.id or 0, "no", "AB", NOW)
    assert [s.standing for s in store.statements()] == ["refused", "doubtful"]


def test_settled_split_keeps_its_kind(store: Store) -> None:
    """A split corrected to "one of" is one of several."""
    number = _state(store, became("KB 7001", ("KB 7002", "KB 7003"), relation="all of"))
    done = settle(store, number, "yes", "AB", NOW, {"relation": "one of"})
    assert isinstance(done, Supersession) and done.relation == "one of"
