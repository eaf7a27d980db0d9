"""Heads and feet of a Word file's sheets, with printed page numbers where they can be told."""

import re
from collections.abc import Callable, Sequence
from typing import Any

from benchleaf.ingest.papers.blocks import Piece, Text, words_of
from benchleaf.ingest.papers.counting import decimal, repeated, roman
from benchleaf.ingest.papers.setting import Running
from benchleaf.ingest.papers.wordbody import page_fields
from benchleaf.ingest.papers.wordruns import PageField, Runs, TextBox
from benchleaf.ingest.papers.wordxml import Element, below, child, name, number, val

_PAGES = re.compile(rb"<(?:[A-Za-z]{1,9}:)?Pages>([0-9]{1,6})</")
_FORMS: dict[str, Callable[[int], str]] = {
    "lowerRoman": roman,
    "upperRoman": lambda n: roman(n).upper(),
    "lowerLetter": repeated,
    "upperLetter": lambda n: repeated(n).upper(),
}
_Lines = list[list[Any]]


def printed_pages(document: Any) -> int | None:
    """How many pages the file had when it was last saved, by its own properties."""
    for part in document.part.package.iter_parts():
        if str(part.partname) == "/docProps/app.xml":
            found = _PAGES.search(part.blob)
            return int(found[1]) if found else None
    return None


class RunningLines:
    """Reads the heads and feet of the sections."""

    def __init__(self, document: Any, runs: Runs, sections: Sequence[Element]) -> None:
        self._sections = list(document.sections)
        self._properties = sections
        self._runs = runs
        self._even = bool(document.settings.odd_and_even_pages_header_footer)
        self._kept: dict[tuple[int, str], _Lines] = {}
        self.wants_numbers = False

    def of(self, of_sheet: Sequence[int], numbered: bool) -> tuple[Running, ...]:
        """The head and foot of each sheet. Page numbers are put in if `numbered`, else left out."""
        found: list[Running] = []
        count = 0
        for at, section in enumerate(of_sheet):
            begins = at == 0 or of_sheet[at - 1] != section
            start = number(val(child(self._properties[section], "pgNumType"), "start")) if begins else None
            count = start if start is not None else count + 1
            form = val(child(self._properties[section], "pgNumType"), "fmt") or ""
            folio = _FORMS.get(form, decimal)(count) if numbered else ""
            head, foot = (self._text(section, k, begins, count, folio) for k in ("header", "footer"))
            found.append(Running(head, foot))
        return tuple(found)

    def _text(self, section: int, kind: str, begins: bool, count: int, folio: str) -> Text:
        one = self._sections[section]
        which = kind
        if begins and one.different_first_page_header_footer:
            which = f"first_page_{kind}"
        elif self._even and count % 2 == 0:
            which = f"even_page_{kind}"
        lines = [page_fields(line, folio) for line in self._lines(section, which)]
        full = [line for line in lines if words_of(line)]
        return tuple(p for i, line in enumerate(full) for p in ((Piece("\n"), *line) if i else line))

    def _lines(self, section: int, which: str) -> _Lines:
        if (section, which) not in self._kept:
            part = getattr(self._sections[section], which)
            lines = _items(part._element, self._runs)  # python-docx has no public way to a head's XML
            self._kept[section, which] = lines
            self.wants_numbers = self.wants_numbers or any(
                isinstance(i, PageField) for ln in lines for i in ln
            )
        return self._kept[section, which]


def _items(root: Element, runs: Runs) -> _Lines:
    """The lines of a head or foot: paragraphs, and rows of tables with tabs between the cells."""
    lines: _Lines = []
    for row in [c for c in root.iter() if name(c) in ("p", "tr")]:
        around = {name(a) for a in row.iterancestors()}
        if around & {"txbxContent", "Fallback"} or (name(row) == "p" and "tr" in around):
            continue
        paragraphs = [row] if name(row) == "p" else list(below(row, "p"))
        line: list[Any] = []
        for paragraph in paragraphs:
            items = runs.of(paragraph)
            line.extend([Piece("\t"), *items] if line else items)
        lines.append(line)
        boxes = [b.content for b in line if isinstance(b, TextBox)]
        lines.extend(runs.of(p) for box in boxes for p in below(box, "p"))
    return lines
