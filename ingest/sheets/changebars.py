"""Change bars typed as characters beside the lines: marks of the printer, neither words nor cells."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from benchleaf.ingest.shapes import Page, Word
from benchleaf.ingest.sheets.lines import rows

BARS = frozenset({"|", "¦", "║", "┃", "▌", "█", "▐"})
_FREE = 0.5  # ems between a bar and the text beside it, at least
_MOST = 0.4  # share of the rows that may bear bars; more of them are a drawn table or a border


def unbarred(page: Page) -> Page:
    """The page without bars that stand alone before or after the words of their row."""
    if not any(w.text in BARS for w in page.words):
        return page
    lines = rows(page.words)
    gone = {id(w) for row in lines for w in _bars(row, page.by_ocr)}
    if not gone or len(gone) > _MOST * len(lines) + 1:
        return page
    return replace(page, words=tuple(w for w in page.words if id(w) not in gone))


def _bars(row: Sequence[Word], by_ocr: bool) -> Iterator[Word]:
    """The bars at the ends of a row that holds one only. By OCR a bar at the left may be a step's 1."""
    if sum(w.text in BARS for w in row) != 1 or len(row) < 2:
        return
    first, second, before, last = row[0], row[1], row[-2], row[-1]
    if last.text in BARS and last.box.x0 - before.box.x1 > _FREE * last.size:
        yield last
    if first.text in BARS and not by_ocr and second.box.x0 - first.box.x1 > _FREE * first.size:
        yield first
