"""What is drawn on a PDF page beside its text: strokes, frames, other shapes, bitmaps.

Read straight from pdfium's page objects, so that a rule under a running head costs next to nothing. Clip
paths,
white fills and backgrounds of the whole sheet are no drawing.
"""

import ctypes
from collections.abc import Iterator
from typing import Any

from benchleaf.graph.model import Box
from benchleaf.ingest.sheets.glyphs import Sheet
from benchleaf.ingest.sheets.outlines import MANY_SEGMENTS, THIN, Drawing, Point, Shapes
from benchleaf.ingest.sheets.words import bounds

_PATH, _IMAGE, _FORM = 2, 3, 5
_LINE_TO, _BEZIER_TO, _MOVE_TO = 0, 1, 2
_DEEPEST = 8
_MOST_OBJECTS = 20_000
_IDENTITY = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)

Matrix = tuple[float, float, float, float, float, float]


def drawing(page: Any, sheet: Sheet) -> Drawing:
    """The shapes drawn on a pypdfium2 page, in displayed points."""
    import pypdfium2.raw as raw  # type: ignore[import-untyped]  # ships no types

    shapes = Shapes()
    for number, (found, matrix) in enumerate(_objects(raw, page.raw, False, _IDENTITY, 0)):
        if number > _MOST_OBJECTS:
            break
        if raw.FPDFPageObj_GetType(found) == _IMAGE:
            shapes.images.extend(_image(raw, found, matrix, sheet))
        else:
            _path(raw, found, matrix, sheet, shapes)
    return shapes.drawing(sheet)


def _objects(raw: Any, holder: Any, form: bool, matrix: Matrix, depth: int) -> Iterator[tuple[Any, Matrix]]:
    """Paths and images with the matrix that brings them onto the page, forms opened."""
    count = raw.FPDFFormObj_CountObjects(holder) if form else raw.FPDFPage_CountObjects(holder)
    get = raw.FPDFFormObj_GetObject if form else raw.FPDFPage_GetObject
    kind = raw.FPDFPageObj_GetType
    for index in range(min(count, _MOST_OBJECTS)):
        found = get(holder, index)
        what = kind(found)
        if what in (_PATH, _IMAGE):
            yield found, matrix
        elif what == _FORM and depth < _DEEPEST:
            yield from _objects(raw, found, True, _times(_matrix(raw, found), matrix), depth + 1)


def _matrix(raw: Any, found: Any) -> Matrix:
    m = raw.FS_MATRIX()
    if not raw.FPDFPageObj_GetMatrix(found, ctypes.byref(m)):
        return _IDENTITY
    return m.a, m.b, m.c, m.d, m.e, m.f


def _times(one: Matrix, two: Matrix) -> Matrix:
    """First `one`, then `two`."""
    a, b, c, d, e, f = one
    p, q, r, s, t, u = two
    return a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u


def _moved(point: Point, m: Matrix) -> Point:
    x, y = point
    return x * m[0] + y * m[2] + m[4], x * m[1] + y * m[3] + m[5]


def _image(raw: Any, found: Any, matrix: Matrix, sheet: Sheet) -> Iterator[Box]:
    whole = _times(_matrix(raw, found), matrix)
    corners = [sheet.point(*_moved(p, whole)) for p in ((0, 0), (1, 0), (0, 1), (1, 1))]
    box = bounds(Box(x, y, x, y) for x, y in corners)
    if box.x1 - box.x0 > THIN and box.bottom - box.top > THIN:
        yield box


def _path(raw: Any, found: Any, matrix: Matrix, sheet: Sheet, shapes: Shapes) -> None:
    """Sorts one path's parts into strokes, frames and other shapes."""
    stroked, filled = _drawn(raw, found)
    if not (stroked or filled):
        return
    if raw.FPDFPath_CountSegments(found) > MANY_SEGMENTS:
        shapes.curves.extend(_outline(raw, found, matrix, sheet))
        return
    whole = _times(_matrix(raw, found), matrix)
    for points, curved in _parts(raw, found):
        placed = [sheet.point(*_moved(p, whole)) for p in points]
        shapes.take(placed, curved, stroked)


def _outline(raw: Any, found: Any, matrix: Matrix, sheet: Sheet) -> Iterator[Box]:
    """The box of a path of many parts, as drawings made by machine have."""
    edges = [ctypes.c_float() for _ in range(4)]
    if raw.FPDFPageObj_GetBounds(found, *(ctypes.byref(e) for e in edges)):
        x0, y0, x1, y1 = (e.value for e in edges)
        corners = [sheet.point(*_moved(p, matrix)) for p in ((x0, y0), (x1, y0), (x0, y1), (x1, y1))]
        yield bounds(Box(x, y, x, y) for x, y in corners)


def _drawn(raw: Any, found: Any) -> tuple[bool, bool]:
    """Whether a path is stroked and whether it is filled with something that shows on white paper."""
    fill, stroke = ctypes.c_int(), ctypes.c_int()
    if not raw.FPDFPath_GetDrawMode(found, ctypes.byref(fill), ctypes.byref(stroke)):
        return True, False
    return (
        bool(stroke.value) and _shows(raw, raw.FPDFPageObj_GetStrokeColor, found),
        bool(fill.value) and _shows(raw, raw.FPDFPageObj_GetFillColor, found),
    )


def _shows(raw: Any, ask: Any, found: Any) -> bool:
    parts = [ctypes.c_uint() for _ in range(4)]
    if not ask(found, *(ctypes.byref(p) for p in parts)):
        return True
    red, green, blue, alpha = (p.value for p in parts)
    return alpha > 8 and min(red, green, blue) < 250


def _parts(raw: Any, found: Any) -> Iterator[tuple[list[Point], bool]]:
    """The sub-paths: their corner points, and whether a part is curved. A closed one ends where it began."""
    points: list[Point] = []
    curved = False
    x, y = ctypes.c_float(), ctypes.c_float()
    for index in range(min(raw.FPDFPath_CountSegments(found), _MOST_OBJECTS)):
        segment = raw.FPDFPath_GetPathSegment(found, index)
        raw.FPDFPathSegment_GetPoint(segment, ctypes.byref(x), ctypes.byref(y))
        kind = raw.FPDFPathSegment_GetType(segment)
        if kind == _MOVE_TO:
            if len(points) > 1:
                yield points, curved
            points, curved = [], False
        curved = curved or kind == _BEZIER_TO
        points.append((x.value, y.value))
        if raw.FPDFPathSegment_GetClose(segment):
            points.append(points[0])
    if len(points) > 1:
        yield points, curved
