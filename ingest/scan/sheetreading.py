"""One sheet's picture to a page: placed upright, evened, read by one engine or by both."""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from benchleaf.graph.model import Box
from benchleaf.ingest.scan.agreement import judged
from benchleaf.ingest.scan.engines import Engines
from benchleaf.ingest.scan.pictures import sheet_picture
from benchleaf.ingest.scan.placing import Placing, straightened, turned, upright
from benchleaf.ingest.scan.readings import Quad, Reading, Token
from benchleaf.ingest.scan.results import assembled
from benchleaf.ingest.scan.skew import lines_stand, slant
from benchleaf.ingest.shapes import Page, Word

if TYPE_CHECKING:
    from PIL import Image

Array = Any  # a numpy array: numpy is there with the extra alone

_MOST_DPI, _LEAST_DPI, _ENLARGED = 300.0, 150.0, 200.0
_SKETCH = 110.0  # dots per inch at which the lie of the sheet is judged
_GRAINY = 4.0  # mean difference between a pixel and its neighbours, in grey levels of 255
_PROBED = 4  # lines read both ways to tell up from down


def read_sheet(data: bytes, page: Page, able: Engines) -> tuple[Page, Placing]:
    """A picture's page with its words, and how the picture lies.

    Raises RefusedFile if the sheet cannot be drawn.
    """
    picture = sheet_picture(data, page.sheet, _MOST_DPI)
    whole = Placing(page.width, page.height)
    if able.rapidocr is None:
        from benchleaf.ingest.scan.tesseractalone import read_alone

        return read_alone(picture, page.sheet, whole)
    return _read(picture, page.sheet, whole, able)


def level(picture: "Image.Image", placing: Placing) -> Placing:
    """The placing with lines of text level: a quarter turn where they stand, and the slant taken out."""
    if lines_stand(upright(picture, placing, _SKETCH)):
        placing = turned(placing, 90)
    return straightened(placing, slant(upright(picture, placing, _SKETCH)))


def resolution(picture: "Image.Image", placing: Placing) -> float:
    """Dots per inch at which the upright page is read: its picture's own, within limits."""
    a, b, _, _ = placing.corners
    across = math.hypot((b[0] - a[0]) * picture.width, (b[1] - a[1]) * picture.height)
    own = across / (placing.width / 72)
    return min(_MOST_DPI, own) if own >= _LEAST_DPI else _ENLARGED


def _read(picture: "Image.Image", sheet: int, placing: Placing, able: Engines) -> tuple[Page, Placing]:
    import numpy as np
    from benchleaf.ingest.scan.cleaning import evened, ink, paper_in, unspecked
    from benchleaf.ingest.scan.rules import ruled_lines
    from benchleaf.ingest.scan.sheetwords import find_lines, read_words

    placing = level(picture, paper_in(np.asarray(picture), placing))
    dpi = resolution(picture, placing)
    even = unspecked(evened(np.asarray(upright(picture, placing, dpi)), dpi), dpi)
    rules = ruled_lines(ink(even), dpi)
    quads = find_lines(even, rules.mask)
    turn = _turn_left(even, quads)
    if turn:
        # A page on its side has been drawn anew only where the lie was misjudged; upside down is common.
        placing = turned(placing, turn)
        even = np.ascontiguousarray(np.rot90(even, -turn // 90))
        rules = ruled_lines(ink(even), dpi)
        quads = find_lines(even, rules.mask)
    words = read_words(even, rules.mask, quads, dpi)
    if able.tesseract is not None and words:
        words = _second(even, words, dpi)
    return assembled(sheet, placing.width, placing.height, words, rules.strokes), placing


def _second(even: Array, words: Sequence[Word], dpi: float) -> list[Word]:
    """The words judged by tesseract's reading of the same picture."""
    from benchleaf.ingest.scan.tesseract import tokens_in
    from PIL import Image

    picture, unit = Image.fromarray(_calmed(even)), 72 / dpi

    def again(box: Box) -> str:
        room = 3.0
        edges = (box.x0 - room, box.top - 1, box.x1 + room, box.bottom + 1)
        part = picture.crop(tuple(round(v / unit) for v in edges))  # type: ignore[arg-type]  # four of them
        return " ".join(t.text for t in tokens_in(part, dpi, layout=7))

    tokens = [_in_points(t, unit) for t in tokens_in(picture, dpi)]
    return judged(words, tokens, again)


def _calmed(even: Array) -> Array:
    """The picture without its grain, which tesseract bears badly, where it is grainy."""
    import cv2
    import numpy as np

    grain = float(np.mean(cv2.absdiff(even, cv2.medianBlur(even, 3))))
    return cv2.fastNlMeansDenoising(even, None, 30, 5, 11) if grain > _GRAINY else even


def _in_points(token: Token, unit: float) -> Token:
    box = (token.x0 * unit, token.top * unit, token.x1 * unit, token.bottom * unit)
    return Token(token.text, *box, token.confidence, token.line)


def _turn_left(even: Array, quads: Sequence[Quad]) -> int:
    """The degrees clockwise that are still wanting: 180 for a sheet upside down, 90 or 270 where lines that
    seemed level are none."""
    import numpy as np
    from benchleaf.ingest.scan.rapid import cut_out, lines_in, read_lines

    cuts = [cut_out(even, q) for q in _telling(quads)]
    if not cuts:
        return 0
    both = read_lines([*cuts, *(np.ascontiguousarray(np.rot90(c, 2)) for c in cuts)])
    here, over = _worth(both[: len(cuts)]), _worth(both[len(cuts) :])
    if max(here, over) > 0.6:
        return 180 if over > here else 0
    aside = np.ascontiguousarray(np.rot90(even, -1))
    cuts = [cut_out(aside, q) for q in _telling(lines_in(aside))]
    if not cuts:
        return 180 if over > here else 0
    both = read_lines([*cuts, *(np.ascontiguousarray(np.rot90(c, 2)) for c in cuts)])
    right, left = _worth(both[: len(cuts)]), _worth(both[len(cuts) :])
    return max((0, here), (180, over), (90, right), (270, left), key=lambda t: t[1])[0]


def _telling(quads: Sequence[Quad]) -> list[Quad]:
    """The longest lines, which tell up from down most surely."""
    return sorted((q for q in quads if q.wide > 1.5 * q.high), key=lambda q: -q.wide)[:_PROBED]


def _worth(readings: Sequence[Reading]) -> float:
    """How much like writing some lines read: confidence by share of plain letters and figures."""
    shares = [
        r.confidence * sum(c.isascii() and (c.isalnum() or c.isspace()) for c in r.text) / max(1, len(r.text))
        for r in readings
    ]
    return sum(shares) / len(shares) if shares else 0.0
