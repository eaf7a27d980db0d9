"""Paragraphs: lines of a sheet that belong together, tables at their place."""

import itertools
import re
from collections.abc import Iterator, Sequence

from benchleaf.ingest.shapes import LaidPage, Line, Paragraph, Table, Word
from benchleaf.ingest.sheets.lines import label_words, mended, within
from benchleaf.ingest.sheets.words import bounds

_POINTS = ("-", "–", "—", "*", "o")
_SET_APART = 0.5  # ems between a list's dash and its words
_SAID = re.compile(r"[.:;!?][\"”“’)]{0,2}$")
_OPEN_END = re.compile(r" (?:to|from|of|the|a|an|and|or|by|with|than|is|are|be)$")
_FIELD = re.compile(r"[A-Z][A-Za-z0-9 ./&()'-]{1,30}:(?: |$)")
_UNIT = re.compile(
    r"(?:[mcµk]?m|in|ft|N·?m|kN|N|[kM]?Pa|m?bar|psi|lbf?|kgf?|g|°[CF]?|%|r/min|rpm|[lL]|litres?"
    r"|hours?|minutes?|min|s|h|[kM]?W|hp|V|A"
    r"|mm²|cm³|times|turns?|teeth|discs|and|or|to|of|x|×)[.,;:)]?"
)
_FITTED = re.compile(r"[.:;!?)”\"'»]$")
_ABBREVIATED = re.compile(
    r"\b(?:figs?|nos?|approx|max|min|pp?|pos|ref|para|sect|chap|vol|ca|abb|bild|nr)\.$", re.IGNORECASE
)
_MARKS = "().[]:/-–"
_BULLETS = "•◦▪■□●○*·►>✓"
_INDENT = 0.8  # ems by which a line's start may differ within a paragraph
_LOOSER = 0.35  # ems of free height beyond the usual that end a paragraph
_COMMON = 0.2  # ems of free height between lines where a sheet shows too few to tell


def flow(page: LaidPage) -> tuple[Paragraph | Table, ...]:
    """The paragraphs and tables of a sheet in reading order; what stands in figures is left out."""
    found: list[Paragraph | Table] = []
    told: list[Table] = []
    held: list[Line] = []
    reach = 0.0
    edges = _edges(page.lines)
    usual = _usual_gap(page.lines, edges)
    for line in page.lines:
        table = next((t for t in page.tables if line.place == "table" and within(line.box, t.box, 2.0)), None)
        if line.place == "figure" or table is not None:
            found.extend(_paragraph(page, held))
            held = []
            if table is not None and not any(table is t for t in told):
                told.append(table)
                found.append(table)
            continue
        reach = max(line.box.x1, reach) if held else line.box.x1
        if held and not _goes_on(held, line, usual, edges.get(line.column, 0.0), reach):
            found.extend(_paragraph(page, held))
            held, reach = [], line.box.x1
        held.append(line)
    found.extend(_paragraph(page, held))
    found.extend(t for t in page.tables if not any(t is s for s in told))
    return tuple(found)


def _edges(lines: Sequence[Line]) -> dict[int, float]:
    """The right edge of each column's running text, in points."""
    found: dict[int, float] = {}
    for line in lines:
        if line.place == "text":
            found[line.column] = max(found.get(line.column, 0.0), line.box.x1)
    return found


def _fits(above: Line, line: Line, edge: float) -> bool:
    """True if a line's first word would have had room at the end of the line above."""
    word = line.words[0].box
    return above.box.x1 + 0.35 * line.size + (word.x1 - word.x0) < edge


def _usual_gap(lines: Sequence[Line], edges: dict[int, float]) -> float:
    """The free height between lines of one paragraph, in ems: seen where a full line goes on."""
    seen = []
    for above, line in itertools.pairwise(lines):
        size = line.size or 10.0
        near = (
            above.column == line.column
            and above.place == line.place == "text"
            and -0.5 < line.gap / size < 1.6
        )
        if near and not _fits(above, line, edges[line.column]) and abs(above.size - line.size) < 0.6:
            seen.append(line.gap / size)
    seen.sort()
    if len(seen) < 3:
        return min(seen[0], _COMMON) if seen else _COMMON
    return seen[len(seen) // 4]


def _goes_on(held: Sequence[Line], line: Line, usual: float, edge: float, reach: float) -> bool:
    """True if a line goes on with the paragraph that the held lines began; `reach` is how far the widest of
    all these goes to the right."""
    above, size = held[-1], line.size or 10.0
    if line.place != above.place or line.frame != above.frame:
        return False
    if line.frame is not None:
        return True
    if line.column != above.column:
        return False
    if line.gap > (usual + _LOOSER) * size or line.gap < -size:
        return False
    if abs(above.size - line.size) > 0.6 or above.bold != line.bold:
        return False
    if (
        _dashed(above, line)
        or _labelled(held, line)
        or (_FIELD.match(line.text) and (_fits(above, line, edge) or _FIELD.match(held[0].text)))
    ):
        return False
    if _fits(above, line, reach - 0.2 * size) and not _runs_on(above, line, reach):
        return False
    return not _indented(held, line, size)


def _runs_on(above: Line, line: Line, reach: float) -> bool:
    """True where a typist broke a sentence early: a long line without a stop, and small letters below it."""
    if len(above.words) >= 4 and _OPEN_END.search(above.text):
        return True
    goes_on = line.text[:1].islower() or re.match(r"\.[0-9]", line.text) is not None
    long = len(above.words) >= 6 and above.box.x1 - above.box.x0 > 0.7 * (reach - above.box.x0)
    return goes_on and long and not _SAID.search(above.text)


def _dashed(above: Line, line: Line) -> bool:
    """True for a point of a list that begins with a dash set apart from its words, where a sentence ended."""
    if len(line.words) < 2 or line.words[0].text not in _POINTS:  # the dash and a word
        return False
    apart = line.words[1].box.x0 - line.words[0].box.x1
    return apart > _SET_APART * line.size and _SAID.search(above.text) is not None


def _labelled(held: Sequence[Line], line: Line) -> bool:
    """True if a line begins with a step's number, letter or bullet rather than with a number of the text."""
    count = label_words(line.words)
    if not count or count == len(line.words) or _UNIT.fullmatch(line.words[count].text):
        return False
    first, label = held[0], line.words[count - 1].text
    if label.startswith("0") and len(label) > 1:
        return False
    hangs, start = _text_start(first) - first.box.x0, line.box.x0
    slack = 0.4 * line.size
    if hangs > slack and start < first.box.x0 + slack and _hung(held, slack):
        return True
    told = held[-1].text
    if _next_number(first.words, label) and not _ABBREVIATED.search(told):
        return True
    if not (_FITTED.search(told) and not _ABBREVIATED.search(told)):
        return label[0] in _BULLETS
    return not label.isalnum() or line.words[count].box.x0 - line.words[count - 1].box.x1 > 0.8 * line.size


def _hung(held: Sequence[Line], slack: float) -> bool:
    """True if a paragraph's number is seen to hang: its second line starts under its first word."""
    return len(held) > 1 and abs(held[1].box.x0 - _text_start(held[0])) < slack


def _next_number(before: Sequence[Word], label: str) -> bool:
    """True if a label counts on from the one before a paragraph, its marks the same."""
    count = label_words(before)
    last = before[count - 1].text if count else ""
    mine, before_ = label.strip(_MARKS), last.strip(_MARKS)
    same = label.replace(mine, "") == last.replace(before_, "")
    return same and mine.isdecimal() and before_.isdecimal() and int(mine) == int(before_) + 1


def _text_start(line: Line) -> float:
    """Where a line's words begin, a step's number left aside."""
    count = label_words(line.words)
    return line.words[count].box.x0 if 0 < count < len(line.words) else line.box.x0


def _indented(held: Sequence[Line], line: Line, size: float) -> bool:
    """True if the line's start tells a new paragraph."""
    start, slack = line.box.x0, _INDENT * size
    if len(held) > 1:
        return abs(start - held[-1].box.x0) > slack
    first = held[0]
    if abs(start - first.box.x0) <= slack or abs(start - _text_start(first)) <= slack:
        return False
    return start > first.box.x0 or first.box.x0 - start > 3.5 * size


def _paragraph(page: LaidPage, lines: Sequence[Line]) -> Iterator[Paragraph]:
    if not lines:
        return
    words = [w for line in lines for w in line.words]
    yield Paragraph(
        text=mended(line.text for line in lines),
        box=bounds(line.box for line in lines),
        sheet=page.sheet,
        folio=page.folio,
        bold=all(line.bold for line in lines),
        size=max(line.size for line in lines),
        by_ocr=page.by_ocr,
        confidence=min(w.confidence for w in words),
    )
