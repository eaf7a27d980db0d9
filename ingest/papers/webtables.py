"""Tables of web pages: told from tables that only place text, and squared where cells span several places."""

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from benchleaf.ingest.papers.blocks import Block, Grid, Para, Piece, Text, squared, words_of
from benchleaf.ingest.papers.webstyle import Sheet, hides, strikes

if TYPE_CHECKING:
    from benchleaf.ingest.papers.webwalk import Dress, Heard
    from bs4 import Tag

_MOST_COLUMNS = 200
_SPAN = re.compile(r"\s{0,5}([0-9]{1,5})")


def is_layout(table: "Tag") -> bool:
    """True for a table that places text: it holds tables or headings, has one column, or one row of text."""
    if table.get("role") in ("presentation", "none") and table.find("th") is None:
        return len(list(_rows(table))) < 2 or _prose(table)
    if table.find(("table", "h1", "h2", "h3", "h4")) is not None:
        return True
    rows = [_cells(row) for row in _rows(table)]
    if all(len(row) < 2 for row in rows):
        return len(rows) > 1 or _prose(table)
    return len(rows) == 1 and any(len(c.find_all(("p", "li", "div"))) > 2 for c in rows[0])


def _prose(table: "Tag") -> bool:
    return table.find(("p", "div", "ol", "ul", "h1", "h2", "h3", "h4", "h5", "h6", "table")) is not None


def _rows(table: "Tag") -> Iterator["Tag"]:
    yield from table.find_all("tr")


def _cells(row: "Tag") -> list["Tag"]:
    return list(row.find_all(("td", "th"), recursive=False))


def cells(table: "Tag", css: Sheet, heard: "Heard", dress: "Dress") -> tuple[tuple[Text, ...], ...]:
    """The rows of a table; a cell that spans several places has its text in the first of them."""
    rows: list[tuple[Text, ...]] = []
    spans: dict[int, int] = {}  # column → rows that a cell from above still covers
    for row in _rows(table):
        texts: dict[int, Text] = {}
        below: dict[int, int] = {at: left - 1 for at, left in spans.items() if left > 1}
        at = 0
        for cell in _cells(row):
            while spans.get(at, 0) > 0:
                at += 1
            wide, high = _span(cell, "colspan"), _span(cell, "rowspan")
            if at + wide > _MOST_COLUMNS:
                break
            texts[at] = _text(cell, css, heard, _cell_dress(row, cell, css, dress))
            below.update({at + i: high - 1 for i in range(wide) if high > 1})
            at += wide
        spans = below
        rows.append(tuple(texts.get(i, ()) for i in range(max(texts, default=-1) + 1)))
    return squared(rows)


def _span(cell: "Tag", name: str) -> int:
    found = _SPAN.match(str(cell.get(name) or ""))
    return min(max(int(found[1]), 1), _MOST_COLUMNS if name == "colspan" else 65534) if found else 1


def _cell_dress(row: "Tag", cell: "Tag", css: Sheet, dress: "Dress") -> "Dress":
    row_style, style = css.of(row), css.of(cell)
    return dress._replace(
        bold=dress.bold or cell.name == "th",
        struck=dress.struck or strikes(row, row_style) or strikes(cell, style),
        hidden=dress.hidden or hides(row, row_style) or hides(cell, style),
    )


def _text(cell: "Tag", css: Sheet, heard: "Heard", dress: "Dress") -> Text:
    from benchleaf.ingest.papers.webwalk import Walk

    return flat(Walk(css, heard, dress).run(cell))


def flat(blocks: list[Block]) -> Text:
    """The paragraphs of a cell as one text, each on a line of its own."""
    found: list[Piece] = []
    for block in blocks:
        if isinstance(block, Para):
            label = [Piece(f"{block.label} ")] if block.label else []
            found.extend([*([Piece("\n")] if found else []), *label, *block.pieces])
        elif isinstance(block, Grid):
            for row in block.rows:
                found.append(Piece("\n" + " ".join(words_of(c) for c in row)))
    return tuple(found)
