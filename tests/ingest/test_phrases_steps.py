"""Every pattern of the phrase book is proved by an example that it matches and checked by one that it must
not read."""

import pytest
from benchleaf.ingest.phrases.examples import unproved
from benchleaf.ingest.phrases.phrasebook import load

STATING = ("override", "supersession", "withdrawn", "contents", "cancels", "reading", "rider")


@pytest.mark.parametrize("name", [p.name for p in load().of(*STATING)])
def test_each_pattern_has_its_own_examples(name):
    """Beside each pattern that states something stand words that it reads and words that it would match
    and must not read."""
    phrase = next(p for p in load().phrases if p.name == name)
    assert list(unproved(phrase, load())) == []
