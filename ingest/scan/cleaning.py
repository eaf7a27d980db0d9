"""A grey picture of a sheet made even: the paper found in a photo, shadow and yellowing taken out, specks
dropped.

Pictures are grey numpy arrays here; numpy and OpenCV come with the extra `scan`.
"""

import math
from typing import Any

from benchleaf.ingest.scan.pictures import guessed_size
from benchleaf.ingest.scan.placing import Placing

Array = Any  # a numpy array: numpy is there with the extra alone

_INK = 150  # grey below which an evened sheet's pixel is ink
_SPECK = 3  # pixels at 200 dots per inch
_DARK_DESK = 0.75  # brightness of what surrounds the paper, as a share of the paper's, at most
_LEAST_SHEET, _MOST_SHEET = 0.25, 0.97  # share of a photo that the paper may take
_FINDING = 600  # pixels of the long side that the paper is sought on


def evened(grey: Array, dpi: float) -> Array:
    """The sheet with white paper and dark ink all over, whatever the light was; a negative is turned over."""
    import cv2
    import numpy as np

    if float(np.median(grey)) < 90 and float(np.percentile(grey, 95)) > 120:
        grey = 255 - grey
    paper = _paper(grey, dpi)
    even = cv2.divide(grey, np.maximum(paper, 1), scale=250)
    # The 2nd thousandth of the darkness is ink where there is any; a blank sheet's noise must stay pale.
    black = min(140.0, float(np.percentile(even, 0.5)))
    stretched = (even.astype(np.float32) - black) * (250.0 / max(250.0 - black, 1.0))
    return np.clip(stretched, 0, 255).astype(np.uint8)


def _paper(grey: Array, dpi: float) -> Array:
    """The paper's own brightness at each place: the ink is overgrown, then all is blurred."""
    import cv2
    import numpy as np

    step = max(1, round(dpi / 50))
    small = cv2.resize(grey, None, fx=1 / step, fy=1 / step, interpolation=cv2.INTER_AREA)
    grown = cv2.dilate(small, np.ones((7, 7), np.uint8))
    smooth = cv2.GaussianBlur(cv2.medianBlur(grown, 15), (0, 0), 5)
    return cv2.resize(smooth, (grey.shape[1], grey.shape[0]), interpolation=cv2.INTER_LINEAR)


def ink(even: Array) -> Array:
    """Where an evened sheet is dark: 255 for ink, 0 for paper."""
    import numpy as np

    return np.where(even < _INK, 255, 0).astype(np.uint8)


def unspecked(even: Array, dpi: float) -> Array:
    """The sheet without specks too small for a point of a letter, where there are many of them."""
    import cv2
    import numpy as np

    count, labels, stats, _ = cv2.connectedComponentsWithStats(ink(even), connectivity=8)
    tiny = stats[:, cv2.CC_STAT_AREA] <= max(1.0, _SPECK * (dpi / 200) ** 2)
    if tiny.sum() < 200 or tiny.sum() * 2 < count:
        return even
    clean = even.copy()
    clean[tiny[labels]] = 255
    return np.maximum(clean, 0)


def paper_in(grey: Array, placing: Placing) -> Placing:
    """Where the paper lies in a photo: its four corners where they stand out clearly from a darker desk.

    The placing comes back unchanged for a scan, and for a photo whose paper fills the picture.
    """
    import cv2
    import numpy as np

    scale = _FINDING / max(grey.shape)
    small = cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    small = cv2.medianBlur(small, 7)
    level, _ = cv2.threshold(small, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    bright = np.where(small > level, 255, 0).astype(np.uint8)
    bright = cv2.morphologyEx(bright, cv2.MORPH_CLOSE, np.ones((15, 15), np.uint8))
    outlines, _ = cv2.findContours(bright, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    if not outlines:
        return placing
    sheet = cv2.convexHull(max(outlines, key=cv2.contourArea))
    corners = _corners(sheet)
    share = cv2.contourArea(sheet) / (small.shape[0] * small.shape[1])
    if corners is None or not _LEAST_SHEET < share < _MOST_SHEET or not _stands_out(small, sheet):
        return placing
    return _placed([(x / small.shape[1], y / small.shape[0]) for x, y in corners], grey.shape)


def _corners(outline: Array) -> list[tuple[float, float]] | None:
    """The outline's four corners from the top left clockwise, or None if it is no four-sided sheet."""
    import cv2

    around = cv2.arcLength(outline, True)
    for slack in (0.02, 0.03, 0.05):
        shape = cv2.approxPolyDP(outline, slack * around, True)
        if len(shape) == 4:
            break
    else:
        return None
    if cv2.contourArea(shape) < 0.93 * cv2.contourArea(outline):
        return None
    points = [(float(p[0][0]), float(p[0][1])) for p in shape]
    points.sort(key=lambda p: p[0] + p[1])
    first, last = points[0], points[3]
    right, left = sorted(points[1:3], key=lambda p: p[1] - p[0])
    return [first, right, last, left]


def _stands_out(small: Array, sheet: Array) -> bool:
    """True if what lies around the sheet is clearly darker, all around where it can be seen."""
    import cv2
    import numpy as np

    mask = np.zeros(small.shape, np.uint8)
    cv2.drawContours(mask, [sheet], -1, 255, -1)
    inside, beside = small[mask > 0], small[mask == 0]
    return beside.size > 0.02 * small.size and float(np.median(beside)) < _DARK_DESK * float(np.median(inside))


def _placed(corners: list[tuple[float, float]], shape: tuple[int, int]) -> Placing:
    high, wide = shape
    a, b, c, d = corners
    across = (_apart(a, b, wide, high) + _apart(d, c, wide, high)) / 2
    down = (_apart(a, d, wide, high) + _apart(b, c, wide, high)) / 2
    width, height = guessed_size(across, down)
    return Placing(width, height, (a, b, c, d))


def _apart(one: tuple[float, float], two: tuple[float, float], wide: int, high: int) -> float:
    return math.hypot((one[0] - two[0]) * wide, (one[1] - two[1]) * high)
