"""Supersession lists as CSV: old number, new number, date, remarks, by the words of their column heads."""

import codecs
import csv
import datetime as dt
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import PurePath
from typing import TYPE_CHECKING, BinaryIO

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Finding, Note, Relation, Source, Standing, Supersession, Withdrawn
from benchleaf.ingest.head.dates import find_dates, order_of, read_date
from benchleaf.ingest.lists.listcells import Numbers, Remark, as_text, read_numbers, read_remark
from benchleaf.ingest.lists.listwords import ColumnKind, ListWords, packaged
from benchleaf.ingest.lookalikes import doubted

if TYPE_CHECKING:
    from typing_extensions import Buffer  # collections.abc has it from Python 3.12 on only

_SAMPLE = 65536
_HEAD_ROWS = 8
_DELIMITERS = (";", "\t", ",", "|")

Row = Supersession | Withdrawn | Finding


@dataclass(frozen=True, slots=True)
class ListReading:
    """A list as read: a note by the list's name that holds its rows, the rows, and what could not be read."""

    note: Note
    rows: tuple[Supersession | Withdrawn, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Form:
    """How a list is laid out: delimiter, the columns of each kind, the row of the heads (0-based)."""

    delimiter: str
    columns: dict[ColumnKind, tuple[int, ...]]
    head_row: int
    width: int
    heads: tuple[str, ...]
    date: dt.date | None = None
    day_first: bool | None = None


@dataclass
class _Position:
    """Where in the list the reading stands: the row as a spreadsheet counts it."""

    name: str
    number: int = 0
    form: Form | None = None
    words: ListWords = field(default_factory=packaged)

    @property
    def source(self) -> Source:
        """The list's place; rows have no boxes."""
        return Source(self.name, 1)

    def finding(self, message: str, row: Sequence[str] = ()) -> Finding:
        """Something about this row that a person should know."""
        return Finding(f"row {self.number}: {message}", self.source, quoted(row))


def is_list(data: bytes) -> bool:
    """True if the bytes are a CSV whose column heads name old and new part numbers."""
    if data[:5] == b"%PDF-" or data[:4] in (b"PK\x03\x04", b"\x89PNG", b"\xff\xd8\xff\xe0"):
        return False
    if data[:2] not in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE) and b"\0" in data[:_SAMPLE]:
        return False
    return form_of(_decoded(data[:_SAMPLE])) is not None


def read_list(data: bytes, name: str, words: ListWords | None = None) -> ListReading:
    """Read a whole list. Rows that cannot be read are findings with their row number; nothing raises."""
    rows: list[Supersession | Withdrawn] = []
    findings: list[Finding] = []
    for row in iter_list(io.BytesIO(data), name, words):
        if isinstance(row, Finding):
            findings.append(row)
        else:
            rows.append(row)
    form = form_of(_decoded(data[:_SAMPLE]), words)
    note = Note(
        number=list_name(name),
        date=form.date if form else None,
        subject="Supersession list",
        issuer=None,
        source="unknown",
        revision=None,
        applies=Applies(),
        file=name,
        statements=tuple(rows),
    )
    return ListReading(note, tuple(rows), tuple(findings))


def list_name(name: str) -> str:
    """The name by which a list goes among the notes: its file name without the ending."""
    return PurePath(name).stem


def iter_list(stream: BinaryIO, name: str, words: ListWords | None = None) -> Iterator[Row]:
    """Read a list row by row in bounded memory, however long it is; a row may yield several statements."""
    start = stream.read(_SAMPLE)
    position = _Position(name, words=words or packaged())
    position.form = form_of(_decoded(start), words)
    if position.form is None:
        yield Finding("no column heads for old and new part numbers were found", position.source)
        return
    text = io.TextIOWrapper(
        io.BufferedReader(_Joined(start, stream)), encoding=_encoding(start), errors=_ERRORS, newline=""
    )
    reader = csv.reader(text, delimiter=position.form.delimiter)
    while True:
        position.number += 1
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as fault:
            yield position.finding(f"cannot be read ({fault}); a quotation mark may be missing")
            continue
        if position.number > position.form.head_row + 1:
            yield from _statements(row, position, position.form)


def form_of(sample: str, words: ListWords | None = None) -> Form | None:
    """How a list is laid out, by its first rows; None if no row of heads names old and new numbers."""
    vocabulary = words or packaged()
    best: Form | None = None
    for delimiter in _DELIMITERS:
        rows = _first_rows(sample, delimiter)
        for at, row in enumerate(rows[:_HEAD_ROWS]):
            columns = _columns(row, vocabulary)
            if columns is None or not _tabular(rows[at + 1 :]):
                continue
            if best is None or sum(map(len, columns.values())) > sum(map(len, best.columns.values())):
                best = _form(delimiter, columns, at, rows)
            break
    return best


def _tabular(rows: Sequence[Sequence[str]]) -> bool:
    """True unless most rows below the heads hold one cell only, as the lines of a letter do."""
    filled = [r for r in rows if any(c.strip() for c in r)]
    return 2 * sum(len(r) > 1 for r in filled) >= len(filled)


def _form(
    delimiter: str, columns: dict[ColumnKind, tuple[int, ...]], at: int, rows: Sequence[Sequence[str]]
) -> Form:
    above = "  ".join(c for row in rows[:at] for c in row)
    dates = [row[i] for row in rows[at + 1 :] for i in columns.get("date", ()) if i < len(row)]
    order = order_of(d for cell in dates for d in find_dates(cell[:40]))
    heads = tuple(c.strip() for c in rows[at])
    return Form(delimiter, columns, at, len(rows[at]), heads, read_date(above).date, order)


def _first_rows(sample: str, delimiter: str) -> list[list[str]]:
    rows: list[list[str]] = []
    reader = csv.reader(io.StringIO(sample, newline=""), delimiter=delimiter)
    try:
        for row in reader:
            rows.append(row)
            if len(rows) > 400:
                break
    except csv.Error:
        pass  # the rows read so far are enough to know the columns
    return rows


def _columns(row: Sequence[str], words: ListWords) -> dict[ColumnKind, tuple[int, ...]] | None:
    """The columns by kind if the row names both an old and a new number."""
    found: dict[ColumnKind, tuple[int, ...]] = {}
    if len(row) < 2 or any(len(c) > 60 for c in row):
        return None
    for at, cell in enumerate(row):
        kind = words.kind_of(cell) if cell.strip() else None
        if kind is not None:
            found[kind] = (*found.get(kind, ()), at)
    parts = found.pop("part", ())
    if "old" not in found and "new" in found and parts:
        found["old"] = parts[:1]
    elif "new" not in found and "old" in found and parts:
        found["new"] = parts[:1]
    return found if "old" in found and "new" in found else None


def _statements(row: Sequence[str], at: _Position, form: Form) -> Iterator[Row]:
    """The statements of one row, or a finding that says what is wrong with it."""
    if not any(c.strip() for c in row) or tuple(c.strip() for c in row) == form.heads:
        return
    old, new = _numbers(row, form.columns["old"]), _numbers(row, form.columns["new"])
    remark = _remark(row, form, at.words)
    if old.bad or not old.numbers:
        yield at.finding(old.bad[0] if old.bad else "no old number", row)
        return
    if not new.numbers:
        yield from _without_new(row, old, new, remark, at, form)
        return
    if new.bad:
        yield at.finding(new.bad[0], row)
        return
    date, doubt = _date(row, form)
    why = (*old.doubts, *new.doubts, *remark.doubts, *doubt, *_shape_doubt(row, form))
    for olds in (old.numbers,) if old.joined else tuple((n,) for n in old.numbers):
        if {key(o) for o in olds} & {key(n) for n in new.numbers}:
            yield at.finding("old and new number are the same", row)
            continue
        statement = Supersession(
            note=list_name(at.name),
            date=date,
            quote=quoted(row),
            source=at.source,
            standing=_standing(why),
            why=why,
            settled_by=None if why else "rule",
            old=olds,
            new=new.numbers,
            relation=new.relation,
            interchange=remark.interchange,
            stock=remark.stock,
        )
        yield doubted(statement)


def _without_new(
    row: Sequence[str], old: Numbers, new: Numbers, remark: Remark, at: _Position, form: Form
) -> Iterator[Row]:
    """A row without a new number: withdrawn if it says so in so many words, otherwise a finding."""
    said = read_remark(" ".join(as_text(row[i]) for i in form.columns["new"] if i < len(row)), at.words)
    if remark.redirected or said.redirected:
        yield at.finding("no new number; the part is ordered in another way", row)
        return
    if not (remark.withdrawn or said.withdrawn):
        yield at.finding(new.bad[0] if new.bad else "no new number", row)
        return
    date, doubt = _date(row, form)
    why = (*old.doubts, *doubt, *_shape_doubt(row, form))
    for number in old.numbers:
        yield Withdrawn(
            note=list_name(at.name),
            date=date,
            quote=quoted(row),
            source=at.source,
            standing=_standing(why),
            why=why,
            settled_by=None if why else "rule",
            part=number,
        )


def _standing(why: Sequence[str]) -> Standing:
    return "doubtful" if why else "settled"


def _numbers(row: Sequence[str], columns: Iterable[int]) -> Numbers:
    """The part numbers of all columns of one kind: two columns are one set."""
    read = [read_numbers(row[i]) for i in columns if i < len(row) and row[i].strip()]
    if len(read) == 1:
        return read[0]
    numbers = tuple(dict.fromkeys(n for r in read for n in r.numbers))
    relation: Relation = "all of" if len(numbers) > 1 else "one"
    if any(r.relation == "one of" for r in read):
        relation = "one of"
    doubts = tuple(d for r in read for d in r.doubts)
    return Numbers(numbers, relation, len(read) > 1, doubts, tuple(b for r in read for b in r.bad))


def _remark(row: Sequence[str], form: Form, words: ListWords) -> Remark:
    return read_remark("; ".join(row[i] for i in form.columns.get("remarks", ()) if i < len(row)), words)


def _date(row: Sequence[str], form: Form) -> tuple[dt.date | None, tuple[str, ...]]:
    cells = [row[i] for i in form.columns.get("date", ()) if i < len(row) and row[i].strip()]
    if not cells:
        return form.date, ()
    day = read_date(cells[0], form.day_first)
    if not day.found:
        return None, (f"the date “{cells[0].strip()}” could not be read",)
    return day.date, (day.doubt,) if day.doubt else ()


def _shape_doubt(row: Sequence[str], form: Form) -> tuple[str, ...]:
    extra = [c for c in row[form.width :] if c.strip()]
    return ("the row has more cells than the list has columns",) if extra else ()


def quoted(row: Sequence[str]) -> str:
    """A row as it is quoted: its cells parted by bars."""
    return " | ".join(" ".join(c.split()) for c in row).strip()[:1000]


def _decoded(sample: bytes) -> str:
    return sample.decode(_encoding(sample), errors=_ERRORS)


def _encoding(sample: bytes) -> str:
    if sample.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    return "utf-8-sig"


def _as_windows(fault: UnicodeError) -> tuple[str, int]:
    """Bytes that are no UTF-8 are read as the Windows code page that most shop programs write."""
    if not isinstance(fault, UnicodeDecodeError):
        raise fault
    wrong = fault.object[fault.start : fault.end]
    return wrong.decode("cp1252", errors="replace"), fault.end


_ERRORS = "benchleaf-windows"
codecs.register_error(_ERRORS, _as_windows)


class _Joined(io.RawIOBase):
    """A stream with its first bytes put back."""

    def __init__(self, start: bytes, rest: BinaryIO) -> None:
        self._start = start
        self._rest = rest

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: "Buffer") -> int:
        view = memoryview(buffer)
        size = len(view)
        chunk, self._start = (
            (self._start[:size], self._start[size:]) if self._start else (self._rest.read(size), b"")
        )
        view[: len(chunk)] = chunk
        return len(chunk)
