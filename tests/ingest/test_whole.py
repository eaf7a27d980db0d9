"""New words that break off are a doubt."""

import pytest
from benchleaf.graph.model import Override, Source, Supersession, Target
from benchleaf.ingest.phrases.whole import unbroken


def step(text: str) -> Override:
    return Override(
        note="N 1",
        date=None,
        quote="",
        source=Source("n.pdf", 1),
        action="replace",
        target=Target(),
        text=text,
    )


@pytest.mark.parametrize(
    "text", ["Leave two screws in until", "Grease the ring and the", "Fit the ring,", "Use Loc-"]
)
def test_words_that_end_nowhere_are_doubted(text: str) -> None:
    """No step ends with “until”, a comma or a hyphen: a column or a sheet ended."""
    assert unbroken(step(text)).standing == "doubtful"


@pytest.mark.parametrize("text", ["Fit the ring.", "Tighten to 25 Nm", "Turn the valve on.", "Go to step 7"])
def test_whole_words_stand(text: str) -> None:
    """A full stop, a value or a noun at the end is whole; a table's cell has no stop."""
    assert unbroken(step(text)).standing == "settled"


def test_other_statements_are_left_alone() -> None:
    """A change of number has no new words."""
    said = Supersession(
        note="N 1", date=None, quote="", source=Source("n.pdf", 1), old=("A-1",), new=("A-2",)
    )
    assert unbroken(said) is said
