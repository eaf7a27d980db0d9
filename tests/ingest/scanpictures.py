"""Draws invented sheets, makes pictures of them, and damages these as scanners, copiers and phones do."""

import io
import random
from collections.abc import Sequence
from dataclasses import dataclass

import pypdfium2
from PIL import Image, ImageChops, ImageDraw, ImageFilter
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen import canvas

A4 = (595.28, 841.89)
NUMERALS = ("1.", "2.", "3.", "4.", "5.", "6.", "7.", "8.", "9.", "10.", "11.", "12.")
STEPS = (
    ("Fit the cone 4471-22B to the shaft and tighten the", "nut to 63 Nm, then back off by 30 degrees."),
    ("Soak the friction rings in clean oil for 45 minutes", "before fitting; count 11 rings and 10 plates."),
    (
        "Measure the end play with a dial gauge. It must be",
        "0.12 to 0.27 mm; select shim 88 104 317 to suit.",
    ),
    ("Press bearing K6205-RS into the bore at 18 kN until", "it seats. Replace seal 0 118 340 by 0 118 341."),
    ("Heat the hub to 110 °C and slide it onto the spline", "up to the shoulder within 15 seconds."),
    ("Check the pump at 1450 r/min: pressure must lie", "between 19.5 and 22.0 bar at port P2."),
    ("Order repair kit RK-7730-08 (Qty: 2) for units from", "serial number 51877 up to 60240 inclusive."),
    ("Apply sealant in a bead 3 mm wide, see Fig. 16, and", "tighten the 12 cover screws to 41 Nm."),
)


@dataclass(frozen=True)
class Sheet:
    """A drawn sheet: its PDF and the words on it in reading order."""

    pdf: bytes
    words: tuple[str, ...]


class Board:
    """Draws text on one sheet and remembers it."""

    def __init__(self, size: tuple[float, float] = A4) -> None:
        self._held = io.BytesIO()
        self.size = size
        self.canvas = canvas.Canvas(self._held, pagesize=size)
        self._words: list[str] = []

    def say(self, x: float, top: float, text: str, size: float = 10, font: str = "Times-Roman") -> None:
        self.canvas.setFont(font, size)
        self.canvas.drawString(x, self.size[1] - top - 0.75 * size, text)
        self._words.extend(text.split())

    def box(self, x0: float, top: float, x1: float, bottom: float) -> None:
        self.canvas.rect(x0, self.size[1] - bottom, x1 - x0, bottom - top)

    def line(self, x0: float, top: float, x1: float, bottom: float) -> None:
        self.canvas.line(x0, self.size[1] - top, x1, self.size[1] - bottom)

    def done(self) -> Sheet:
        self.canvas.save()
        return Sheet(self._held.getvalue(), tuple(self._words))


def steps_sheet(font: str = "Times-Roman", size: float = 10, columns: int = 1, gap: float = 22) -> Sheet:
    """Numbered steps with numerals in the margin, in one column or two, a heading and a page number."""
    board = Board()
    heads = {"Times-Roman": "Times-Bold", "Helvetica": "Helvetica-Bold", "Courier": "Courier-Bold"}
    board.say(56, 60, "Fitting the cone clutch, front drive", size + 3, heads[font])
    per = -(-len(STEPS) // columns)
    for column in range(columns):
        x, top = 56 + column * 265, 95.0
        for index, lines in enumerate(STEPS[column * per : (column + 1) * per], column * per):
            board.say(x, top, NUMERALS[index], size, font)
            for line in lines:
                board.say(x + gap, top, line, size, font)
                top += 1.25 * size
            top += 0.7 * size
    board.say(290, 790, "31", 9, font)
    return board.done()


def table_sheet(font: str = "Helvetica", size: float = 9) -> Sheet:
    """A bulletin's head and a ruled table of old and new numbers."""
    board = Board()
    board.say(56, 60, "Service Bulletin 88-14", 14, "Helvetica-Bold")
    board.say(56, 90, "12 November 1988", size, font)
    board.say(56, 110, "The following numbers are superseded:", size, font)
    rows = (
        ("Old number", "New number", "Description", "Qty"),
        ("88 104 317", "88 104 922", "Shim 0.20", "4"),
        ("4471-22B", "4471-23A", "Cone", "1"),
        ("0 118 340", "0 118 341", "Lip seal", "2"),
        ("K6205-RS", "K6206-RS", "Bearing", "1"),
    )
    at = (56, 166, 276, 416, 476)
    for row, cells in enumerate(rows):
        for x, cell in zip(at, cells, strict=False):
            board.say(x + 5, 142 + 20 * row, cell, size, font)
    for row in range(len(rows) + 1):
        board.line(at[0], 136 + 20 * row, at[-1], 136 + 20 * row)
    for x in at:
        board.line(x, 136, x, 136 + 20 * len(rows))
    board.say(56, 260, "Use up existing stock of 0 118 340 first.", size, font)
    return board.done()


def picture_of(sheet: Sheet, dpi: float = 200) -> Image.Image:
    """The sheet as a scanner would see it on a good day."""
    document = pypdfium2.PdfDocument(sheet.pdf)
    try:
        return document[0].render(scale=dpi / 72, grayscale=True).to_pil().convert("L")
    finally:
        document.close()


def skewed(picture: Image.Image, degrees: float) -> Image.Image:
    """Fed crookedly: its lines fall to the right for a positive angle."""
    return picture.rotate(-degrees, Image.Resampling.BICUBIC, fillcolor=255)


def noisy(picture: Image.Image, strength: float = 40) -> Image.Image:
    """A grainy scan."""
    grain = Image.effect_noise(picture.size, strength)
    return ImageChops.add(picture, grain, 1, -128)


def speckled(picture: Image.Image, count: int = 6000, rolls: int = 1) -> Image.Image:
    """A dirty copy: black specks all over."""
    chance = random.Random(rolls)
    dirty = picture.copy()
    for _ in range(count):
        dirty.putpixel((chance.randrange(dirty.width), chance.randrange(dirty.height)), 0)
    return dirty


def blurred(picture: Image.Image, radius: float = 1.3) -> Image.Image:
    return picture.filter(ImageFilter.GaussianBlur(radius))


def pale(picture: Image.Image) -> Image.Image:
    """A worn copy: grey ink on grey paper."""
    return picture.point(lambda v: round(150 + v * 70 / 255))


def shadowed(picture: Image.Image) -> Image.Image:
    """Light from one side and a shadow over the other."""
    shade = Image.linear_gradient("L").rotate(90).resize(picture.size).point(lambda v: 80 + v * 175 // 255)
    return ImageChops.multiply(picture, shade)


def jpeg(picture: Image.Image, quality: int = 40) -> Image.Image:
    held = io.BytesIO()
    picture.save(held, "JPEG", quality=quality)
    return Image.open(io.BytesIO(held.getvalue())).convert("L")


def photographed(picture: Image.Image, lean: float = 0.06) -> Image.Image:
    """The sheet on a dark desk, seen from an angle, unevenly lit."""
    wide, high = picture.size
    whole = Image.new("L", (round(wide * 1.25), round(high * 1.2)), 60)
    far, near = lean * wide, -lean * 0.4 * wide
    left, top, right, bottom = 0.12 * wide, 0.1 * high, 1.12 * wide, 1.1 * high
    corners = [
        (left + far, top),
        (right - far, top + 0.02 * high),
        (right - near, bottom),
        (left + near, bottom),
    ]
    paper = picture.transform(
        whole.size, Image.Transform.PERSPECTIVE, _backward(corners, picture.size), Image.Resampling.BICUBIC
    )
    mask = Image.new("L", whole.size, 0)
    ImageDraw.Draw(mask).polygon(corners, fill=255)
    whole.paste(paper, (0, 0), mask)
    shade = Image.linear_gradient("L").resize(whole.size).point(lambda v: 150 + v * 105 // 255)
    return noisy(blurred(ImageChops.multiply(whole, shade), 0.8), 12)


def _backward(corners: Sequence[tuple[float, float]], size: tuple[int, int]) -> tuple[float, ...]:
    """Coefficients that map each place of the photo to the sheet: eight equations solved by elimination."""
    ends = ((0, 0), (size[0], 0), size, (0, size[1]))
    rows = []
    for (x, y), (u, v) in zip(corners, ends, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, v])
    for i in range(8):
        best = max(range(i, 8), key=lambda r: abs(rows[r][i]))
        rows[i], rows[best] = rows[best], rows[i]
        rows[i] = [v / rows[i][i] for v in rows[i]]
        for r in range(8):
            if r != i:
                rows[r] = [a - rows[r][i] * b for a, b in zip(rows[r], rows[i], strict=True)]
    return tuple(row[8] for row in rows)


def as_png(picture: Image.Image, dpi: float = 200) -> bytes:
    held = io.BytesIO()
    picture.save(held, "PNG", dpi=(dpi, dpi))
    return held.getvalue()


def as_tiff(pictures: Sequence[Image.Image], dpi: float = 200) -> bytes:
    held = io.BytesIO()
    pictures[0].save(held, "TIFF", save_all=True, append_images=list(pictures[1:]), dpi=(dpi, dpi))
    return held.getvalue()


def as_pdf(pictures: Sequence[Image.Image], dpi: float = 200) -> bytes:
    """A PDF of pictures alone, as a scanner writes it."""
    held = io.BytesIO()
    page = canvas.Canvas(held)
    for picture in pictures:
        size = (picture.width * 72 / dpi, picture.height * 72 / dpi)
        page.setPageSize(size)
        page.drawImage(ImageReader(picture), 0, 0, *size)
        page.showPage()
    page.save()
    return held.getvalue()
