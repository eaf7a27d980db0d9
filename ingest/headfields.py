"""Labelled fields at a note's head: `Date: 4 June 1998`, a label cell with its value beside or below it."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from benchleaf.ingest.dates import find_dates
from benchleaf.ingest.fields import FieldBook, LabelHit
from benchleaf.ingest.models import NAMING
from benchleaf.ingest.notenumbers import read_number
from benchleaf.ingest.notetitles import is_kind_only, read_title
from benchleaf.ingest.segments import Row, Segment
from benchleaf.ingest.units import read_applies, unread_words

UNIT_FIELDS = ("models", "serials", "built", "kits")


@dataclass(frozen=True, slots=True)
class Piece:
    """A span of a segment's text."""

    segment: Segment
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Value:
    """A field as found: which, under what label, its words, and the pieces they came from.

    `sure` is True where a colon or a cell of its own makes the label certain. `row` counts from the top."""

    field: str
    label: str
    text: str
    pieces: tuple[Piece, ...]
    sure: bool
    row: int


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


def read_fields(rows: Sequence[Row], book: FieldBook) -> tuple[Value, ...]:
    """Every labelled field of the rows, in reading order, with values cut where the next label begins."""
    found: list[Value] = []
    taken: set[int] = set()  # ids of segments that served as another label's value
    for at, row in enumerate(rows):
        for place, segment in enumerate(row.segments):
            if id(segment) in taken:
                continue
            whole = book.field_of(segment.text)
            if whole is not None:
                value = _neighbour(rows, at, place, whole, book)
                if value is not None:
                    taken |= {id(p.segment) for p in value.pieces[1:]}
                    found.append(value)
            else:
                found += _inline(rows, at, place, book)
    return tuple(found)


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
        if text.strip() and (hit.colon or (bare and _bare_label_holds(hit, text, segment, rows, at, book))):
            yield Value(hit.field, hit.label, _bare(_with_type(hit, segment.text, text)), pieces, hit.colon, at)


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


def _bare_label_holds(
    hit: LabelHit, text: str, segment: Segment, rows: Sequence[Row], at: int, book: FieldBook
) -> bool:
    """Without a colon a label counts only if what follows reads as just that field."""
    if hit.field in ("number", "number_weak"):
        number = read_number(text, labelled=hit.field == "number")
        return number is not None and not number.rest
    if hit.field in ("date", "date_other"):
        return _only_date(text)
    if hit.field in UNIT_FIELDS:
        return _only_units(hit, text) and not (is_kind_only(segment.text) or read_title(segment.text))
    if hit.field == "revision":
        return re.fullmatch(r"\s?[A-Z0-9.]{1,4}", text) is not None
    if hit.field == "supersedes":
        number = read_number(text, labelled=hit.field == "number")
        return number is not None and len(number.rest.split()) <= 4
    set_off = segment.table is not None or _set_off(hit, segment)
    return hit.field in ("subject", "issuer") and (set_off or _among_labels(hit, rows, at, book))


def _among_labels(hit: LabelHit, rows: Sequence[Row], at: int, book: FieldBook) -> bool:
    """True for `Subject Revised torque` right above or below `Date 4 June 2009`, both without a colon."""
    for row in (*rows[max(0, at - 1) : at], *rows[at + 1 : at + 2]):
        for other in book.hits(row.segments[0].text)[:1]:
            text = row.segments[0].text[other.end :]
            sure = other.start == 0 and other.field in ("number", "number_weak", "date")
            if sure and _bare_label_holds(other, text, row.segments[0], (), 0, book):
                return (
                    hit.label not in ("de", "von", "about", "title")
                    and rows[at].segments[0].text[:1].isupper()
                )
    return False


def _only_date(text: str) -> bool:
    days = find_dates(text[:60])
    return bool(days) and len((text[: days[0].span[0]] + text[days[0].span[1] :]).strip(" .,()")) < 4


_PLAIN_LABELS = ("model", "models", "type", "types")
"""Labels behind which a name without a figure (`Orion`) is a model even without a colon."""


def _only_units(hit: LabelHit, text: str) -> bool:
    """True if the words after a label without colon are nothing but models and bounds."""
    read = read_applies(text, "serials" if hit.field == "serials" else "applies")
    plural = hit.label in _PLAIN_LABELS or " " in hit.label
    some = read is not None and bool(
        any(plural or re.search("[0-9]", m) for m in read.models)
        or (read.serial_from or read.serial_to or read.built_from or read.built_to)
    )
    return some and len(unread_words(text)) == 0


def _set_off(hit: LabelHit, segment: Segment) -> bool:
    """True if the label is printed bold and its value is not."""
    label, value = segment.words_in(0, hit.end), segment.words_in(hit.end + 1, len(segment.text))
    return bool(label and value) and all(w.bold for w in label) and not any(w.bold for w in value)


def _neighbour(rows: Sequence[Row], at: int, place: int, hit: LabelHit, book: FieldBook) -> Value | None:
    """The value of a label that stands alone: to its right, or else below it."""
    segment = rows[at].segments[place]
    label = Piece(segment, hit.start, len(segment.text))
    sure = hit.colon or segment.table is not None
    right = rows[at].segments[place + 1 : place + 2]
    if (
        right
        and not _is_label(right[0], book)
        and _same_table(segment, right[0])
        and _suits(hit, right[0].text, sure)
    ):
        text, more = _wrapped(rows, at, right[0], hit, right[0].text, book, segment)
        sure = sure or right[0].text.startswith(":")
        return Value(hit.field, hit.label, _bare(text), (label, _all(right[0]), *more), sure, at)
    below = _below(rows, at, segment, book)
    if (
        below is not None
        and _suits(hit, below.text, sure)
        and (sure or segment.bold or segment.table is not None or _heads_units(hit, below))
    ):
        row = next(i for i, r in enumerate(rows) if any(s is below for s in r.segments))
        text, more = _listed(rows, row, below, hit, book) if segment.table is None else (below.text, ())
        return Value(hit.field, hit.label, text.strip(" ;-–•*"), (label, _all(below), *more), sure, at)
    return None


def _bare(text: str) -> str:
    """A value without the marks that part it from its label and its neighbours."""
    return text.strip(" ;,").lstrip(": ")


def _heads_units(hit: LabelHit, below: Segment) -> bool:
    """`Models affected` alone on a line heads the list under it even in plain type."""
    return hit.field in UNIT_FIELDS and " " in hit.label and _only_units(hit, below.text.lstrip("-–•* "))


def _same_table(label: Segment, value: Segment) -> bool:
    return label.table == value.table


def _is_label(segment: Segment, book: FieldBook) -> bool:
    if book.field_of(segment.text) is not None:
        return True
    hits = book.hits(segment.text)
    return bool(hits) and hits[0].start == 0 and hits[0].colon


def _suits(hit: LabelHit, text: str, sure: bool) -> bool:
    """True if a neighbouring text can be the value of the label."""
    if hit.field in ("number", "number_weak"):
        number = read_number(text, labelled=hit.field == "number")
        return number is not None and len(number.rest.split()) <= 6
    if hit.field in ("date", "date_other"):
        return _only_date(text) or (sure and bool(find_dates(text[:40])))
    if hit.field in UNIT_FIELDS:
        return (
            read_applies(text, "serials" if hit.field == "serials" else "applies") is not None
            and len(text) < 600
        )
    if hit.field == "revision":
        return len(text) <= 12
    return len(text) <= 200 and (sure or hit.field == "subject")


def _below(rows: Sequence[Row], at: int, label: Segment, book: FieldBook) -> Segment | None:
    """The segment right under a label, in its column."""
    for row in rows[at + 1 : at + 3]:
        for segment in row.segments:
            over = min(label.box.x1, segment.box.x1) - max(label.box.x0, segment.box.x0)
            near = segment.box.top - label.box.bottom < 2.2 * label.size or label.table is not None
            if over > 0 and near and _same_table(label, segment):
                return None if _is_label(segment, book) else segment
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
        if len(row.segments) != 1 or _is_label(line, book) or not _only_units(hit, line.text.lstrip("-–•* ")):
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
        if line is None or line.table is not None or any(_is_label(s, book) for s in _up_to(row, line)):
            break
        near = line.box.top - above.box.bottom <= 0.9 * above.size
        if not near or not _runs_on(text, line, label or segment, starts, hit):
            break
        text = text.rstrip() + _glue(text, line, hit) + line.text
        pieces.append(_all(line))
        above = line
        if text.rstrip().endswith("."):
            break
    return text, tuple(pieces)


def _up_to(row: Row, segment: Segment) -> tuple[Segment, ...]:
    return tuple(s for s in row.segments if s.box.x0 <= segment.box.x0)


def _runs_on(text: str, line: Segment, first: Segment, starts: float | None, hit: LabelHit) -> bool:
    hung = starts is not None and abs(line.box.x0 - starts) < 6.0 and line.box.x0 > first.box.x0 + 12.0
    if _OPEN_END.search(text.rstrip()) or hung:
        return True
    if hit.field in ("serials", "models") and re.match(
        r"(?:and|to|from|through|thru|up to|with|serial|s/n|on\b|inclusive|except)", line.text
    ):
        return True
    return (
        hit.field == "models"
        and starts is not None
        and _only_units(hit, line.text)
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


def labels_in(texts: Iterable[str], book: FieldBook) -> list[str]:
    """The fields that cells name, as whole cells or as a label with its value behind it."""
    found: list[str] = []
    for text in texts:
        whole = book.field_of(text)
        hits = (whole,) if whole else book.hits(text)
        found += [h.field for h in hits if h.colon or whole or _cell_holds(h, text)]
    return found


def _cell_holds(hit: LabelHit, text: str) -> bool:
    rest = text[hit.end :]
    if hit.field in ("number", "number_weak"):
        number = read_number(rest)
        return number is not None and not number.rest
    return hit.field == "date" and _only_date(rest)
