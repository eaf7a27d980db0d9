"""Draws the workshop letters: typed, printed with a boxed head, or as plain mail; some bear a stamp."""

import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from benchleaf.corpus_demo.manual import MAKER
from benchleaf.corpus_demo.sheet import HEIGHT, WIDTH, Face, Sheet, wide

_TYPED = Face("Courier", "Courier-Bold", 10.5, 15.0)
_PRINTED = Face("Times-Roman", "Times-Bold", 11.5, 15.5)
_COLUMN = [(72.0, WIDTH - 72.0 - 66.0)]


def letter_file(letter: dict[str, Any]) -> str:
    """The file name of a letter."""
    end = "txt" if letter["layout"] == "mail" else "pdf"
    return f"{letter['number'].lower().replace('-', '_')}.{end}"


def draw_letter(folder: Path, letter: dict[str, Any]) -> None:
    """Draws one letter into the folder."""
    path = folder / letter_file(letter)
    if letter["layout"] == "mail":
        path.write_text(_mail(letter), encoding="utf-8", newline="\n")
        return
    typed = letter["layout"] == "typed"
    sheet = Sheet(path, _TYPED if typed else _PRINTED, f"{MAKER} {letter['number']}", _COLUMN)
    sheet.y = HEIGHT - 60
    (_typed_head if typed else _printed_head)(sheet, letter)
    for block in letter["body"]:
        _block(sheet, block, ruled=not typed)
    _foot(sheet)
    if "stamp" in letter:
        _stamp(sheet, letter["stamp"])
    sheet.save()


def _fields(letter: dict[str, Any]) -> list[tuple[str, str]]:
    return [
        ("Number", letter["number"]),
        ("Date", letter["date"]),
        ("Subject", letter["subject"]),
        ("Models", letter["models"]),
        ("Serial numbers", letter["serials"]),
    ]


def _mail(letter: dict[str, Any]) -> str:
    head = [f"From: service office, {MAKER}", "To: all workshops"]
    head += [f"{name}: {value}" for name, value in _fields(letter)]
    body = ["\n".join(textwrap.wrap(text, 70, break_on_hyphens=False)) for text in letter["body"]]
    return "\n".join(head) + "\n\n" + "\n\n".join(body) + "\n\nService office\n"


def _badge(sheet: Sheet, x: float, y: float) -> None:
    canvas = sheet.canvas
    canvas.setLineWidth(1.4)
    canvas.circle(x, y, 17)
    canvas.circle(x, y, 6)
    for dx, dy in ((0, 1), (0, -1), (1, 0), (-1, 0)):
        canvas.line(x + dx * 6, y + dy * 6, x + dx * 17, y + dy * 17)
    canvas.setLineWidth(0.6)


def _typed_head(sheet: Sheet, letter: dict[str, Any]) -> None:
    _badge(sheet, 90, sheet.y)
    sheet.put(MAKER.upper(), 118, sheet.y + 3, bold=True, size=12)
    sheet.put("W O R K S H O P   L E T T E R", 118, sheet.y - 13, size=9)
    sheet.y -= 44
    for name, value in _fields(letter):
        sheet.put(name, 72, sheet.y)
        sheet.put(f": {value}", 190, sheet.y)
        sheet.y -= sheet.face.leading
    sheet.canvas.line(72, sheet.y, WIDTH - 66, sheet.y)
    sheet.y -= 14


def _printed_head(sheet: Sheet, letter: dict[str, Any]) -> None:
    sheet.put(MAKER, 72, sheet.y, bold=True, size=15)
    label = "Workshop Letter"
    sheet.put(label, WIDTH - 66 - wide(label, sheet.face.plain, 13), sheet.y, size=13)
    sheet.y -= 14
    fields = _fields(letter)
    _boxed(sheet, [(*fields[0], 0.0, 0.5), (*fields[1], 0.5, 0.5)])
    for field in fields[2:]:
        _boxed(sheet, [(*field, 0.0, 1.0)])
    sheet.y -= 18


def _boxed(sheet: Sheet, cells: Sequence[tuple[str, str, float, float]]) -> None:
    height = 21.0
    sheet.y -= height
    for name, value, start, share in cells:
        x, width = sheet.left + start * sheet.width, share * sheet.width
        sheet.canvas.rect(x, sheet.y, 92, height)
        sheet.canvas.rect(x + 92, sheet.y, width - 92, height)
        sheet.put(name, x + 5, sheet.y + 6.5, bold=True, size=10)
        sheet.put(value, x + 98, sheet.y + 6.5, size=11)


def _block(sheet: Sheet, block: str | list[list[str]], *, ruled: bool) -> None:
    if isinstance(block, str):
        sheet.lines(block)
    else:
        sheet.table(block, ruled=ruled)
    sheet.y -= 9


def _foot(sheet: Sheet) -> None:
    sheet.canvas.line(72, 62, WIDTH - 66, 62)
    sheet.put("Keep this letter in front of the page that it changes.", 72, 50, size=8)
    for y in (HEIGHT / 2 - 113, HEIGHT / 2 + 113):
        sheet.canvas.setStrokeGray(0.7)
        sheet.canvas.circle(24, y, 8)
        sheet.canvas.setStrokeGray(0)


def _stamp(sheet: Sheet, day: str) -> None:
    """The shop's stamp: set askew in the lower right, grey as worn ink."""
    canvas = sheet.canvas
    canvas.saveState()
    canvas.translate(WIDTH - 210, 150)
    canvas.rotate(7)
    canvas.setStrokeGray(0.45)
    canvas.setFillGray(0.45)
    canvas.setLineWidth(1.6)
    canvas.roundRect(0, 0, 118, 44, 5)
    canvas.setFont("Helvetica-Bold", 10)
    canvas.drawCentredString(59, 27, "RECEIVED")
    canvas.drawCentredString(59, 11, day)
    canvas.restoreState()
