"""A drawing sheet: canvas, fonts, columns, a running place on the page, lines, tables and frames.

Only the PDF standard fonts are used, so that the papers stay small and are drawn alike everywhere.
"""

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from reportlab.lib.pagesizes import A4  # type: ignore[import-untyped]  # reportlab carries no types
from reportlab.pdfbase.pdfmetrics import stringWidth  # type: ignore[import-untyped]  # no types
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]  # no types

WIDTH, HEIGHT = A4


@dataclass(frozen=True, slots=True)
class Face:
    """Type of a paper: plain and bold font, size and leading in points."""

    plain: str
    bold: str
    size: float
    leading: float


def wide(text: str, font: str, size: float) -> float:
    """The width of a text in points."""
    return float(stringWidth(text, font, size))


def wrap(text: str, font: str, size: float, width: float) -> list[str]:
    """The text in lines no wider than `width` points; a single longer word stands alone."""
    lines: list[str] = []
    for word in text.split(" "):
        if lines and wide(f"{lines[-1]} {word}", font, size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


class Sheet:
    """One paper under the pen. `y` falls from the top; `turn` is called when a page is full."""

    def __init__(
        self, to: Path | io.BytesIO, face: Face, title: str, columns: Sequence[tuple[float, float]]
    ) -> None:
        self.face = face
        self.canvas = Canvas(str(to) if isinstance(to, Path) else to, pagesize=A4, invariant=1)
        self.canvas.setTitle(title)
        self.canvas.setLineWidth(0.6)
        self.columns = list(columns)
        self.column = 0
        self.top = HEIGHT - 80.0
        self.bottom = 70.0
        self.y = self.top
        self.turn: Callable[[], None] = self.new_page

    @property
    def left(self) -> float:
        """The left edge of the column in hand."""
        return self.columns[self.column][0]

    @property
    def width(self) -> float:
        """The width of the column in hand."""
        return self.columns[self.column][1]

    def new_page(self) -> None:
        """Ends the page and goes to the top of the next."""
        self.canvas.showPage()
        self.canvas.setLineWidth(0.6)
        self.column, self.y = 0, self.top

    def need(self, height: float) -> None:
        """Goes to the next column or page unless `height` points are free here."""
        if self.y - height >= self.bottom:
            return
        if self.column + 1 < len(self.columns):
            self.column, self.y = self.column + 1, self.top
        else:
            self.turn()

    def put(self, text: str, x: float, y: float, *, bold: bool = False, size: float | None = None) -> None:
        """Writes one line at a place."""
        self.canvas.setFont(self.face.bold if bold else self.face.plain, size or self.face.size)
        self.canvas.drawString(x, y, text)

    def lines(self, text: str, indent: float = 0.0, *, bold: bool = False, keep: int = 1) -> None:
        """Writes a paragraph, broken over columns and pages; the first `keep` lines stay together."""
        font = self.face.bold if bold else self.face.plain
        rows = wrap(text, font, self.face.size, self.width - indent)
        self.need(self.face.leading * min(keep, len(rows)))
        for row in rows:
            self.need(self.face.leading)
            self.y -= self.face.leading
            self.put(row, self.left + indent, self.y, bold=bold)

    def frame(self, text: str, indent: float = 0.0) -> None:
        """Writes a framed notice, kept in one piece."""
        rows = wrap(text, self.face.bold, self.face.size * 0.95, self.width - indent - 12)
        height = len(rows) * self.face.leading + 7
        self.need(height + 10)
        self.y -= 4
        self.canvas.rect(self.left + indent, self.y - height, self.width - indent, height)
        for row in rows:
            self.y -= self.face.leading
            self.put(row, self.left + indent + 6, self.y, bold=True, size=self.face.size * 0.95)
        self.y -= 10

    def table(self, rows: Sequence[Sequence[str]], *, ruled: bool = True) -> None:
        """Writes a table, ruled or only aligned, kept in one piece."""
        step = self.face.leading * 1.15
        widths = [
            max(wide(row[k], self.face.bold, self.face.size) for row in rows) + 12
            for k in range(len(rows[0]))
        ]
        self.need(step * len(rows) + 14)
        self.y -= 6
        for number, row in enumerate(rows):
            self.y -= step
            self._row(row, widths, step, bold=number == 0, ruled=ruled)
        self.y -= 10

    def _row(
        self, row: Sequence[str], widths: Sequence[float], step: float, *, bold: bool, ruled: bool
    ) -> None:
        x = self.left
        for text, width in zip(row, widths, strict=True):
            self.put(text, x + 5, self.y, bold=bold)
            if ruled:
                self.canvas.rect(x, self.y - 4, width, step)
            x += width
        if bold and not ruled:
            self.canvas.line(self.left, self.y - 3, x, self.y - 3)

    def save(self) -> None:
        """Writes the file."""
        self.canvas.save()
