"""Sheets read by tesseract where rapidocr is not installed: Pillow alone prepares the picture."""

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from benchleaf.ingest.scan.blanks import word_confidence
from benchleaf.ingest.scan.measures import Run, Type, evened_types, type_of, word_box
from benchleaf.ingest.scan.placing import Placing, turned, upright
from benchleaf.ingest.scan.readings import Token
from benchleaf.ingest.scan.results import assembled
from benchleaf.ingest.scan.tesseract import tokens_in, turn_of
from benchleaf.ingest.shapes import Page, Word

if TYPE_CHECKING:
    from PIL import Image

_MOST = 0.95  # confidence: tesseract alone is never surer than that
_ENOUGH = 0.6  # mean confidence from which a reading is upright


def read_alone(picture: "Image.Image", sheet: int, placing: Placing) -> tuple[Page, Placing]:
    """A picture's page with the words that tesseract reads, and how the picture lies. No ruled lines."""
    from benchleaf.ingest.scan.sheetreading import level, resolution

    placing = level(picture, placing)
    dpi = resolution(picture, placing)
    even = _evened(upright(picture, placing, dpi))
    turn = turn_of(even, dpi)
    if turn:
        placing = turned(placing, turn)
        even = _evened(upright(picture, placing, dpi))
    tokens = tokens_in(even, dpi)
    if turn is None and _mean(tokens) < _ENOUGH:
        over = tokens_in(even.rotate(180), dpi)
        if _mean(over) > _mean(tokens):
            placing, tokens = turned(placing, 180), over
    return assembled(sheet, placing.width, placing.height, words_of(tokens, dpi), ()), placing


def _evened(picture: "Image.Image") -> "Image.Image":
    from PIL import ImageChops, ImageFilter, ImageOps

    paper = picture.reduce(4).filter(ImageFilter.MaxFilter(7)).filter(ImageFilter.GaussianBlur(8))
    dark = ImageChops.subtract(paper.resize(picture.size), picture)
    return ImageOps.autocontrast(ImageOps.invert(dark), cutoff=(0.5, 0))


def _mean(tokens: Sequence[Token]) -> float:
    return sum(t.confidence for t in tokens) / len(tokens) if tokens else 0.0


def words_of(tokens: Sequence[Token], dpi: float) -> list[Word]:
    """tesseract's words in points, sizes and baselines made alike along their lines."""
    unit = 72 / dpi
    lines = [list(g) for _, g in groupby(tokens, key=lambda t: t.line)]
    runs = [_run(line) for line in lines]
    found: list[Word] = []
    for line, kind in zip(lines, evened_types(runs), strict=True):
        for token in line:
            own = Type(kind.size * unit, kind.baseline * unit)
            confidence = round(min(_MOST, word_confidence(token.text, [token.confidence])), 3)
            box = word_box(token.x0 * unit, token.x1 * unit, own)
            found.append(Word(token.text, box, own.size, False, confidence))
    return found


def _run(line: Sequence[Token]) -> Run:
    text = "".join(t.text for t in line)
    top, bottom = min(t.top for t in line), max(t.bottom for t in line)
    return Run(line[0].x0, line[-1].x1, type_of(text, top, bottom), len(text))
