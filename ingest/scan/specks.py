"""Bits of a drawn line that OCR took for figures: far flatter than any letter of the sheet, and unsure."""

from dataclasses import replace
from statistics import median

from benchleaf.graph.standing import SURE_OCR
from benchleaf.ingest.shapes import Page, Word

_FLAT = 0.5  # of the usual height of a word on the sheet
_SHORT = 2  # signs


def without_specks(page: Page) -> Page:
    """A page read by OCR without such words; nothing tall, long or surely read is taken away.

    >>> from benchleaf.graph.model import Box
    >>> words = [Word("ring", Box(0, 0, 30, 11), 11), Word("41", Box(40, 0, 50, 11), 11)]
    >>> bit = Word("14", Box(60, 5, 90, 6), 1, confidence=0.7)
    >>> [w.text for w in without_specks(Page(1, 99, 99, (*words, bit), by_ocr=True)).words]
    ['ring', '41']
    """
    if not page.by_ocr or not page.words:
        return page
    usual = median(_height(w) for w in page.words)
    return replace(page, words=tuple(w for w in page.words if not _speck(w, usual)))


def _speck(word: Word, usual: float) -> bool:
    return len(word.text) <= _SHORT and word.confidence < SURE_OCR and _height(word) < _FLAT * usual


def _height(word: Word) -> float:
    return word.box.bottom - word.box.top
