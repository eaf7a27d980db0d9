"""What is drawn on a PDF page beside its text: strokes, frames, other shapes, bitmaps.

Read straight from pdfium's page objects, so that a rule under a running head costs next to nothing. Clip
paths,
white fills and backgrounds of the whole sheet are no drawing.
"""

import ctypes
import itertools
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.glyphs import Sheet
from benchleaf.ingest.words import bounds

_PATH, _IMAGE, _FORM = 2, 3, 5
_LINE_TO, _BEZIER_TO, _MOVE_TO = 0, 1, 2
_THIN = 2.5  # points: a filled shape thinner than this is a stroke
_MANY_SEGMENTS = 400  # from which a path counts as one drawing
_DEEPEST = 8
_MOST_OBJECTS = 20_000
_IDENTITY = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)

Matrix = tuple[float, float, float, float, float, float]
Point = tuple[float, float]


class Drawing(NamedTuple):
    """The drawn shapes of a sheet, as `Page` holds them."""

    strokes: tuple[Box, ...] = ()
    frames: tuple[Box, ...] = ()
    curves: tuple[Box, ...] = ()
    images: tuple[Box, ...] = ()


class _Shapes:
    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.strokes: list[Box] = []
        self.frames: list[Box] = []
        self.curves: list[Box] = []
        self.images: list[Box] = []


def drawing(page: Any, sheet: Sheet) -> Drawing:
    """The shapes drawn on a pypdfium2 page, in displayed points."""
    import pypdfium2.raw as raw  # type: ignore[import-untyped]  # ships no types

    shapes = _Shapes(sheet)
    for number, (found, matrix) in enumerate(_objects(raw, page.raw, False, _IDENTITY, 0)):
        if number > _MOST_OBJECTS:
            break
        if raw.FPDFPageObj_GetType(found) == _IMAGE:
            shapes.images.extend(_image(raw, found, matrix, sheet))
        else:
            _path(raw, found, matrix, shapes)
    return Drawing(*(tuple(dict.fromkeys(_on_sheet(b, sheet))) for b in _kinds(shapes)))


def _kinds(shapes: _Shapes) -> tuple[list[Box], ...]:
    return shapes.strokes, shapes.frames, shapes.curves, shapes.images


def _on_sheet(boxes: Sequence[Box], sheet: Sheet) -> Iterator[Box]:
    """Boxes cut to the sheet; what lies outside falls away."""
    for x0, top, x1, bottom in boxes:
        cut = Box(max(x0, 0.0), max(top, 0.0), min(x1, sheet.width), min(bottom, sheet.height))
        if cut.x1 >= cut.x0 and cut.bottom >= cut.top:
            yield cut


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
    if box.x1 - box.x0 > _THIN and box.bottom - box.top > _THIN:
        yield box


def _path(raw: Any, found: Any, matrix: Matrix, shapes: _Shapes) -> None:
    """Sorts one path's parts into strokes, frames and other shapes."""
    stroked, filled = _drawn(raw, found)
    if not (stroked or filled):
        return
    if raw.FPDFPath_CountSegments(found) > _MANY_SEGMENTS:
        shapes.curves.extend(_outline(raw, found, matrix, shapes.sheet))
        return
    whole = _times(_matrix(raw, found), matrix)
    for points, curved in _parts(raw, found):
        placed = [shapes.sheet.point(*_moved(p, whole)) for p in points]
        _sort(placed, curved, stroked, shapes)


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


def _sort(points: Sequence[Point], curved: bool, stroked: bool, shapes: _Shapes) -> None:
    """One sub-path to where it belongs. Rounded frames count as frames."""
    box = bounds(Box(x, y, x, y) for x, y in points)
    wide, high = box.x1 - box.x0, box.bottom - box.top
    if max(wide, high) < 0.5:
        return
    if min(wide, high) < _THIN and not curved:
        middle_x, middle_y = (box.x0 + box.x1) / 2, (box.top + box.bottom) / 2
        shapes.strokes.append(
            box._replace(top=middle_y, bottom=middle_y)
            if wide >= high
            else box._replace(x0=middle_x, x1=middle_x)
        )
    elif _rectangle(points, curved, box):
        shapes.frames.append(box)
    elif curved or not _square_edges(points):
        shapes.curves.append(box)
    elif stroked:
        shapes.strokes.extend(_edges(points))
    else:
        shapes.curves.append(box)


def _rectangle(points: Sequence[Point], curved: bool, box: Box) -> bool:
    """True for a closed path along its own bounding box, corners rounded or not."""
    if abs(points[0][0] - points[-1][0]) > 1 or abs(points[0][1] - points[-1][1]) > 1 or len(points) < 5:
        return False
    reach = 0.25 * min(box.x1 - box.x0, box.bottom - box.top) if curved else 0.6
    for x, y in points:
        if min(x - box.x0, box.x1 - x) > 0.6 and min(y - box.top, box.bottom - y) > 0.6 and not curved:
            return False
    near = [
        p
        for p in points
        if min(p[0] - box.x0, box.x1 - p[0]) <= reach and min(p[1] - box.top, box.bottom - p[1]) <= reach
    ]
    return len(near) == len(points) and len(points) <= 20


def _square_edges(points: Sequence[Point]) -> bool:
    return all(abs(a[0] - b[0]) < 0.6 or abs(a[1] - b[1]) < 0.6 for a, b in itertools.pairwise(points))


def _edges(points: Sequence[Point]) -> Iterator[Box]:
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        if abs(ax - bx) + abs(ay - by) > 0.5:
            yield Box(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))
