"""The figures of the demo manual: plain line drawings with numbered callouts."""

from collections.abc import Callable

from benchleaf.corpus_demo.sheet import Sheet

Place = tuple[float, float, float, float]
"""Left, bottom, width and height, in points."""


def figure(sheet: Sheet, name: str, place: Place) -> None:
    """Draws the figure of that name into its place."""
    _DRAWN[name](Pen(sheet, place))


class Pen:
    """Draws in shares of the figure's width and height, so that a figure fits any place."""

    def __init__(self, sheet: Sheet, place: Place) -> None:
        self.sheet, (self.x, self.y, self.w, self.h) = sheet, place

    def at(self, x: float, y: float) -> tuple[float, float]:
        """The place on the sheet, in points, of shares of the figure."""
        return self.x + x * self.w, self.y + y * self.h

    def box(self, x: float, y: float, w: float, h: float, *, hatched: bool = False) -> None:
        """A rectangle, hatched where it is cut."""
        left, low = self.at(x, y)
        self.sheet.canvas.rect(left, low, w * self.w, h * self.h)
        if hatched:
            self._hatch(left, low, w * self.w, h * self.h)

    def _hatch(self, left: float, low: float, w: float, h: float) -> None:
        canvas = self.sheet.canvas
        canvas.saveState()
        path = canvas.beginPath()
        path.rect(left, low, w, h)
        canvas.clipPath(path, stroke=0)
        canvas.setLineWidth(0.3)
        for k in range(int((w + h) / 5) + 1):
            canvas.line(left + k * 5 - h, low, left + k * 5, low + h)
        canvas.restoreState()

    def line(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """A straight line."""
        self.sheet.canvas.line(*self.at(x0, y0), *self.at(x1, y1))

    def ring(self, x: float, y: float, points: float) -> None:
        """A circle; its radius in points."""
        self.sheet.canvas.circle(*self.at(x, y), points)

    def axis(self, y: float) -> None:
        """A broken centre line across the figure."""
        canvas = self.sheet.canvas
        canvas.saveState()
        canvas.setDash(9, 3)
        self.line(0.03, y, 0.97, y)
        canvas.restoreState()

    def call(self, number: int, x: float, y: float, to_x: float, to_y: float) -> None:
        """A callout: a number and a thin line to what it names."""
        self.line(x, y, to_x, to_y)
        left, low = self.at(x, y)
        self.sheet.canvas.setFont("Helvetica", 8)
        if to_x < x:
            self.sheet.canvas.drawString(left + 3, low - 3, str(number))
        else:
            self.sheet.canvas.drawRightString(left - 3, low - 3, str(number))


def _section(pen: Pen) -> None:
    pen.box(0.12, 0.06, 0.76, 0.88)
    pen.box(0.14, 0.09, 0.72, 0.82)
    for low, number in ((0.62, 2), (0.22, 3)):
        pen.box(0.28, low, 0.3, 0.2)
        for k in range(12):
            pen.box(0.34 + k * 0.018, low + 0.03, 0.009, 0.14, hatched=k % 2 == 0)
        pen.axis(low + 0.1)
        pen.call(number, 0.06, low + 0.16, 0.3, low + 0.15)
    pen.box(0.06, 0.69, 0.24, 0.06, hatched=True)
    pen.box(0.7, 0.42, 0.26, 0.07, hatched=True)
    pen.box(0.62, 0.3, 0.05, 0.3)
    pen.ring(0.8, 0.75, 18)
    pen.call(1, 0.03, 0.86, 0.1, 0.74)
    pen.call(4, 0.93, 0.86, 0.82, 0.78)
    pen.call(5, 0.96, 0.3, 0.9, 0.43)


def _circuit(pen: Pen) -> None:
    pen.box(0.06, 0.06, 0.88, 0.16)
    pen.box(0.12, 0.1, 0.1, 0.08, hatched=True)
    pen.line(0.17, 0.18, 0.17, 0.4)
    pen.ring(0.17, 0.46, 12)
    pen.line(0.17, 0.53, 0.17, 0.7)
    pen.line(0.17, 0.7, 0.34, 0.7)
    pen.box(0.34, 0.56, 0.26, 0.28)
    for k in range(3):
        pen.box(0.37 + k * 0.075, 0.66, 0.045, 0.08, hatched=True)
    pen.line(0.42, 0.84, 0.42, 0.95)
    pen.line(0.53, 0.84, 0.53, 0.95)
    pen.line(0.6, 0.7, 0.72, 0.7)
    pen.box(0.72, 0.6, 0.14, 0.2)
    for k in range(5):
        pen.line(0.74 + k * 0.025, 0.62, 0.74 + k * 0.025, 0.78)
    pen.line(0.79, 0.6, 0.79, 0.22)
    pen.call(1, 0.06, 0.56, 0.14, 0.48)
    pen.call(2, 0.06, 0.34, 0.14, 0.16)
    pen.call(3, 0.3, 0.93, 0.38, 0.82)
    pen.call(4, 0.95, 0.88, 0.85, 0.76)


def _plates(pen: Pen) -> None:
    for x, number in ((0.27, 1), (0.73, 2)):
        pen.ring(x, 0.5, 48)
        pen.ring(x, 0.5, 30 if number == 1 else 33)
        pen.call(
            number, x - 0.2 if number == 1 else x + 0.2, 0.85, x - 0.06 if number == 1 else x + 0.06, 0.7
        )
    for k in range(6):
        pen.line(0.24 + k * 0.012, 0.86 - abs(k - 3) * 0.02, 0.24 + k * 0.012, 0.72)


def _pack(pen: Pen) -> None:
    pen.axis(0.5)
    pen.box(0.1, 0.1, 0.06, 0.8, hatched=True)
    pen.box(0.16, 0.16, 0.08, 0.68)
    for k in range(16):
        lined = k % 2 == 1
        pen.box(0.27 + k * 0.03, 0.1 if lined else 0.06, 0.018, 0.8 if lined else 0.88, hatched=not lined)
    pen.box(0.77, 0.06, 0.045, 0.88)
    pen.box(0.83, 0.02, 0.015, 0.96, hatched=True)
    pen.call(1, 0.05, 0.93, 0.2, 0.8)
    pen.call(2, 0.22, 0.99, 0.28, 0.92)
    pen.call(3, 0.5, 0.99, 0.46, 0.88)
    pen.call(4, 0.93, 0.8, 0.8, 0.75)
    pen.call(5, 0.93, 0.3, 0.84, 0.25)


def _press(pen: Pen) -> None:
    pen.box(0.2, 0.04, 0.6, 0.07, hatched=True)
    pen.box(0.24, 0.11, 0.05, 0.82)
    pen.box(0.71, 0.11, 0.05, 0.82)
    pen.box(0.2, 0.86, 0.6, 0.09)
    pen.box(0.46, 0.62, 0.08, 0.24, hatched=True)
    pen.box(0.4, 0.55, 0.2, 0.07)
    pen.box(0.34, 0.11, 0.32, 0.38)
    for k in range(6):
        pen.line(0.4, 0.15 + k * 0.055, 0.6, 0.18 + k * 0.055)
    pen.call(1, 0.12, 0.6, 0.41, 0.58)
    pen.call(2, 0.88, 0.3, 0.6, 0.3)
    pen.call(3, 0.12, 0.25, 0.35, 0.2)


def _cover(pen: Pen) -> None:
    pen.box(0.2, 0.08, 0.6, 0.84)
    for k in range(5):
        for y in (0.13, 0.87):
            pen.ring(0.25 + k * 0.125, y, 3.5)
    for k in range(2):
        for x in (0.23, 0.77):
            pen.ring(x, 0.37 + k * 0.26, 3.5)
    pen.ring(0.4, 0.64, 24)
    pen.ring(0.4, 0.36, 20)
    pen.ring(0.63, 0.48, 28)
    pen.ring(0.63, 0.48, 12)
    pen.call(1, 0.1, 0.8, 0.24, 0.86)
    pen.call(2, 0.9, 0.66, 0.67, 0.55)
    pen.call(3, 0.1, 0.3, 0.37, 0.36)


def _carrier(pen: Pen) -> None:
    pen.line(0.04, 0.12, 0.96, 0.12)
    for x in (0.16, 0.3, 0.66, 0.8):
        pen.ring(x, 0.24, 17)
        pen.ring(x, 0.24, 7)
    pen.box(0.08, 0.36, 0.26, 0.22)
    pen.box(0.12, 0.58, 0.14, 0.3)
    pen.box(0.34, 0.36, 0.56, 0.07)
    for k in range(5):
        pen.line(0.48 + k * 0.1, 0.43, 0.48 + k * 0.1, 0.82)
    pen.box(0.4, 0.26, 0.09, 0.1, hatched=True)
    pen.call(1, 0.38, 0.94, 0.45, 0.35)
    pen.call(2, 0.57, 0.05, 0.52, 0.28)


def _tools(pen: Pen) -> None:
    pen.box(0.08, 0.3, 0.12, 0.4)
    pen.box(0.1, 0.7, 0.08, 0.12)
    pen.line(0.32, 0.25, 0.36, 0.8)
    pen.line(0.46, 0.25, 0.42, 0.8)
    pen.box(0.35, 0.8, 0.08, 0.06)
    pen.line(0.56, 0.3, 0.6, 0.72)
    pen.line(0.7, 0.3, 0.66, 0.72)
    pen.box(0.54, 0.24, 0.18, 0.06)
    pen.ring(0.85, 0.62, 15)
    pen.box(0.835, 0.28, 0.03, 0.2)
    for number, x in enumerate((0.14, 0.39, 0.63, 0.85), 1):
        pen.call(number, x - 0.05, 0.12, x, 0.26)


def _clearance(pen: Pen) -> None:
    pen.box(0.2, 0.1, 0.6, 0.5)
    pen.box(0.24, 0.44, 0.52, 0.08, hatched=True)
    pen.box(0.14, 0.66, 0.72, 0.06)
    pen.ring(0.5, 0.84, 16)
    pen.line(0.5, 0.84, 0.54, 0.9)
    pen.line(0.5, 0.75, 0.5, 0.52)
    pen.call(1, 0.08, 0.84, 0.2, 0.7)
    pen.call(2, 0.92, 0.9, 0.55, 0.86)
    pen.call(3, 0.92, 0.4, 0.74, 0.48)


def _shim(pen: Pen) -> None:
    pen.axis(0.45)
    pen.box(0.1, 0.38, 0.6, 0.14, hatched=True)
    pen.box(0.52, 0.26, 0.1, 0.38)
    pen.box(0.64, 0.16, 0.03, 0.58, hatched=True)
    pen.box(0.68, 0.12, 0.08, 0.66)
    pen.call(1, 0.42, 0.9, 0.56, 0.62)
    pen.call(2, 0.62, 0.95, 0.655, 0.74)
    pen.call(3, 0.9, 0.7, 0.75, 0.66)


def _pump(pen: Pen) -> None:
    pen.box(0.2, 0.06, 0.6, 0.88)
    for x in (0.41, 0.59):
        pen.ring(x, 0.5, 22)
        pen.ring(x, 0.5, 8)
    pen.box(0.46, 0.78, 0.08, 0.16)
    pen.box(0.46, 0.06, 0.08, 0.16)
    pen.call(1, 0.1, 0.6, 0.37, 0.55)
    pen.call(2, 0.9, 0.6, 0.63, 0.55)
    pen.call(3, 0.9, 0.9, 0.54, 0.86)


def _valve(pen: Pen) -> None:
    pen.box(0.12, 0.2, 0.76, 0.6)
    for y in (0.34, 0.6):
        pen.box(0.16, y - 0.04, 0.68, 0.09)
        for k in range(5):
            pen.box(0.2 + k * 0.13, y - 0.04, 0.07, 0.09, hatched=True)
    pen.box(0.26, 0.8, 0.09, 0.14)
    pen.box(0.62, 0.8, 0.09, 0.14)
    pen.call(1, 0.06, 0.66, 0.2, 0.62)
    pen.call(2, 0.06, 0.28, 0.2, 0.33)
    pen.call(3, 0.93, 0.9, 0.7, 0.86)


def _wires(pen: Pen) -> None:
    pen.box(0.08, 0.3, 0.14, 0.44)
    for k in range(4):
        y = 0.37 + k * 0.1
        pen.ring(0.15, y, 3)
        pen.line(0.22, y, 0.5, y)
        pen.line(0.5, y, 0.62, 0.14 + k * 0.24)
        pen.line(0.62, 0.14 + k * 0.24, 0.74, 0.14 + k * 0.24)
        pen.box(0.74, 0.08 + k * 0.24, 0.14, 0.12)
    for k in range(4):
        pen.call(k + 1, 0.96, 0.14 + k * 0.24, 0.88, 0.14 + k * 0.24)


def _bench(pen: Pen) -> None:
    pen.box(0.05, 0.05, 0.9, 0.08, hatched=True)
    pen.box(0.08, 0.13, 0.2, 0.4)
    pen.box(0.36, 0.13, 0.26, 0.6)
    pen.box(0.72, 0.13, 0.2, 0.4)
    pen.box(0.28, 0.3, 0.08, 0.05)
    pen.box(0.62, 0.3, 0.1, 0.05)
    for k in range(3):
        pen.ring(0.42 + k * 0.07, 0.86, 9)
    pen.call(1, 0.03, 0.7, 0.12, 0.5)
    pen.call(2, 0.3, 0.92, 0.41, 0.7)
    pen.call(3, 0.97, 0.7, 0.88, 0.5)


_DRAWN: dict[str, Callable[[Pen], None]] = {
    "section": _section,
    "circuit": _circuit,
    "plates": _plates,
    "pack": _pack,
    "press": _press,
    "cover": _cover,
    "box": _cover,
    "carrier": _carrier,
    "tools": _tools,
    "clearance": _clearance,
    "shim": _shim,
    "pump": _pump,
    "valve": _valve,
    "wires": _wires,
    "bench": _bench,
}
