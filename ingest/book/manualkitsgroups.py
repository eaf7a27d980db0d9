"""Contents of kits from rows that a kit's own row heads: its number and name, then its parts.

The rows are told by what stands in them, not by the words over them: a part's row holds a name and a count, a
kit's row its number, its name and no count. Common practice of parts books, no source.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from benchleaf.graph.model import Box, Contents, KitLine
from benchleaf.ingest.book.manualkitslists import CALLED, Place, around
from benchleaf.ingest.book.partslists import stretches
from benchleaf.ingest.phrases.cells import count_of
from benchleaf.ingest.phrases.contents import singular
from benchleaf.ingest.shapes import LaidPage, Line

_CODE = re.compile(r"(?=[^\n]{0,20}[0-9][^\n]{0,3}[0-9])[0-9A-Z][0-9A-Za-z./-]{3,20}(?: [0-9]{2,4}){0,3}")
_ITEM = re.compile(r"[0-9]{1,3}[a-z]?[.)]?")
_COUNT = re.compile(r"[0-9]{1,3}(?: ?(?:off|pcs?\.?|x))?", re.IGNORECASE)
_REQUIRED = re.compile(r"a/?r\.?|as req(?:uired|'d|d)?\.?|as (?:necessary|needed)", re.IGNORECASE)
_LABEL = re.compile(r"^(?:(?:kit|set)\b[ :]{0,2})?(?:(?:no|number|nr)\b\.?[ :]{0,2})?", re.IGNORECASE)
_NAMED = re.compile(r"[A-Za-z]{2}")
_KIT_HEAD = re.compile(r"\b(?:kits?|sets?)\b", re.IGNORECASE)
_COUNT_HEAD = re.compile(
    r"\b(?:qty|quantity|no\.? off|off|pcs|pieces|number|in kit|in set|per kit|per set)\b", re.IGNORECASE
)
_OF_UNIT = re.compile(
    r"\bper (?:unit|assy|assembly|machine|gearbox|pump|brake|clutch)\b|\bunits? per\b", re.IGNORECASE
)
_IN_KIT = re.compile(r"(?:\bin|\bper|/|\bof) ?(?:the )?(?:kit|set)\b", re.IGNORECASE)
_SIGN = re.compile(r"[*†‡§#]")
_GOES_ON = re.compile(r"[a-z(]")
_OTHER = re.compile(r"\b(?:not|optional|without|loose|only|from serial|up to|except)\b", re.IGNORECASE)
_GAP = 2.2  # line heights of free room that end a table
_SHIFT = 30.0  # points by which a count may stand off the column of the counts above it
_UNHEADED = "no heading says that the rows below the kit's number are its contents"
_MIXED = "rows of no kit stand in the same list: which belong to the kit is not sure"
_UNREAD = "a line among the rows was not understood: “{}”"
_PER_UNIT = "the heading counts the parts for a unit, not for a kit: “{}”"
_OVERLEAF = "the list ends at the foot of a page and may go on overleaf"
_LIMITED = "words among the rows may limit the contents: “{}”"


@dataclass(frozen=True, slots=True)
class _Row:
    """One printed row: the kit that it opens, or a part's number, name and count."""

    line: Line
    kit: str = ""
    name: str = ""
    part: str | None = None
    count: int | None = None
    at: float = 0.0  # where the count stands
    is_part: bool = False


@dataclass(slots=True)
class _Group:
    kit: str
    rows: list[_Row] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    why: list[str] = field(default_factory=list)


def grouped_kits(place: Place, follower: LaidPage | None) -> Iterator[Contents]:
    """The kits of a sheet whose rows follow the kit's own; `follower` is the next sheet."""
    for heads, rows, doubts in _stretches(place.page.lines):
        groups = _groups(heads, rows, doubts)
        for group in groups:
            last = group is groups[-1] and rows[-1].line is place.page.lines[-1]
            if last and follower is not None and _opens_with_part(follower, heads):
                group.why.append(_OVERLEAF)
            if group.rows:
                lines = [KitLine(r.part, singular(r.name.strip(" .-•–")), r.count) for r in group.rows]
                yield place.contents(group.kit, lines, around(group.boxes), " / ".join(group.said), group.why)


def _stretches(lines: Sequence[Line]) -> Iterator[tuple[str, list[_Row], list[str]]]:
    """Rows that stand close together below each other, with the words of the heading row over them."""
    at = 0
    while at < len(lines):
        if not _is_head(lines[at]):
            at += 1
            continue
        heads = lines[at].text
        kit_first = bool(heads) and _KIT_HEAD.search(_cells(lines[at])[0]) is not None
        rows: list[_Row] = []
        for n in range(at + 1, len(lines)):
            if not _follows(lines[n], lines[n - 1]):
                break
            rows.append(_row(lines[n], kit_first))
        if heads and any(r.kit for r in rows) and any(r.is_part for r in rows):
            yield heads, rows, _doubts(_cells(lines[at]), lines[max(0, at - 2) : at], rows)
            at += 1 + len(rows)
        else:
            at += 1


def _follows(line: Line, above: Line) -> bool:
    free = line.box.top - above.box.bottom
    return line.column == above.column and -1 <= free + 1 <= _GAP * max(line.size, 1.0)


def _cells(line: Line) -> list[str]:
    return [" ".join(w.text for w in words) for words in stretches(line)]


def _is_head(line: Line) -> bool:
    """A row of column headings: three or more short ones, one of which speaks of kits or counts."""
    cells = _cells(line)
    if len(cells) < 3 or any(len(c) > 30 or _CODE.fullmatch(c) or _COUNT.fullmatch(c) for c in cells):
        return False
    return any(_KIT_HEAD.search(c) or _COUNT_HEAD.search(c) for c in cells)


def _row(line: Line, kit_first: bool) -> _Row:
    found = stretches(line)
    cells = _cells(line)
    counts = [i for i, c in enumerate(cells) if _COUNT.fullmatch(c) or _REQUIRED.fullmatch(c)]
    codes = [i for i, c in enumerate(cells) if _CODE.fullmatch(c) and not _COUNT.fullmatch(c)]
    names = [i for i, c in enumerate(cells) if i not in counts and i not in codes and _NAMED.search(c)]
    if len(counts) == 2 and counts[0] == 0 and _ITEM.fullmatch(cells[0]):
        counts = counts[1:]  # the first is the item's number
    if not counts:
        return _kit_row(line, cells, codes)
    if len(counts) != 1 or len(names) != 1 or len(codes) > 2:
        return _Row(line)
    if len(codes) == 2 and not (kit_first and codes[0] == 0):
        return _Row(line)
    kit = cells[codes[0]] if len(codes) == 2 else ""
    place = found[counts[0]][0].box.x0
    part = cells[codes[-1]] if codes else None
    return _Row(line, kit, cells[names[0]], part, count_of(cells[counts[0]]), place, is_part=True)


def _kit_row(line: Line, cells: Sequence[str], codes: Sequence[int]) -> _Row:
    """ "4471-208 | Clutch repair kit", "Kit 4471-208 Clutch"; a row of words alone has no kit."""
    words = " ".join(cells)
    if len(codes) == 1 and codes[0] == 0 and len(cells) == 2 and CALLED.search(cells[1]):
        return _Row(line, kit=cells[0], name=cells[1])
    label = _LABEL.match(words)
    plain = words[label.end() :] if label else words
    number = re.match(r"[0-9A-Z][0-9A-Za-z./-]{3,20}(?=[ ,:]|$)", plain)
    if number and _CODE.fullmatch(number.group()) and CALLED.search(words) and len(words) < 80:
        return _Row(line, kit=number.group(), name=plain[number.end() :].strip(" ,:–-"))
    return _Row(line, name=words)


def _doubts(heads: Sequence[str], above: Sequence[Line], rows: Sequence[_Row]) -> list[str]:
    """What the heading row and the words above it leave unsure for every kit below."""
    said = " ".join(line.text for line in above)
    kits = [r.line.box.x0 for r in rows if r.kit and not r.is_part]
    parts = [r.line.box.x0 for r in rows if r.is_part]
    set_in = bool(kits) and min(parts) > max(kits) + 10
    told = _KIT_HEAD.search(heads[0]) or any(_IN_KIT.search(h) for h in heads) or CALLED.search(said)
    why = [] if told or set_in else [_UNHEADED]
    per = next((h for h in heads if _OF_UNIT.search(h)), None)
    why.extend([_PER_UNIT.format(per)] if per else [])
    limit = _OTHER.search(said) if CALLED.search(said) else None
    why.extend([_LIMITED.format(limit.group())] if limit else [])
    return why


def _groups(heads: str, rows: Sequence[_Row], doubts: Sequence[str]) -> list[_Group]:
    """The rows by the kit that heads them. What is not understood makes the kit above it doubtful."""
    groups: list[_Group] = []
    common = list(doubts)
    ended = False
    for row in rows:
        if row.kit and (not groups or row.kit != groups[-1].kit or not row.is_part):
            groups.append(_Group(row.kit))
            ended = False
            groups[-1].why.extend(common)
        if not groups:
            common.append(_MIXED)
            continue
        if ended:
            if row.is_part:
                groups[-1].why.append(_MIXED)
            continue
        group = groups[-1]
        _take(group, row)
        ended = not row.is_part and not row.kit and not _joins(group, row)
    return groups


def _take(group: _Group, row: _Row) -> None:
    group.boxes.append(row.line.box)
    group.said.append(row.line.text)
    if row.is_part:
        if group.rows and abs(group.rows[-1].at - row.at) > _SHIFT:
            group.why.append(_UNREAD.format(row.line.text))
        if sign := _SIGN.search(row.line.text):
            group.why.append(_LIMITED.format(sign.group()))
        group.rows.append(row)
    elif row.kit:
        return
    elif _joins(group, row):
        above = group.rows[-1]
        group.rows[-1] = _Row(
            above.line, "", f"{above.name} {row.name}", above.part, above.count, above.at, is_part=True
        )
    else:
        group.boxes.pop()
        group.said.pop()
        limit = _OTHER.search(row.line.text)
        group.why.append((_LIMITED if limit else _UNREAD).format(row.line.text))


def _joins(group: _Group, row: _Row) -> bool:
    """The rest of a name that was broken off: words alone that begin in the middle."""
    return bool(group.rows and row.name and _GOES_ON.match(row.name) and len(row.name) < 50)


def _opens_with_part(page: LaidPage, heads: str) -> bool:
    """True if the first row of a sheet, below titles and the same heading row, is a part's."""
    for line in page.lines[:6]:
        if line.text == heads or len(stretches(line)) < 2:
            continue
        return _row(line, kit_first=False).is_part
    return False
