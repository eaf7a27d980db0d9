"""Ruled tables by pdfplumber: the lines, rectangles and cells of sheets that show a drawn grid.

Only such sheets are opened: pdfplumber reads a sheet some ten times slower than pdfium.
"""

import contextlib
import io
from collections.abc import Iterator
from itertools import chain
from typing import Any, NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.sheets.glyphs import Sheet
from benchleaf.ingest.sheets.grid import Grid, snapped
from benchleaf.ingest.sheets.outlines import MANY_SEGMENTS, Drawing, Shapes

_MOST_SHAPES = 1500  # lines, rectangles and curves on a sheet: more is a drawing made by machine
_WHITE = 0.98  # share of full light from which a colour does not show on paper
_KINDS = ("line", "rect", "curve")


class Plumbed(NamedTuple):
    """What pdfplumber finds drawn on a sheet, and the tables it makes of it, in displayed points."""

    drawing: Drawing
    grids: tuple[Grid, ...]


class Plumber:
    """One PDF as pdfplumber reads it, opened when the first sheet is asked for."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        self._document: Any = None
        self._failed = False

    def read(self, index: int, sheet: Sheet) -> Plumbed | None:
        """The shapes and tables of a sheet (counted from 0), or None if pdfplumber cannot tell.

        None also for a sheet that is displayed turned: there both readers count places differently.
        """
        if self._failed or sheet.turn:
            return None
        try:
            return self._read(index, sheet)
        except MemoryError:  # with more memory it would be read otherwise
            raise
        except Exception:  # pdfminer raises whatever it stumbles on in a damaged file
            self._failed = self._document is None
            return None

    def close(self) -> None:
        """Closes the document if it was opened."""
        if self._document is not None:
            with contextlib.suppress(Exception):  # it asks for every page, also those it cannot read
                self._document.close()

    def _read(self, index: int, sheet: Sheet) -> Plumbed | None:
        import pdfplumber

        if self._document is None:
            self._document = pdfplumber.open(io.BytesIO(self._data))
        page = self._document.pages[index]
        try:
            return None if page.rotation else _plumbed(page, sheet)
        finally:
            page.close()


def _plumbed(page: Any, sheet: Sheet) -> Plumbed | None:
    drawn = [o for kind in _KINDS for o in page.objects.get(kind, ()) if _shows(o)]
    if not 0 < len(drawn) <= _MOST_SHAPES:
        return None
    shapes = Shapes()
    for one in drawn:
        _take(one, page, sheet, shapes)
    tables = page.filter(lambda o: o["object_type"] in _KINDS and _shows(o)).find_tables()
    return Plumbed(shapes.drawing(sheet), tuple(_grid(t.cells, page, sheet) for t in tables))


def _shows(one: dict[str, Any]) -> bool:
    """True for a shape that shows on white paper."""
    inked = one["stroke"] and not _is_white(one["stroking_color"])
    return inked or (
        one["object_type"] != "line" and one["fill"] and not _is_white(one["non_stroking_color"])
    )


def _is_white(colour: Any) -> bool:
    parts = colour if isinstance(colour, (tuple, list)) else (colour,)
    if not parts or not all(isinstance(p, (int, float)) for p in parts):
        return False
    return bool(max(parts) <= 1 - _WHITE if len(parts) == 4 else min(parts) >= _WHITE)


def _place(x: float, top: float, page: Any, sheet: Sheet) -> tuple[float, float]:
    """A place of pdfplumber's, counted from the media box, on the sheet as displayed."""
    return sheet.point(float(x), float(page.height) - float(top))


def _take(one: dict[str, Any], page: Any, sheet: Sheet, shapes: Shapes) -> None:
    points = [_place(x, y, page, sheet) for x, y in one["pts"]]
    steps = [step[0] for step in one.get("path") or ()]
    if "h" in steps and points[0] != points[-1]:
        points.append(points[0])
    if len(points) > MANY_SEGMENTS:
        shapes.curves.append(_box(one["x0"], one["top"], one["x1"], one["bottom"], page, sheet))
    elif len(points) > 1:
        curved = not {"c", "v", "y"}.isdisjoint(steps)
        shapes.take(points, curved, bool(one["stroke"]))


def _box(x0: float, top: float, x1: float, bottom: float, page: Any, sheet: Sheet) -> Box:
    return Box(*_place(x0, top, page, sheet), *_place(x1, bottom, page, sheet))


def _grid(cells: list[tuple[float, float, float, float]], page: Any, sheet: Sheet) -> Grid:
    """A table's cells with the row and column where each begins."""
    boxes = sorted({_box(*cell, page, sheet) for cell in cells}, key=lambda b: (b.top, b.x0))
    xs = snapped(chain.from_iterable((b.x0, b.x1) for b in boxes))
    ys = snapped(chain.from_iterable((b.top, b.bottom) for b in boxes))
    placed = tuple((_nearest(ys, b.top), _nearest(xs, b.x0), b) for b in boxes)
    whole = Box(xs[0], ys[0], xs[-1], ys[-1])
    area = (whole.x1 - whole.x0) * (whole.bottom - whole.top)
    regular = abs(sum(_areas(boxes)) - area) < 0.01 * area
    return Grid(whole, placed, len(xs) - 1, len(ys) - 1, regular)


def _nearest(at: list[float], value: float) -> int:
    return min(range(len(at)), key=lambda i: abs(at[i] - value))


def _areas(boxes: list[Box]) -> Iterator[float]:
    return ((b.x1 - b.x0) * (b.bottom - b.top) for b in boxes)
