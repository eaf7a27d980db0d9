"""The domain: what a shop's papers say, as frozen dataclasses.

Dates are `datetime.date`; boxes are in points from the sheet's top left corner. Numbers (parts, pages,
items, notes, publications) are kept as printed; compare them by `benchleaf.graph.keys.key`.
"""

import datetime as dt
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

Standing = Literal["settled", "doubtful", "refused"]
Action = Literal["replace", "insert-after", "insert-before", "delete", "change-value", "caution"]
Relation = Literal["one", "all of", "one of"]
Interchange = Literal["both ways", "new for old", "none", "unstated"]
Stock = Literal["use up", "scrap"]
DocumentKind = Literal["manual", "note", "list", "slip", "other"]
NoteSource = Literal["maker", "shop", "unknown"]


class Box(NamedTuple):
    """A rectangle on a sheet, in points, measured from the top left corner."""

    x0: float
    top: float
    x1: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Source:
    """Where words were read: file name, sheet (1-based), printed page number, box, and whether by OCR."""

    file: str
    sheet: int
    page: str | None = None
    box: Box | None = None
    by_ocr: bool = False


@dataclass(frozen=True, slots=True)
class Applies:
    """The units (and kits) that a note or one statement holds for. Bounds are inclusive; None is open.

    `models` empty means that none is named. `excepted` are serial numbers or models left out; a run of
    serials among them is written `FROM-TO` with an en dash between. `unclear` lists, in plain words, what
    could not be read for certain (a bound that may or may not be inclusive, "not all units involved").
    """

    models: tuple[str, ...] = ()
    serial_from: str | None = None
    serial_to: str | None = None
    excepted: tuple[str, ...] = ()
    built_from: dt.date | None = None
    built_to: dt.date | None = None
    kits: tuple[str, ...] = ()
    as_printed: str = ""
    unclear: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Target:
    """The step that an override speaks of, as the note cites it; None where it does not say."""

    publication: str | None = None
    page: str | None = None
    item: str | None = None


@dataclass(frozen=True, slots=True)
class KitLine:
    """One line of a kit: part number as printed (None if not given), description (singular), quantity.

    `quantity` is None for "as required".
    """

    part: str | None
    description: str
    quantity: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """One thing that a note says, with the words it was read from.

    `why` holds the reasons for doubt in plain words. `settled_by` is None, "rule" or a person's initials.
    `id` is None until stored. `note` is the note's number, or the list's name.
    """

    note: str
    date: dt.date | None
    quote: str
    source: Source
    standing: Standing = "settled"
    why: tuple[str, ...] = ()
    confidence: float = 1.0
    settled_by: str | None = None
    id: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Supersession(Statement):
    """Old numbers became new ones. A split has several `new`, a merge several `old`."""

    old: tuple[str, ...]
    new: tuple[str, ...]
    relation: Relation = "one"
    interchange: Interchange = "unstated"
    stock: Stock | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Override(Statement):
    """A step of a manual is replaced, joined by another, deleted, given another value, or warned about.

    `text` is the new wording (replace, insert, caution); `was` and `now` are the values of a change-value,
    and `was` may also hold old words that a replacement quotes. `applies` is the statement's own
    applicability where it has one, otherwise its note's.
    """

    action: Action
    target: Target
    text: str | None = None
    was: str | None = None
    now: str | None = None
    applies: Applies = field(default_factory=Applies)


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents(Statement):
    """What a kit contains, and, where the note says so, what the one before it contained."""

    kit: str
    lines: tuple[KitLine, ...]
    previous: tuple[KitLine, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Cancels(Statement):
    """The note takes another note, named by number, out of force."""

    cancels: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawn(Statement):
    """A part is no longer supplied and nothing takes its place."""

    part: str


@dataclass(frozen=True, slots=True)
class Finding:
    """Something about the data that a person should know: what, with its source and the words in question."""

    message: str
    source: Source
    quote: str = ""


@dataclass(frozen=True, slots=True)
class Notice:
    """A CAUTION, NOTE or WARNING box that hangs on the item before it. `kind` is upper case."""

    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class Item:
    """A numbered step of a manual: its own words and its lettered sub-steps, in reading order, without its
    number. It belongs to the page where it starts. `label` is the number as printed without its marks
    (`1.`, `(1)`, `Step 1` all give "1"). `box` covers its part of that page. `by_ocr` tells that a machine
    read it from a picture, `unsure` which of its words with digits it was not sure of."""

    label: str
    text: str
    page: str
    sheet: int
    section: str | None = None
    notices: tuple[Notice, ...] = ()
    box: Box | None = None
    id: int | None = None
    by_ocr: bool = False
    unsure: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ManualPage:
    """A page of a manual by its printed number. `section` is the heading in force at the page's top item."""

    page: str
    sheet: int
    section: str | None = None
    items: tuple[Item, ...] = ()


@dataclass(frozen=True, slots=True)
class Manual:
    """A publication: its number and identity as printed on it, and its pages.

    `parts` is its parts list. `kits` is what the manual itself says that kits contain: their `note` is the
    publication's number, their date its date.
    """

    number: str
    title: str | None
    issuer: str | None
    edition: str | None
    date: dt.date | None
    models: tuple[str, ...]
    pages: tuple[ManualPage, ...]
    file: str = ""
    parts: tuple[KitLine, ...] = ()
    kits: tuple[Contents, ...] = ()


@dataclass(frozen=True, slots=True)
class Citation:
    """Another note, or a publication and perhaps a page of it, that a note speaks of, as printed."""

    kind: Literal["note", "publication"]
    number: str
    page: str | None = None


@dataclass(frozen=True, slots=True)
class Note:
    """A bulletin or a shop's own note. `unclear` are doubts about its header, such as an ambiguous date;
    `cites` is what it speaks of without changing it ("see also …")."""

    number: str
    date: dt.date | None
    subject: str | None
    issuer: str | None
    source: NoteSource
    revision: str | None
    applies: Applies
    file: str = ""
    received: dt.date | None = None
    cancelled_by: str | None = None
    unclear: tuple[str, ...] = ()
    statements: tuple[Statement, ...] = ()
    cites: tuple[Citation, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetText:
    """The plain text of one sheet, for search; `picture` is true where the sheet is an image without text."""

    sheet: int
    page: str | None
    text: str
    by_ocr: bool = False
    picture: bool = False


@dataclass(frozen=True, slots=True)
class ScanSheet:
    """What OCR read on one sheet, as it is kept. `reader` names the engines and their versions; only reading
    understands `body`."""

    sheet: int
    reader: str
    body: bytes


@dataclass(frozen=True, slots=True)
class Document:
    """One file as read: what it is, what it holds, and what should be known about the reading.

    `scans` are the sheets that OCR read for it, to be kept so that a sheet is read once.
    """

    sha256: str
    name: str
    kind: DocumentKind
    sheets: tuple[SheetText, ...]
    manual: Manual | None = None
    notes: tuple[Note, ...] = ()
    findings: tuple[Finding, ...] = ()
    scans: tuple[ScanSheet, ...] = ()
