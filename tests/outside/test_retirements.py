"""The supersession graph against the ISO 639-3 retirement table and the IANA language subtag registry."""

import datetime as dt
import json
from collections import Counter
from importlib.resources import files

import iso639
import pytest
from benchleaf.graph.keys import key
from benchleaf.graph.part import part_answer
from benchleaf.graph.store import Store
from retirements import Retirement, as_document, retirements, walk

TODAY = dt.date(2026, 11, 25)
ROWS = retirements()
BY_CODE = {row.code: row for row in ROWS}
FOLLOWED = [row for row in ROWS if row.news and row.code not in row.news]


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    folder = tmp_path_factory.mktemp("iso639")
    with Store.open(folder, create=True) as held:
        with held.transaction():
            held.insert(as_document(ROWS), TODAY, dt.datetime(2026, 11, 25, 9))
        yield held


def currents(store, code: str, on: dt.date) -> set[str]:
    return {key(number).lower() for number in part_answer(store, code, on).current}


def test_the_table_is_the_one_meant():
    """The table holds every kind of retirement, more than 380 in all (ISO 639-3, table of retirements)."""
    kinds = Counter(row.reason for row in ROWS)
    assert kinds["M"] > 150 and kinds["S"] > 90 and kinds["N"] > 60 and kinds["D"] > 30
    assert sum(kinds.values()) > 380


def test_every_changed_code_leads_to_what_the_table_says(store):
    """All changes, duplicates, merges and splits of ISO 639-3 lead to the table's codes, chains followed."""
    wrong = {r.code for r in FOLLOWED if currents(store, r.code, TODAY) != walk(r.code, BY_CODE, TODAY)}
    assert len(FOLLOWED) > 300
    assert wrong == set()


def test_before_its_date_a_change_has_not_happened(store):
    """The day before its effective date a code is still its own current code (ISO 639-3, `Effective`)."""

    def early(row: Retirement) -> set[str]:
        return currents(store, row.code, row.effective - dt.timedelta(days=1))

    assert [r.code for r in FOLLOWED if early(r) != {r.code}] == []


def test_as_of_every_january_the_graph_agrees_with_a_plain_walk(store):
    """As of each new year's day, twenty splits and twenty merges answer like recursion over the table."""
    some = [r for r in FOLLOWED if r.reason == "S"][-20:] + [r for r in FOLLOWED if r.reason == "M"][-20:]
    for year in range(2008, 2027, 3):
        day = dt.date(year, 1, 1)
        for row in some:
            assert currents(store, row.code, day) == walk(row.code, BY_CODE, day), (row.code, day)


def test_a_split_whose_branch_was_later_withdrawn(store):
    """ISO 639-3: nbx was split in January 2013; of its codes ekc was withdrawn in January 2020, and only then
    does the answer say so."""
    split, gone = BY_CODE["nbx"], BY_CODE["ekc"]
    assert split.effective == dt.date(2013, 1, 23) and "ekc" in split.news
    assert gone.reason == "N" and gone.effective == dt.date(2020, 1, 23)
    before, after = (part_answer(store, "nbx", dt.date(year, 6, 1)) for year in (2015, 2021))
    assert set(before.current) == set(after.current) == set(split.news)
    assert before.relation == after.relation == "all of"
    assert not any("no longer supplied" in p for p in before.problems)
    assert any("ekc is no longer supplied" in p for p in after.problems)


def test_earlier_numbers_are_found_backwards(store):
    """Every code that the table gives for a retired one names the retired one among its earlier numbers."""
    for row in FOLLOWED[::5]:
        assert row.code in part_answer(store, row.news[0]).was


def test_the_iana_registry_gives_the_same_codes(store):
    """Where the IANA language subtag registry (RFC 5646; PyPI package language-tags) deprecates a code with a
    preferred value, our current code is that value, with no exception."""
    registry = json.loads((files("language_tags") / "data" / "json" / "registry.json").read_text("utf-8"))
    entries = {r["Subtag"]: r for r in registry if r.get("Type") == "language" and "Preferred-Value" in r}
    both = [row for row in FOLLOWED if row.code in entries]
    differ = [
        r.code for r in both if currents(store, r.code, TODAY) != {_three(entries[r.code]["Preferred-Value"])}
    ]
    assert len(both) > 100
    assert differ == []


def _three(subtag: str) -> str:
    return subtag if len(subtag) == 3 else iso639.Language.from_part1(subtag).part3
