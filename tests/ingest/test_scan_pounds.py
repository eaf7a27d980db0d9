"""Pounds misread by OCR."""

import doctest

import pytest
from benchleaf.graph.model import Box
from benchleaf.ingest.scan import pounds
from benchleaf.ingest.scan.pounds import with_pounds
from benchleaf.ingest.shapes import Page, Word


def read(*texts: str, by_ocr: bool = True) -> list[str]:
    words = tuple(Word(t, Box(0, 0, 9, 9)) for t in texts)
    return [w.text for w in with_pounds(Page(1, 9, 9, words, by_ocr=by_ocr)).words]


@pytest.mark.parametrize("misread", ["Ib.ft.", "1b-ft", "Ib", "Ibf", "Ibs.", "Ib.in."])
def test_a_pound_behind_a_number_is_mended(misread: str) -> None:
    """Behind a number a capital I or a one before b can only be the l of a pound."""
    assert read("Tighten", "28", misread)[2] == f"lb{misread[2:]}"


@pytest.mark.parametrize("texts", [("kit", "Ib"), ("28", "Ibex"), ("28", "1b4471"), ("28", "I")])
def test_nothing_else_is_touched(texts: tuple[str, str]) -> None:
    """Without a number before it, or as a part of another word or part number, it stays as read."""
    assert read(*texts) == list(texts)


def test_a_text_layer_is_left_alone() -> None:
    """Only what OCR read is mended."""
    assert read("28", "Ib.ft.", by_ocr=False) == ["28", "Ib.ft."]


def test_doctests() -> None:
    """The example in the docstring holds."""
    assert doctest.testmod(pounds).failed == 0
