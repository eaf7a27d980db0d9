"""Draws small PDFs for the tests: places are points from the sheet's top left corner, as the product
counts."""

import io
from collections.abc import Sequence

from reportlab.lib.utils import ImageReader
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

WIDTH, HEIGHT = 595.0, 842.0
PLAIN, BOLD = "Helvetica", "Helvetica-Bold"


class Board:
    def __init__(self, width: float = WIDTH, height: float = HEIGHT, **options: object) -> None:
        self.width, self.height = width, height
        self._bytes = io.BytesIO()
        self.canvas = Canvas(self._bytes, pagesize=(width, height), **options)

    def text(
        self, x: float, y: float, text: str, size: float = 10, font: str = PLAIN, spacing: float = 0
    ) -> float:
        """One line whose baseline is y under the top; gives the x after it."""
        self.canvas.setFont(font, size)
        self.canvas.drawString(x, self.height - y, text, charSpace=spacing)
        return x + stringWidth(text, font, size)

    def right(self, x: float, y: float, text: str, size: float = 10, font: str = PLAIN) -> None:
        self.text(x - stringWidth(text, font, size), y, text, size, font)

    def centre(self, y: float, text: str, size: float = 10, font: str = PLAIN) -> None:
        self.text((self.width - stringWidth(text, font, size)) / 2, y, text, size, font)

    def lines(
        self,
        x: float,
        y: float,
        lines: Sequence[str],
        size: float = 10,
        leading: float = 12,
        font: str = PLAIN,
    ) -> float:
        for line in lines:
            self.text(x, y, line, size, font)
            y += leading
        return y

    def prose(
        self,
        x: float,
        y: float,
        width: float,
        text: str,
        size: float = 10,
        leading: float = 12,
        justify: bool = False,
        font: str = PLAIN,
    ) -> float:
        """A wrapped paragraph; gives the baseline of the line after it."""
        wrapped = wrap(text, width, size, font)
        for number, words in enumerate(wrapped):
            if justify and len(words) > 1 and number < len(wrapped) - 1:
                free = (width - sum(stringWidth(w, font, size) for w in words)) / (len(words) - 1)
                at = x
                for word in words:
                    self.text(at, y, word, size, font)
                    at += stringWidth(word, font, size) + free
            else:
                self.text(x, y, " ".join(words), size, font)
            y += leading
        return y

    def step(
        self,
        x: float,
        y: float,
        width: float,
        label: str,
        text: str,
        hang: float = 22,
        size: float = 10,
        leading: float = 12,
        **options: object,
    ) -> float:
        self.text(x, y, label, size)
        return self.prose(x + hang, y, width - hang, text, size, leading, **options) + 4

    def rule(self, x0: float, y0: float, x1: float, y1: float) -> None:
        self.canvas.line(x0, self.height - y0, x1, self.height - y1)

    def frame(self, x0: float, y0: float, x1: float, y1: float, **options: int) -> None:
        self.canvas.rect(x0, self.height - y1, x1 - x0, y1 - y0, **options)

    def ellipse(self, x0: float, y0: float, x1: float, y1: float) -> None:
        self.canvas.ellipse(x0, self.height - y1, x1, self.height - y0)

    def image(self, x0: float, y0: float, x1: float, y1: float) -> None:
        from PIL import Image

        grey = ImageReader(Image.new("L", (40, 40), 128))
        self.canvas.drawImage(grey, x0, self.height - y1, x1 - x0, y1 - y0)

    def table(
        self,
        x: float,
        y: float,
        widths: Sequence[float],
        rows: Sequence[Sequence[str]],
        size: float = 9,
        high: float = 16,
        ruled: bool = True,
    ) -> float:
        """Rows of cells under y; gives the y of the lower edge."""
        across = [x]
        for width in widths:
            across.append(across[-1] + width)
        for number, row in enumerate(rows):
            for at, cell in zip(across, row, strict=False):
                self.text(at + 4, y + number * high + high - 5, cell, size)
        bottom = y + high * len(rows)
        if ruled:
            for at in across:
                self.rule(at, y, at, bottom)
            for number in range(len(rows) + 1):
                self.rule(x, y + number * high, across[-1], y + number * high)
        return bottom

    def sheet(self) -> None:
        """Ends a sheet."""
        self.canvas.showPage()

    def pdf(self) -> bytes:
        self.canvas.save()
        return self._bytes.getvalue()


def wrap(text: str, width: float, size: float = 10, font: str = PLAIN) -> list[list[str]]:
    lines: list[list[str]] = [[]]
    for word in text.split():
        if lines[-1] and stringWidth(" ".join([*lines[-1], word]), font, size) > width:
            lines.append([])
        lines[-1].append(word)
    return lines


WORDS = [
    "clean",
    "the",
    "bore",
    "and",
    "check",
    "every",
    "tooth",
    "for",
    "wear",
    "before",
    "the",
    "shaft",
    "goes",
    "back",
    "into",
    "its",
    "housing",
    "with",
    "a",
    "new",
    "seal",
    "measure",
    "play",
    "at",
    "three",
    "places",
    "turn",
    "slowly",
    "by",
    "hand",
    "until",
    "both",
    "marks",
    "face",
    "each",
    "other",
    "then",
    "lock",
    "plate",
    "and",
    "nut",
    "oil",
    "ring",
    "groove",
    "spring",
    "cup",
    "lever",
    "gauge",
    "depth",
    "face",
    "lip",
    "edge",
    "port",
    "valve",
    "drum",
    "hub",
    "disc",
    "carrier",
    "spline",
    "collar",
]


def sentence(number: int, words: int = 18) -> str:
    """An invented sentence that differs with its number."""
    picked = [WORDS[(number * 7 + i * (3 + number % 5)) % len(WORDS)] for i in range(words)]
    return f"Mark{number} " + " ".join(picked) + "."
