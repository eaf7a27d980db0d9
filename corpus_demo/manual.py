"""Draws the demo manual: part one in one column with numerals in the margin, part two in two columns."""

import io
import re
from dataclasses import dataclass, field, replace
from pathlib import Path

from benchleaf.corpus_demo.figures import figure
from benchleaf.corpus_demo.markup import Block, manual_blocks
from benchleaf.corpus_demo.sheet import HEIGHT, WIDTH, Face, Sheet, wide

PUBLICATION = "OHM 5204"
MAKER = "Skarnholt Driveline Works"
UNIT = "Reversing transfer box RT 52 · RT 52 L · RT 64"

_ONE = Face("Times-Roman", "Times-Bold", 12.0, 16.4)
_TWO = Face("Helvetica", "Helvetica-Bold", 10.2, 14.2)
_COLUMN_ONE = [(112.0, WIDTH - 112.0 - 58.0)]
_COLUMNS_TWO = [(56.0, 231.0), (309.0, 231.0)]
_COLUMN_THREE = [(56.0, 470.0)]
_HEADS = {2: "Part two: hydraulics and test", 3: "Part three: faults and parts"}


@dataclass
class Book:
    """The manual under the pen: which items stand on which page, and where each section begins.

    `begins` of the drawing before gives the page numbers for the contents page.
    """

    sheet: Sheet
    part: int = 1
    page: int = 0
    section: str = ""
    figures: int = 0
    items: dict[str, dict[str, str]] = field(default_factory=dict)
    begins: dict[str, str] = field(default_factory=dict)
    known: dict[str, str] = field(default_factory=dict)

    @property
    def folio(self) -> str:
        """The printed page number."""
        return f"{self.part}-{self.page}"

    def turn(self) -> None:
        """Starts the next page: running head, rule, page number at the outer foot."""
        self.sheet.new_page()
        self.page += 1
        self.items[self.folio] = {}
        head, right = f"{PUBLICATION}   {self.section}", WIDTH - 56
        self.sheet.put(head, 56, HEIGHT - 48, size=8.5)
        self.sheet.canvas.line(56, HEIGHT - 53, right, HEIGHT - 53)
        odd = self.page % 2 == 1
        x = right - wide(self.folio, self.sheet.face.plain, 10.0) if odd else 56.0
        self.sheet.put(self.folio, x, 38, size=10.0)
        self._holes()

    def _holes(self) -> None:
        self.sheet.canvas.setStrokeGray(0.7)
        for y in (HEIGHT / 2 - 113, HEIGHT / 2 + 113):
            self.sheet.canvas.circle(24, y, 8)
        self.sheet.canvas.setStrokeGray(0)


def draw_manual(path: Path) -> dict[str, dict[str, str]]:
    """Draws the manual; gives its items as {page: {item: text}}, by printed numbers."""
    trial = _draw(io.BytesIO(), {})
    return _draw(path, trial.begins).items


def _draw(to: Path | io.BytesIO, known: dict[str, str]) -> Book:
    book = Book(Sheet(to, _ONE, f"{MAKER} {PUBLICATION}", _COLUMN_ONE), known=known)
    book.sheet.turn = book.turn
    _cover(book.sheet)
    _part(book, 1, manual_blocks("part_one"))
    book.sheet.face, book.sheet.columns = _TWO, list(_COLUMNS_TWO)
    _part(book, 2, manual_blocks("part_two", run_on=True))
    book.sheet.columns = list(_COLUMN_THREE)
    _part(book, 3, manual_blocks("part_three"))
    book.sheet.save()
    return book


def _numbered(book: Book, text: str) -> str:
    """`@A` becomes the page where section A begins."""

    def page(found: re.Match[str]) -> str:
        start = f"{found[1]} " if len(found[1]) == 1 else found[1]
        return next((folio for name, folio in book.known.items() if name.startswith(start)), "0-0")

    return re.sub(r"@([A-Z](?:[a-z]+(?: circuit)?)?)", page, text)


def _cover(sheet: Sheet) -> None:
    canvas = sheet.canvas
    canvas.setLineWidth(2)
    canvas.rect(48, 48, WIDTH - 96, HEIGHT - 96)
    canvas.setLineWidth(0.6)
    sheet.put(MAKER, 80, HEIGHT - 130, bold=True, size=22)
    sheet.put("Overhaul Manual", 80, HEIGHT - 190, bold=True, size=19)
    sheet.put(UNIT, 80, HEIGHT - 216, size=14)
    figure(sheet, "section", (120, 250, WIDTH - 240, 260))
    sheet.put(f"Publication No. {PUBLICATION}", 80, 180, bold=True, size=12)
    sheet.put("Second edition, March 1986", 80, 162, size=11)
    sheet.put("The box. Hydraulics and test. Faults and parts.", 80, 144, size=11)


def _part(book: Book, part: int, blocks: tuple[Block, ...]) -> None:
    book.part, book.page = part, 0
    for block in blocks:
        rows = tuple(tuple(_numbered(book, cell) for cell in row) for row in block.rows)
        _DRAW[block.kind](book, replace(block, text=_numbered(book, block.text), rows=rows))


def _heading(book: Book, block: Block) -> None:
    sheet, first = book.sheet, book.page == 0
    book.section = _HEADS.get(book.part, block.text)
    if book.part != 2 or first:
        book.turn()
    else:
        sheet.need(110)
    book.begins[block.text] = book.folio
    low, left = (18, 56.0) if book.part == 1 else (24 if sheet.y < sheet.top else 12, sheet.left)
    sheet.y -= low
    sheet.put(block.text, left, sheet.y, bold=True, size=16 if book.part == 1 else 12.5)
    sheet.y -= 10


def _figure(book: Book, block: Block) -> None:
    sheet, height = book.sheet, 186.0 if len(book.sheet.columns) == 1 else 132.0
    book.figures += 1
    sheet.need(height + 30)
    figure(sheet, block.text, (sheet.left, sheet.y - height - 6, sheet.width, height))
    sheet.y -= height + 20
    sheet.put(f"Fig. {book.figures}", sheet.left, sheet.y, size=sheet.face.size * 0.85)
    sheet.y -= 10


def _item(book: Book, block: Block) -> None:
    sheet, hanging = book.sheet, len(book.sheet.columns) == 1
    indent = 0.0 if hanging else 26.0
    sheet.need(sheet.face.leading * 2 + 6)
    book.items[book.folio][str(block.number)] = " ".join((block.text, *block.parts))
    if hanging:
        sheet.put(str(block.number), 66, sheet.y - sheet.face.leading, bold=True, size=13)
    else:
        sheet.put(f"{block.number}.", sheet.left, sheet.y - sheet.face.leading)
    sheet.lines(block.text, indent, keep=2)
    for letter, text in zip("abcdef", block.parts, strict=False):
        sheet.need(sheet.face.leading)
        sheet.put(f"{letter})", sheet.left + indent, sheet.y - sheet.face.leading)
        sheet.lines(text, indent + 18)
    sheet.y -= 7


def _notice(book: Book, block: Block) -> None:
    kind, _, text = block.text.partition("  ")
    book.sheet.frame(f"{kind}  {text}", 0.0 if len(book.sheet.columns) == 1 else 26.0)


def _table(book: Book, block: Block) -> None:
    book.sheet.table(block.rows, ruled=book.part == 1)


def _paragraph(book: Book, block: Block) -> None:
    book.sheet.y -= 4
    book.sheet.lines(block.text, keep=2)
    book.sheet.y -= 8


_DRAW = {
    "heading": _heading,
    "figure": _figure,
    "item": _item,
    "notice": _notice,
    "table": _table,
    "paragraph": _paragraph,
}
