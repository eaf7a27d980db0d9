"""A maker's other dates settle an ambiguous one."""

import datetime as dt

import pytest
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths
from benchleaf.ingest.dayorder import printed_date
from benchleaf.ingest.head.dates import read_date

NOW = dt.datetime(2026, 11, 25, 9)
LETTER = """From: Brackwell Hoists
Number: {number}
Date: {date}
Subject: Seals
Models: H 40

Seal 4471-208 has been replaced by seal 4471-{new}.
"""


@pytest.fixture
def taken(tmp_path):
    def take(**letters: str) -> dict[str, tuple[dt.date | None, tuple[str, ...]]]:
        paths = []
        for n, (name, date) in enumerate(letters.items()):
            paths.append(tmp_path / f"{name}.txt")
            paths[-1].write_text(LETTER.format(number=f"BH-{n}", date=date, new=300 + n))
        with Store.open(tmp_path / "store", create=True) as store:
            for path in paths:
                add_paths(store, [path], NOW)
            return {n.number: (n.date, n.unclear) for n in store.notes()}

    return take


def test_a_doubt_gives_back_the_date_it_speaks_of():
    """The doubt that dates.py writes about 5/6/2016 names the printed date, which is found again."""
    assert printed_date(read_date("5/6/2016").doubt or "") == "5/6/2016"
    assert printed_date("the bound may be exclusive") is None


@pytest.mark.parametrize(
    ("proof", "want"), [("8/31/2014", dt.date(2016, 5, 6)), ("31/8/2014", dt.date(2016, 6, 5))]
)
def test_a_later_paper_of_the_maker_proves_the_order(taken, proof, want):
    """5/6/2016 is put right when a paper with a number over twelve arrives, and the doubt goes."""
    assert taken(first="5/6/2016", second=proof)["BH-0"] == (want, ())


def test_without_proof_the_doubt_stays(taken):
    """With no other date to tell, the note keeps its doubt."""
    (_, unclear) = taken(first="5/6/2016", second="2014-08-31")["BH-0"]
    assert "5/6/2016" in unclear[0]


def test_proofs_that_disagree_settle_nothing(taken):
    """A maker who printed both orders leaves the date in doubt."""
    (_, unclear) = taken(first="31/8/2014", second="8/31/2014", third="5/6/2016")["BH-2"]
    assert unclear
