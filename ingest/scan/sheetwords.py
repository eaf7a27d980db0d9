"""Lines as rapidocr reads them to words in points: blanks, sizes, baselines, weight."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from statistics import median
from typing import Any, NamedTuple

from benchleaf.ingest.scan.blanks import pieces
from benchleaf.ingest.scan.cleaning import ink
from benchleaf.ingest.scan.measures import Run, Type, evened_types, type_of, word_box
from benchleaf.ingest.scan.missed import is_number, overlooked
from benchleaf.ingest.scan.rapid import cut_out, lines_in, read_lines
from benchleaf.ingest.scan.readings import Piece, Quad, Reading
from benchleaf.ingest.shapes import Word

Array = Any  # a numpy array: numpy is there with the extra alone

_UNSURE_LINE = 0.45  # a line's mean confidence under which it is a picture's pattern, no writing
_SPLIT_FIGURES = 0.85  # confidence at most of a word with figures whose blanks are in doubt
_BOLD = 1.28  # times the sheet's usual stroke
_ENOUGH = 4  # letters from which a line's stroke can be judged
_WORN = 0.45  # confidence at most of numbers with a faint mark between; agreement does not raise it
_CLOSE = 0.4  # ems
_SHADE = 22.0  # grey levels by which a faint mark is darker than the paper's grain
_FEET = 6  # letters from which the baseline shows in the ink
_ROOM = 0.12  # `cut_out` adds so much of the height at both ends


class _Line(NamedTuple):
    quad: Quad
    pieces: tuple[Piece, ...]
    kind: Type  # in pixels of the cut, from its top
    stroke: float  # thickness in ems
    wide: int  # the cut's width in pixels
    high: int


def read_words(even: Array, rules: Array, quads: Sequence[Quad], dpi: float) -> list[Word]:
    """The words of an upright, evened picture whose lines are framed; boxes in points.

    `rules` tells where ruled lines are (255): they are left out of the reading.
    """
    bare = even.copy()
    bare[rules > 0] = 255
    lines = _lines(bare, quads)
    usual = median(q.high for q in quads) if quads else dpi / 72 * 14
    extra = overlooked(ink(even), rules, quads, usual)
    lines += _lines(bare, extra, marks=True)
    return _words(lines, 72 / dpi)


def find_lines(even: Array, rules: Array) -> list[Quad]:
    """The framed lines of text of an evened picture, ruled lines left out."""
    bare = even.copy()
    bare[rules > 0] = 255
    return lines_in(bare)


def _lines(bare: Array, quads: Sequence[Quad], marks: bool = False) -> list[_Line]:
    cuts = [cut_out(bare, quad) for quad in quads]
    found = []
    for quad, cut, reading in zip(quads, cuts, read_lines(cuts), strict=True):
        good = is_number(reading) if marks else reading.confidence >= _UNSURE_LINE
        if good and reading.text.strip():
            found.append(_line(quad, cut, reading))
    return found


def _line(quad: Quad, cut: Array, reading: Reading) -> _Line:
    import numpy as np

    high, wide = cut.shape
    dark = ink(cut) > 0
    rows = dark.sum(axis=1)
    top, bottom = _extent(rows)
    kind = type_of(reading.text, top, bottom, _foot(rows, reading.text))
    inked = dark[int(top) : max(int(bottom), int(top) + 1)].any(axis=0)
    own = pieces(reading, [bool(v) for v in inked], kind.size)
    grey = np.clip((255.0 - cut[int(top) : int(bottom)].astype(np.float32)) / 255 - 0.2, 0, None)
    edges = float(np.abs(np.diff(grey, axis=1)).sum()) if grey.size else 0.0
    stroke = 2 * float(grey.sum()) / max(edges, 1e-3) / kind.size
    return _Line(quad, tuple(_doubting(cut, own, kind)), kind, stroke, wide, high)


def _doubting(cut: Array, own: Sequence[Piece], kind: Type) -> list[Piece]:
    """The words, two numbers side by side made unsure where a faint mark stands on the line between them.

    A worn decimal point leaves a blank as wide as any: 0.12 would be read as 0 and 12, each of them surely.
    """
    found = list(own)
    for i, (one, two) in enumerate(pairwise(own)):
        if two.text[0].isdigit() and (_parted(one, two, kind) or _worn(cut, one, two, kind)):
            for k in (i, i + 1):
                found[k] = replace(found[k], confidence=min(found[k].confidence, _WORN))
    return found


def _parted(one: Piece, two: Piece, kind: Type) -> bool:
    """True for `0.` close before `12`: a decimal read as two numbers, unlike a step's number."""
    return one.text[-1] == "." and one.text[:-1].isdigit() and two.x0 - one.x1 < _CLOSE * kind.size


def _worn(cut: Array, one: Piece, two: Piece, kind: Type) -> bool:
    return one.text[-1].isdigit() and _faint(cut, one.x1, two.x0, kind)


def _faint(cut: Array, x0: float, x1: float, kind: Type) -> bool:
    """True if the foot of a gap is darker than the gap above it."""
    import cv2

    foot = int(kind.baseline)
    low = max(0, foot - round(0.2 * kind.size))
    top = max(0, foot - round(0.65 * kind.size))
    gap = cut[top : foot + 2, int(x0) + 2 : max(int(x1) - 1, int(x0) + 3)]
    if gap.shape[0] < 6 or gap.shape[1] < 2 or low <= top:
        return False
    smooth = cv2.blur(gap, (3, 3))
    return float(smooth[low - top :].min()) < float(smooth[: low - top].min()) - _SHADE


def _extent(rows: Array) -> tuple[float, float]:
    """The first and last row of the line's ink: the stretch around its darkest row, small breaks closed."""
    import numpy as np

    if not len(rows) or rows.max() <= 0:
        return 0.0, float(len(rows))
    full = rows > 1
    slack = max(1, round(0.12 * len(rows)))
    middle = int(np.argmax(rows))
    top = bottom = middle
    for row in range(middle, -1, -1):
        if full[row]:
            top = row
        elif top - row > slack:
            break
    for row in range(middle, len(rows)):
        if full[row]:
            bottom = row
        elif row - bottom > slack:
            break
    return float(top), float(bottom + 1)


def _foot(rows: Array, text: str) -> float | None:
    """The row under the baseline, where the ink of many letters ends at once; None for too few letters."""
    import numpy as np

    if sum(c.isalnum() for c in text) < _FEET or len(rows) < 6:
        return None
    low = len(rows) * 2 // 5
    drop = rows[low:-1].astype(float) - rows[low + 1 :]
    return float(low + int(np.argmax(drop)) + 1)


def _words(lines: Sequence[_Line], unit: float) -> list[Word]:
    runs = [_run(line) for line in lines]
    kinds = evened_types(runs)
    strokes = [
        line.stroke for line, run in zip(lines, runs, strict=True) for _ in range(min(run.letters, 40))
    ]
    usual = median(strokes) if strokes else 1.0
    found: list[Word] = []
    for line, run, kind in zip(lines, runs, kinds, strict=True):
        bold = line.stroke > _BOLD * usual and run.letters >= _ENOUGH
        shift = kind.baseline - run.kind.baseline
        for piece in line.pieces:
            x0, x1, base = _placed(line, piece)
            box = word_box(x0 * unit, x1 * unit, Type(kind.size * unit, (base + shift) * unit))
            found.append(Word(piece.text, box, kind.size * unit, bold, _confidence(piece)))
    return _once(found)


def _once(words: Sequence[Word]) -> list[Word]:
    """The words without those that a neighbour's frame took in a second time: the longer of two stays."""
    ordered = sorted(words, key=lambda w: w.box.x0)
    gone: set[int] = set()
    for i, word in enumerate(ordered):
        for other in ordered[i + 1 :]:
            if other.box.x0 >= word.box.x1:
                break
            if _overlap(word, other) > 0.5:
                gone.add(id(min(word, other, key=lambda w: (len(w.text), w.confidence))))
    return [w for w in words if id(w) not in gone]


def _overlap(one: Word, two: Word) -> float:
    """The share of the smaller of two words that the other covers."""
    across = min(one.box.x1, two.box.x1) - max(one.box.x0, two.box.x0)
    down = min(one.box.bottom, two.box.bottom) - max(one.box.top, two.box.top)
    least = min((w.box.x1 - w.box.x0) * (w.box.bottom - w.box.top) for w in (one, two))
    return max(across, 0.0) * max(down, 0.0) / max(least, 1e-6)


def _confidence(piece: Piece) -> float:
    sure = piece.confidence
    if piece.split and any(c.isdigit() for c in piece.text):
        sure = min(sure, _SPLIT_FIGURES)
    if any(ord(c) > 0x2E80 for c in piece.text):  # East Asian writing: the recogniser guessed
        sure = min(sure, 0.3)
    return round(sure, 3)


def _run(line: _Line) -> Run:
    """The line with its type in pixels of the sheet, the baseline taken at its middle."""
    a, _, _, d = line.quad.corners
    scale = max(abs(d[1] - a[1]), 1.0) / max(line.high, 1)
    middle = (line.quad.corners[0][1] + line.quad.corners[1][1]) / 2
    kind = Type(line.kind.size * scale, middle + line.kind.baseline * scale, line.kind.sure)
    return Run(line.quad.x0, line.quad.x1, kind, sum(len(p.text) for p in line.pieces))


def _placed(line: _Line, piece: Piece) -> tuple[float, float, float]:
    """A word's ends and its baseline in pixels of the sheet; a line that slants more than a little keeps its
    slant."""
    a, b, _, _ = line.quad.corners
    room = _ROOM * line.high
    span = max(line.wide - 2 * room, 1.0)
    start, end = (piece.x0 - room) / span, (piece.x1 - room) / span
    run = _run(line)
    fall = b[1] - a[1]
    drift = fall * ((start + end) / 2 - 0.5) if abs(fall) > 0.35 * run.kind.size else 0.0
    return a[0] + start * (b[0] - a[0]), a[0] + end * (b[0] - a[0]), run.kind.baseline + drift
