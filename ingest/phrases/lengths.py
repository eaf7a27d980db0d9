"""Paragraphs of a length that patterns are quick on: a longer one is cut where a sentence ends."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from benchleaf.ingest.shapes import Paragraph, Table

LONGEST = 2500
"""Letters of a paragraph as patterns get it; with what is joined to it at most twice as many."""
_END = re.compile(r"[.;!?]\s(?=[A-Z0-9“\"(])")


def shortened(body: Sequence[Paragraph | Table]) -> tuple[Paragraph | Table, ...]:
    """The same words in paragraphs of at most LONGEST letters, a page of close print; no word is lost."""
    return tuple(part for block in body for part in _parts(block))


def _parts(block: Paragraph | Table) -> Iterator[Paragraph | Table]:
    if isinstance(block, Table) or len(block.text) <= LONGEST:
        yield block
        return
    text = block.text
    while len(text) > LONGEST:
        ends = [m.end() for m in _END.finditer(text, LONGEST // 2, LONGEST)]
        at = ends[-1] if ends else text.rfind(" ", 1, LONGEST) + 1 or LONGEST
        yield replace(block, text=text[:at].rstrip())
        text = text[at:]
    yield replace(block, text=text)
