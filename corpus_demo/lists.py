"""Draws the parts desk's list and the packing slips: CSV, or a PDF slip."""

import csv
import io
from pathlib import Path
from typing import Any

from benchleaf.corpus_demo.manual import MAKER
from benchleaf.corpus_demo.sheet import HEIGHT, WIDTH, Face, Sheet

_SLIP = Face("Courier", "Courier-Bold", 10.5, 15.0)


def draw_list(folder: Path, what: dict[str, Any]) -> None:
    """Writes one list or slip into the folder."""
    path = folder / what["file"]
    if path.suffix == ".csv":
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows(what["rows"])
        path.write_text(text.getvalue(), encoding="utf-8", newline="\n")
    else:
        _draw_slip(path, what)


def _draw_slip(path: Path, what: dict[str, Any]) -> None:
    sheet = Sheet(path, _SLIP, what["title"], [(72.0, WIDTH - 138.0)])
    sheet.y = HEIGHT - 70
    sheet.put(f"{MAKER}, parts depot", 72, sheet.y, size=11)
    sheet.y -= 26
    sheet.put(what["title"], 72, sheet.y, bold=True, size=15)
    sheet.y -= 14
    for line in what["lines"]:
        sheet.lines(line)
    sheet.y -= 10
    sheet.table(what["rows"])
    sheet.save()
