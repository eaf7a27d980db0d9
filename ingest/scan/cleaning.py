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
_FAR = 3.3  # times the grain's spread (one standard deviation) that ink is darker than paper
_SPECK = 3  # pixels at 200 dots per inch
_DARK_DESK = 0.75  # brightness just beyond the paper's edge, as a share of the paper's, at most
_LEAST_SHEET, _MOST_SHEET = 0.25, 0.97  # share of a photo that the paper may take
_BESIDE = 9  # pixels from the paper's edge at which its brightness is compared
_FINDING = 600  # pixels of the long side that the paper is sought on


def evened(grey: Array, dpi: float) -> Array:
    """The sheet with white paper and dark ink all over, whatever the light was; a negative is turned over."""
    import cv2
    import numpy as np

    darkest, usual, brightest = (float(v) for v in np.percentile(grey, (0.5, 50, 99.5)))
    if usual < 90 and brightest - usual > 2 * (usual - darkest):
        grey = 255 - grey
    paper = _paper(grey, dpi)
    even = cv2.divide(grey, np.maximum(paper, 1), scale=250)
    # The darkest half hundredth is ink where it lies far below the grain; a blank sheet's must stay pale.
    black, low, white = (float(v) for v in np.percentile(even, (0.5, 16, 50)))
    black = min(170.0, black) if white - black > _FAR * (white - low) else 0.0
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
    resized = cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    small: Array = cv2.medianBlur(resized, 7)
    level, _ = cv2.threshold(small, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    bright: Array = np.where(small > level, 255, 0).astype(np.uint8)
    bright = cv2.morphologyEx(bright, cv2.MORPH_CLOSE, np.ones((15, 15), np.uint8))
    outlines, _ = cv2.findContours(bright, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    if not outlines:
        return placing
    sheet = cv2.convexHull(max(outlines, key=cv2.contourArea))
    corners = _corners(sheet)
    share = cv2.contourArea(sheet) / (small.shape[0] * small.shape[1])
    if corners is None or not _LEAST_SHEET < share < _MOST_SHEET or not _stands_out(small, corners):
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


def _stands_out(small: Array, corners: list[tuple[float, float]]) -> bool:
    """True if the desk is clearly darker than the paper right beside every edge within the picture.

    A shadow that falls over a sheet grows darker slowly, so it makes no edge.
    """
    middle = (sum(x for x, _ in corners) / 4, sum(y for _, y in corners) / 4)
    seen = [_step(small, a, b, middle) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
    steps = [s for s in seen if s is not None]
    return bool(steps) and max(steps) < _DARK_DESK


def _step(
    small: Array, one: tuple[float, float], two: tuple[float, float], middle: tuple[float, float]
) -> float | None:
    """The brightness beyond an edge as a share of that before it; None for an edge at the picture's rim."""
    from statistics import median

    high, wide = small.shape
    shares: list[float] = []
    for k in range(1, 20):
        x, y = (a + (b - a) * k / 20 for a, b in zip(one, two, strict=True))
        length = math.hypot(middle[0] - x, middle[1] - y) or 1.0
        ux, uy = (middle[0] - x) / length * _BESIDE, (middle[1] - y) / length * _BESIDE
        if 0 <= x - ux < wide and 0 <= y - uy < high:
            inner, outer = small[int(y + uy), int(x + ux)], small[int(y - uy), int(x - ux)]
            shares.append(float(outer) / max(float(inner), 1.0))
    return median(shares) if len(shares) > 4 else None


def _placed(corners: list[tuple[float, float]], shape: tuple[int, int]) -> Placing:
    high, wide = shape
    a, b, c, d = corners
    across = (_apart(a, b, wide, high) + _apart(d, c, wide, high)) / 2
    down = (_apart(a, d, wide, high) + _apart(b, c, wide, high)) / 2
    width, height = guessed_size(across, down)
    return Placing(width, height, (a, b, c, d))


def _apart(one: tuple[float, float], two: tuple[float, float], wide: int, high: int) -> float:
    return math.hypot((one[0] - two[0]) * wide, (one[1] - two[1]) * high)
