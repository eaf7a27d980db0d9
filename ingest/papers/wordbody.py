"""The body of a Word file: paragraphs with their numbers, tables, sheet breaks, sections."""

from collections.abc import Iterator, Sequence

from benchleaf.ingest.papers.blocks import Block, Grid, NewSheet, Para, Piece, Text, squared, words_of
from benchleaf.ingest.papers.signals import is_notice
from benchleaf.ingest.papers.webtables import flat
from benchleaf.ingest.papers.wordheard import Heard
from benchleaf.ingest.papers.wordnumbers import Numbers
from benchleaf.ingest.papers.wordruns import Item, PageField, Runs, SheetBreak, TextBox
from benchleaf.ingest.papers.wordstyles import Styles, deleted_mark, is_break_before
from benchleaf.ingest.papers.wordxml import Element, below, child, name, number, val

_WITHIN = frozenset(("sdt", "sdtContent", "customXml", "ins", "moveTo"))
_HEADING = 13.0  # points of a heading whose style tells no size larger than the text's
_MOST_SPAN = 200


class Body:
    """Reads a body, or a part of one such as a cell, into blocks."""

    def __init__(self, styles: Styles, numbers: Numbers, runs: Runs, heard: Heard, sections: list[Element]):
        self._styles, self._numbers, self._runs, self._heard = styles, numbers, runs, heard
        self._sections = sections
        self._section = 0
        self.of_sheet: list[int] = [0]  # the section that each sheet belongs to
        self.rendered = False  # Word's own sheet breaks are in the file
        self._carried: list[Piece] = []
        self._owed = 0  # sheet breaks inside what must stay whole
        self._whole = 0  # depth of tables and boxes, which stay whole

    def blocks(self, root: Element) -> list[Block]:
        """The blocks in an element, in order."""
        found: list[Block] = []
        for part in _parts(root):
            tag = name(part)
            if tag == "p":
                self._paragraph(part, found)
            elif tag == "tbl":
                self._table(part, found)
            elif tag == "altChunk":
                self._heard.elsewhere += 1
            if not self._whole:
                for _ in range(min(self._owed, 1)):
                    self._new_sheet(found)
                self._owed = 0
        if self._carried:
            found.append(Para(tuple(self._carried)))
            self._carried = []
        return found

    def _paragraph(self, one: Element, found: list[Block]) -> None:
        if is_break_before(one, self._styles):
            self._break(found)
        items = self._runs.of(one)
        gone = deleted_mark(one)
        shown = any(isinstance(i, Piece) and i.text.strip() for i in items)
        label = self._numbers.label(one) if not gone and (shown or not _is_hidden(one)) else ""
        boxes = [i for i in items if isinstance(i, TextBox)]
        held, self._carried = self._carried, []
        for item in items:
            if isinstance(item, Piece):
                held.append(item)
            elif isinstance(item, SheetBreak):
                self.rendered = self.rendered or not item.willed
                label = self._broken(item, held, label, found, one)
        if gone:
            self._carried = held
        else:
            self._put(held, label, found, one)
        for box in boxes:
            self._box(box.content, found)
        self._end_of_section(one, found)

    def _broken(
        self, item: SheetBreak, held: list[Piece], label: str, found: list[Block], one: Element
    ) -> str:
        """Break the sheet: at once by the writer's will or before any word, else when the paragraph ends."""
        if self._whole or (words_of(held) and not item.willed):
            self._owed += 1
            return label
        if words_of(held):
            self._put(held, label, found, one)
            label = ""
        held.clear()
        self._new_sheet(found) if item.willed else self._break(found)
        return label

    def _put(self, pieces: Sequence[Piece], label: str, found: list[Block], one: Element) -> None:
        if not words_of(pieces):
            return
        if self._styles.is_heading(one):
            largest = max(p.size for p in pieces)
            pieces = [p._replace(bold=True, size=p.size if largest > 11 else _HEADING) for p in pieces]
        found.append(Para(tuple(pieces), label))

    def _box(self, content: Element, found: list[Block]) -> None:
        self._whole += 1
        text = flat(self.blocks(content))
        self._whole -= 1
        if words_of(text):
            found.append(Para(text, framed=True))

    def _end_of_section(self, one: Element, found: list[Block]) -> None:
        if self._whole or child(one, "pPr", "sectPr") is None:
            return
        self._section = min(self._section + 1, len(self._sections) - 1)
        kind = val(child(self._sections[self._section], "type")) or "nextPage"
        if kind not in ("continuous", "nextColumn"):
            self._new_sheet(found)

    def _break(self, found: list[Block]) -> None:
        """A new sheet, unless one has just begun."""
        if any(not isinstance(b, NewSheet) for b in found[-1:]):
            self._new_sheet(found)

    def _new_sheet(self, found: list[Block]) -> None:
        if self._whole:
            self._owed += 1
            return
        found.append(NewSheet())
        self.of_sheet.append(self._section)
        self._heard.sheet += 1

    def _table(self, one: Element, found: list[Block]) -> None:
        self._whole += 1
        rows = [self._row(row) for row in _rows(one)]
        self._whole -= 1
        if any(isinstance(b, Grid) for row in rows for cell in row for b in cell):
            found.extend(b for row in rows for cell in row for b in cell)  # it only places other tables
            return
        texts = squared([[flat(cell) for cell in row] for row in rows])
        full = [c for row in texts for c in row if words_of(c)]
        if (len(full) == 1 and len(rows) == 1) or is_notice(full):
            found.append(Para(tuple(p for c in full for p in (*c, Piece(" "))), framed=True))
        elif texts and len(texts[0]) == 1:  # one column is text in a frame
            found.extend(Para(row[0]) for row in texts)
        elif texts:
            found.append(Grid(texts))

    def _row(self, row: Element) -> list[list[Block]]:
        """The cells of a row, each as blocks; what a cell spans beyond its own place is blank."""
        cells: list[list[Block]] = [[]] * min(number(val(child(row, "trPr", "gridBefore"))) or 0, _MOST_SPAN)
        for cell in _cells(row):
            inside = self.blocks(cell)
            merged = child(cell, "tcPr", "vMerge")
            if merged is not None and (val(merged) or "continue") == "continue":
                inside = []
            wide = number(val(child(cell, "tcPr", "gridSpan"))) or 1
            cells.extend([inside, *[[]] * (min(wide, _MOST_SPAN) - 1)])
        return cells


def page_fields(items: Sequence[Item], folio: str) -> Text:
    """The pieces of a running line, the page number put in its place."""
    found: list[Piece] = []
    for item in items:
        if isinstance(item, PageField):
            found.append(Piece(folio, bool(item.look.bold), item.look.size or 10.0))
        elif isinstance(item, Piece):
            found.append(item)
    return tuple(found)


def _parts(root: Element, depth: int = 0) -> Iterator[Element]:
    """Paragraphs and tables, also those that stand in content controls."""
    for part in root:
        if name(part) in _WITHIN and depth < 30:
            yield from _parts(part, depth + 1)
        else:
            yield part


def _rows(table: Element) -> Iterator[Element]:
    """The rows of a table that are neither deleted nor hidden."""
    for part in _parts(table):
        if name(part) == "tr" and not any(child(part, "trPr", s) is not None for s in ("del", "hidden")):
            yield part


def _cells(row: Element) -> Iterator[Element]:
    return (c for c in _parts(row) if name(c) == "tc")


def _is_hidden(paragraph: Element) -> bool:
    return child(paragraph, "pPr", "rPr", "vanish") is not None


def sections_of(body: Element) -> list[Element]:
    """The properties of each section, in order."""
    return [s for s in below(body, "sectPr") if name(s.getparent()) != "sectPrChange"]
