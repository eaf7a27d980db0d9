"""Labelled fields at a note's head: `Date: 4 June 1998`, a label cell with its value beside or below it."""

import re
from collections.abc import Iterator, Sequence

from benchleaf.ingest.head.fields import FieldBook, LabelHit
from benchleaf.ingest.head.headlabels import (
    UNIT_FIELDS,
    Piece,
    Value,
    bare_label_holds,
    is_label,
    only_units,
    suits,
)
from benchleaf.ingest.head.linegaps import goes_on
from benchleaf.ingest.head.models import NAMING
from benchleaf.ingest.head.segments import Row, Segment

_ABBREVIATED = re.compile(
    r"(?:\b(?:no|nos|nr|ser|incl|approx|s/n|mod|p|st|resp|rev|dept|dr|mr|jan|feb|mar|apr|jun|jul|aug"
    r"|sept?|oct|nov|dec)|(?:^|\s)[A-Z])\.$",
    re.IGNORECASE,
)


_HEAD_ROWS = 40  # below so many rows a label without a colon is no field


_SENTENCE_END = re.compile(r"\.\s+(?=[A-Z][A-Za-z]{0,20}\s)")


_OPEN_END = re.compile(
    r"(?:[,&/–—(-]|\b(?:and|or|to|from|through|thru|up|including|serial|numbers?|nos?\.?|s/n|the|of|for"
    r"|with|except|prior|until|und|bis|ab|et|units|model|type))$",
    re.IGNORECASE,
)


# Words that look broken off and are not: "All serial numbers" needs nothing behind it, nor "61001 and up".
_COMPLETE = re.compile(
    r"\b(?:all|any|every) (?:[a-z]+ )?(?:numbers?|nos?\.?|units?|models?)$"
    r"|[0-9][0-9A-Z-]{0,24}+,? (?:and|&|or) up$",
    re.IGNORECASE,
)


def read_fields(rows: Sequence[Row], book: FieldBook) -> tuple[Value, ...]:
    """Every labelled field of the rows, in reading order, with values cut where the next label begins."""
    found: list[Value] = []
    taken: set[int] = set()  # ids of segments that served as another label's value
    for at, row in enumerate(rows):
        for place, segment in enumerate(row.segments):
            if id(segment) in taken:
                continue
            whole = book.field_of(segment.text)
            if whole is not None and _is_value(rows, at, place, whole, book):
                continue
            if whole is not None:
                value = _neighbour(rows, at, place, whole, book)
                if value is not None:
                    taken |= {id(p.segment) for p in value.pieces[1:]}
                    found.append(value)
            else:
                found += _inline(rows, at, place, book)
    return tuple(found)


def _is_value(rows: Sequence[Row], at: int, place: int, hit: LabelHit, book: FieldBook) -> bool:
    """True for `Clutch` behind `Group`: a word that may be a label, at the end of its row, behind one that
    has no value below it."""
    left = rows[at].segments[place - 1 : place]
    if hit.colon or not left or place + 1 < len(rows[at].segments) or not is_label(left[0], book):
        return False
    return _same_table(left[0], rows[at].segments[place]) and _below(rows, at, left[0], book) is None


def _inline(rows: Sequence[Row], at: int, place: int, book: FieldBook) -> Iterator[Value]:
    """Fields whose label and value stand in one segment."""
    segment = rows[at].segments[place]
    hits = book.hits(segment.text)
    for hit, following in zip(hits, (*hits[1:], None), strict=False):
        end = following.start if following else len(segment.text)
        end = _cut(segment.text, hit, end)
        text = segment.text[hit.end : end]
        if not text.strip(" .;,–-") and hit.colon and following is None:
            value = _neighbour(rows, at, place, hit, book)
            if value is not None:
                yield value
            continue
        pieces: tuple[Piece, ...] = (Piece(segment, hit.start, end),)
        if following is None and end == len(segment.text):
            more = _wrapped(rows, at, segment, hit, text, book)
            text, pieces = more[0], (*pieces, *more[1])
        bare = not hit.colon and at < _HEAD_ROWS
        if text.strip() and (hit.colon or (bare and bare_label_holds(hit, text, segment, rows, at, book))):
            yield Value(
                hit.field, hit.label, _bare(_with_type(hit, segment.text, text)), pieces, hit.colon, at
            )


def _with_type(hit: LabelHit, printed: str, text: str) -> str:
    """The value with the label's last word where that may belong to a name: `Unit Type 40, Type 42`."""
    last = printed[: hit.end].split()[-1:]
    bare = hit.field in UNIT_FIELDS and not hit.colon
    return f"{last[0]} {text.strip()}" if bare and last and last[0] in NAMING else text


def _cut(text: str, hit: LabelHit, end: int) -> int:
    """A value ends with its sentence; what follows belongs to the body."""
    if hit.field not in (*UNIT_FIELDS, "subject", "supersedes"):
        return end
    for m in _SENTENCE_END.finditer(text, hit.end, end):
        if not _ABBREVIATED.search(text[max(0, m.start() - 8) : m.start() + 1]):
            return m.start() + 1
    return end


def _neighbour(rows: Sequence[Row], at: int, place: int, hit: LabelHit, book: FieldBook) -> Value | None:
    """The value of a label that stands alone: to its right, or else below it."""
    segment = rows[at].segments[place]
    label = Piece(segment, hit.start, len(segment.text))
    sure = hit.colon or segment.table is not None
    right = rows[at].segments[place + 1 : place + 2]
    if (
        right
        and not is_label(right[0], book)
        and _same_table(segment, right[0])
        and suits(hit, right[0].text, sure)
    ):
        text, more = _wrapped(rows, at, right[0], hit, right[0].text, book, segment)
        sure = sure or right[0].text.startswith(":")
        return Value(hit.field, hit.label, _bare(text), (label, _all(right[0]), *more), sure, at)
    below = _below(rows, at, segment, book)
    if (
        below is not None
        and suits(hit, below.text, sure)
        and (
            sure
            or segment.bold
            or segment.table is not None
            or _heads_units(hit, below)
            or _small_above(segment, below)
        )
    ):
        row = next(i for i, r in enumerate(rows) if any(s is below for s in r.segments))
        text, more = _listed(rows, row, below, hit, book) if segment.table is None else (below.text, ())
        return Value(hit.field, hit.label, text.strip(" ;-–•*"), (label, _all(below), *more), sure, at)
    return None


def _bare(text: str) -> str:
    """A value without the marks that part it from its label and its neighbours."""
    return text.strip(" ;,").lstrip(": ")


def _small_above(label: Segment, value: Segment) -> bool:
    """True for a label in small type right above its value, as forms have it."""
    return label.size <= 0.85 * value.size and abs(label.box.x0 - value.box.x0) < 4.0


def _heads_units(hit: LabelHit, below: Segment) -> bool:
    """`Models affected` alone on a line heads the list under it even in plain type."""
    return hit.field in UNIT_FIELDS and " " in hit.label and only_units(hit, below.text.lstrip("-–•* "))


def _same_table(label: Segment, value: Segment) -> bool:
    return label.table == value.table


def _below(rows: Sequence[Row], at: int, label: Segment, book: FieldBook) -> Segment | None:
    """The segment right under a label, in its column."""
    for row in rows[at + 1 : at + 3]:
        for segment in row.segments:
            over = min(label.box.x1, segment.box.x1) - max(label.box.x0, segment.box.x0)
            near = segment.box.top - label.box.bottom < 2.2 * label.size or label.table is not None
            if over > 0 and near and _same_table(label, segment):
                return None if is_label(segment, book) else segment
    return None


def _listed(
    rows: Sequence[Row], at: int, first: Segment, hit: LabelHit, book: FieldBook
) -> tuple[str, tuple[Piece, ...]]:
    """Lines of a list under a heading such as `Models affected`, as long as they name units only."""
    text, more = _wrapped(rows, at, first, hit, first.text, book)
    pieces = list(more)
    if hit.field not in UNIT_FIELDS:
        return text, tuple(pieces)
    for row in rows[at + 1 + len(pieces) : at + 21]:
        line = row.segments[0]
        if len(row.segments) != 1 or is_label(line, book) or not only_units(hit, line.text.lstrip("-–•* ")):
            break
        text += "; " + line.text.lstrip("-–•* ")
        pieces.append(_all(line))
    return text, tuple(pieces)


def _wrapped(
    rows: Sequence[Row],
    at: int,
    segment: Segment,
    hit: LabelHit,
    text: str,
    book: FieldBook,
    label: Segment | None = None,
) -> tuple[str, tuple[Piece, ...]]:
    """The value with the lines it runs on to: it stops midway, or the next line is indented under it."""
    pieces: list[Piece] = []
    if segment.table is not None or hit.field not in (*UNIT_FIELDS, "subject", "supersedes", "issuer"):
        return text, ()
    above = segment
    starts = segment.box.x0 if label else _value_start(segment, hit)
    for row in rows[at + 1 : at + 6]:
        line = next(
            (s for s in row.segments if s.box.x0 < segment.box.x1 and s.box.x1 > segment.box.x0), None
        )
        if line is None or line.table is not None or any(is_label(s, book) for s in _up_to(row, line)):
            break
        hung = _hangs(line, label or segment, starts)
        if not goes_on(rows, above, line, hung) or not (hung or _runs_on(text, line, starts, hit)):
            break
        text = text.rstrip() + _glue(text, line, hit) + line.text
        pieces.append(_all(line))
        above = line
        if text.rstrip().endswith("."):
            break
    return text, tuple(pieces)


def _up_to(row: Row, segment: Segment) -> tuple[Segment, ...]:
    return tuple(s for s in row.segments if s.box.x0 <= segment.box.x0)


def _hangs(line: Segment, first: Segment, starts: float | None) -> bool:
    """True for a line that stands under the value and not under its label."""
    return starts is not None and abs(line.box.x0 - starts) < 6.0 and line.box.x0 > first.box.x0 + 12.0


def _runs_on(text: str, line: Segment, starts: float | None, hit: LabelHit) -> bool:
    complete = _COMPLETE.search(text.rstrip()) is not None and line.text[:1].isupper()
    if _OPEN_END.search(text.rstrip()) and not complete:
        return True
    if hit.field in ("serials", "models") and re.match(
        r"(?:and|to|from|through|thru|up to|with|serial|s/n|on\b|inclusive|except)", line.text
    ):
        return True
    return (
        hit.field == "models"
        and starts is not None
        and only_units(hit, line.text)
        and text.rstrip().endswith(",")
    )


def _glue(text: str, line: Segment, hit: LabelHit) -> str:
    """What parts a value's lines: units that are complete in themselves are an entry each."""
    whole = hit.field in UNIT_FIELDS and not _OPEN_END.search(text.rstrip()) and not line.text[:1].islower()
    return "; " if whole and re.search(r"[0-9]", text) else " "


def _value_start(segment: Segment, hit: LabelHit) -> float | None:
    words = segment.words_in(hit.end, len(segment.text))
    return words[0].box.x0 if words else segment.box.x0


def _all(segment: Segment) -> Piece:
    return Piece(segment, 0, len(segment.text))
