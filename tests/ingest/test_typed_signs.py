"""Words are only taken for typed rules where one is made of signs alone, or holds a bar."""

from types import SimpleNamespace

import pytest
from benchleaf.ingest.sheets.typedrules import _has_signs


def seen(text: str) -> bool:
    return _has_signs([SimpleNamespace(text=w) for w in text.split()])  # type: ignore[misc]


@pytest.mark.parametrize("text", ["turn the shaft", "Fit 4471-22B now", "a b", "end play 0.1 mm"])
def test_the_blank_between_words_is_no_rule(text: str) -> None:
    """Plain words hold no word of signs."""
    assert not seen(text)


@pytest.mark.parametrize("text", ["turn ---- shaft", "====", "a | b"])
def test_a_word_of_signs_alone_is_seen(text: str) -> None:
    """Dashes, strokes and bars that stand alone may rule a table."""
    assert seen(text)
