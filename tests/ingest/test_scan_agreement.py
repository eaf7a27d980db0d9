"""Two engines on one number. The bar is graph.standing.SURE_OCR; no outside source."""

import pytest
from benchleaf.graph.model import Box
from benchleaf.graph.standing import SURE_OCR
from benchleaf.ingest.scan.agreement import judged
from benchleaf.ingest.scan.readings import Token
from benchleaf.ingest.shapes import Word


def word(text: str, confidence: float = 0.93) -> Word:
    return Word(text, Box(100, 100, 140, 112), confidence=confidence)


def token(text: str, x0: float = 101, x1: float = 139) -> Token:
    return Token(text, x0, 102, x1, 110, 0.9)


def one(word_: Word, *tokens: Token, again: str | None = None) -> float:
    asked = (lambda box: again) if again is not None else None
    return judged([word_], tokens, asked)[0].confidence


def test_agreement_raises_confidence() -> None:
    """A number that both engines read alike is as good as sure."""
    assert one(word("4471-22B"), token("4471-22B")) >= 0.97


def test_disagreement_lowers_it_under_the_bar() -> None:
    """One sign read differently makes the number unsure, however sure each engine was."""
    assert one(word("4471-22B", 0.999), token("4471-228")) < SURE_OCR


def test_a_blank_more_is_a_disagreement() -> None:
    """Where one engine sees two numbers and the other one, neither is sure."""
    assert one(word("88104", 1.0), token("88", 101, 115), token("104", 119, 139)) < SURE_OCR


def test_points_and_kinds_of_dashes_are_no_disagreement() -> None:
    """A full stop at the end and a long dash for a short one are the same number."""
    assert one(word("51–60,"), token("51-60")) >= 0.97


def test_a_word_without_figures_keeps_its_confidence() -> None:
    """Plain words are not judged."""
    assert one(word("clutch", 0.8), token("cluteh")) == 0.8


def test_capitals_where_the_other_engine_saw_figures_are_unsure() -> None:
    """`SO` against `50` is unsure."""
    assert one(word("SO", 0.99), token("50")) < SURE_OCR


def test_nothing_seen_leaves_confidence() -> None:
    """Where the second engine saw nothing the first one's confidence stands."""
    assert one(word("4471"), token("4471", 300, 340)) == 0.93


def test_a_third_reading_of_the_word_alone_can_agree() -> None:
    """What the whole sheet's reading got wrong, the reading of the word alone may confirm."""
    assert one(word("4471"), token("447l"), again="4471") >= 0.97
    assert one(word("4471"), token("447l"), again="447I") < SURE_OCR


def test_agreement_does_not_save_a_wild_guess() -> None:
    """A number read with hardly any confidence stays unsure."""
    assert one(word("4471", 0.3), token("4471")) == pytest.approx(0.3)
