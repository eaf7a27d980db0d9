"""Bits of drawn lines that OCR took for figures."""

import pytest
from benchleaf.graph.model import Box
from benchleaf.ingest.scan.specks import without_specks
from benchleaf.ingest.shapes import Page, Word

TEXT = tuple(Word(t, Box(0, 20 * n, 30, 20 * n + 11), 11) for n, t in enumerate(("ring", "41", "seal")))


def left(word: Word, by_ocr: bool = True) -> bool:
    page = without_specks(Page(1, 99, 99, (*TEXT, word), by_ocr=by_ocr))
    return word in page.words


def test_a_flat_unsure_figure_is_dropped() -> None:
    """A word half as tall as the others and unsure is a bit of a line."""
    assert not left(Word("14", Box(60, 5, 90, 6), 1, confidence=0.7))


@pytest.mark.parametrize(
    "word",
    [
        Word("14", Box(60, 5, 90, 16), 11, confidence=0.7),
        Word("14", Box(60, 5, 90, 6), 1, confidence=0.95),
        Word("1447", Box(60, 5, 90, 6), 1, confidence=0.7),
    ],
)
def test_tall_sure_or_long_words_stay(word: Word) -> None:
    """Anything as tall as the text, surely read, or longer than two signs stays."""
    assert left(word)


def test_a_text_layer_is_left_alone() -> None:
    """Only what OCR read is looked at."""
    assert left(Word("14", Box(60, 5, 90, 6), 1, confidence=0.7), by_ocr=False)
