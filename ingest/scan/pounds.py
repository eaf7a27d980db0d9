"""`28 Ib.ft.` read for `28 lb.ft.`: a capital i or a one for the l of a pound, mended behind a number only.

No unit begins with a capital I and a small b, so nothing else can be meant; part numbers are never touched.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from benchleaf.ingest.shapes import Page, Word

_POUND = re.compile(r"[I1|]b(?=(?:f|s)?(?:$|[.,;:)]|[ .·*-]{0,2}(?:ft|in)\b))")
_NUMBER = re.compile(r"[0-9](?:[.,][0-9]{1,4})?[)]?$")


def with_pounds(page: Page) -> Page:
    """A page read by OCR with its misread pounds put right.

    >>> from benchleaf.graph.model import Box
    >>> words = tuple(Word(t, Box(0, 0, 9, 9)) for t in ("28", "Ib.ft.", "Ib", "4471-Ib"))
    >>> [w.text for w in with_pounds(Page(1, 9, 9, words, by_ocr=True)).words]
    ['28', 'lb.ft.', 'Ib', '4471-Ib']
    """
    return replace(page, words=tuple(_mended(page.words))) if page.by_ocr else page


def _mended(words: Sequence[Word]) -> Iterator[Word]:
    before = ""
    for word in words:
        pound = _POUND.match(word.text)
        if pound and _NUMBER.search(before):
            word = word._replace(text=f"lb{word.text[2:]}")
        yield word
        before = word.text
