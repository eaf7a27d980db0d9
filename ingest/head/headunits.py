"""The units that a note's head names: from labelled fields, or from a sentence that says so."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.model import Applies
from benchleaf.ingest.head.dates import find_dates
from benchleaf.ingest.head.fields import FieldBook, LabelHit
from benchleaf.ingest.head.headlabels import UNIT_FIELDS, Piece, Value
from benchleaf.ingest.head.limits import statement_applies
from benchleaf.ingest.head.ranges import SERIAL_WORD
from benchleaf.ingest.head.segments import Row
from benchleaf.ingest.head.units import FieldKind, merged, read_applies, unread_words
from benchleaf.ingest.shapes import LaidPage

_KIND = (
    r"(?:[a-z]{3,14}\s){0,2}(?:bulletin|note|information|letter|circular|notice|instruction|advice"
    r"|memo|sheet|change|modification|procedure)"
)
_SELF = (
    rf"(?P<self>\b(?:this|the\spresent|the)\s{_KIND}\b(?:,[^;]{{1,80}}?,(?=\s(?:only\s|is\s)?[a-z]))?)|\bit|^"
)
_VERB = r"(?:applies|apply|applicable|valid|concerns|affects|effective|covers|relates|refers|intended|issued)"
_REST = r"(?P<units>.{3,300}?)(?=(?<!\bno)(?<!\bNo)(?<!\bnos)(?<!\bNos)(?<!/N)\.\s|\.?$|;\s[a-z])"
_SAYS = re.compile(
    rf"(?i:(?:{_SELF})\s{{0,2}}(?:only\s|also\s|is\s|are\s){{0,2}}{_VERB}\s(?:only\s)?(?:to|for|on)?\s?){_REST}"
)
_AFFECTED = re.compile(
    r"(?i:(?P<self>\b)(?:the\s)?(?:(?:affected|concerned)\s(?:units|models|types|machines)"
    rf"|(?:units|models|types|machines)\s(?:affected|concerned))\sare:?\s){_REST}"
)
_FROM_LABEL = re.compile(r"\b(?:from|ab)\b|break")


@dataclass(frozen=True, slots=True)
class Units:
    """The units named, the pieces of the head that name them, and the fields that could not be read."""

    applies: Applies
    pieces: tuple[Piece, ...]
    unread: tuple[str, ...]


def read_units(values: Sequence[Value], prose: Sequence[str], day_first: bool | None = None) -> Units:
    """What the labelled fields say; without any, what the first sentences say."""
    parts: list[Applies] = []
    understood: list[Value] = []
    pieces: list[Piece] = []
    unread: list[str] = []
    for value in values:
        read = _read(value, day_first)
        if read is None:
            unread.append(value.text)
            continue
        parts.append(read)
        understood.append(value)
        pieces += value.pieces
    if not parts:
        said = next((a for t in prose if (a := _said(t, day_first))), None)
        return Units(_spoken(said or Applies(), prose), (), tuple(unread))
    naming = [v for v, part in zip(understood, parts, strict=True) if part.models]
    return Units(_spoken(_checked(merged(tuple(parts)), naming), prose), tuple(pieces), tuple(unread))


def _spoken(applies: Applies, prose: Sequence[str]) -> Applies:
    """Doubt where the head gives no bounds and the text speaks of serial numbers or days of manufacture."""
    if applies.serial_from or applies.serial_to or applies.built_from or applies.built_to or applies.unclear:
        return applies
    for text in prose:
        said = statement_applies(text)
        if said and (said.serial_from or said.serial_to or said.built_from or said.built_to):
            doubt = f"the text limits units that the head does not: “{said.as_printed}”"
            if applies == Applies():  # nothing at the head: what the text says, to be looked at
                return replace(said, unclear=(*said.unclear, doubt))
            return replace(applies, unclear=(doubt,))
    return applies


def unread_units(
    rows: Sequence[Row],
    pieces: Sequence[Piece],
    begins: int,
    book: FieldBook,
    read: str = "",
    nameless: bool = False,
) -> tuple[str, ...]:
    """Words that name units and were not taken into the head: without them the reading is not complete.

    `read` are the words that were understood, in running text; `nameless` tells that the head names no unit:
    then a list of models behind a label that no vocabulary has is one of them."""
    taken = {id(w) for p in pieces for w in p.segment.words_in(p.start, p.end)}
    found: list[str] = []
    for at, row in enumerate(rows):
        for segment in row.segments:
            if any(id(w) in taken for w in segment.words):
                continue
            if segment.text.strip(" .") in read:
                continue
            hits = [h for h in (*book.hits(segment.text)[:1], book.field_of(segment.text)) if h]
            labelled = any(
                h.field in UNIT_FIELDS and h.start == 0 and _names_units(h, segment.text) for h in hits
            )
            labelled = labelled or (nameless and at < begins and _unknown_label(segment.text, book))
            spoken = at < begins and SERIAL_WORD.search(segment.text) and re.search(r"[0-9]{2}", segment.text)
            if labelled or spoken:
                found.append(segment.text)
    return tuple(dict.fromkeys(found))


_UNKNOWN = re.compile(r"[^\W\d_][\w /().-]{2,30}?\s?:\s{0,3}(?P<value>\S.{0,200})")


def _unknown_label(text: str, book: FieldBook) -> bool:
    """True for `Qzmodel: KX-4, KX-6`: a label that is not known, and names like models behind it."""
    m = _UNKNOWN.fullmatch(text)
    if m is None or book.hits(text):
        return False
    read = read_applies(m["value"], "models")
    named = [n for n in read.models if re.search("[A-Z]", n) and re.search("[0-9]", n)] if read else []
    return bool(named) and not unread_words(m["value"])


def units_below(pages: Sequence[LaidPage], book: FieldBook) -> tuple[str, ...]:
    """Fields of units on later sheets: they may limit a part of the note, or all of it."""
    texts = [line.text for page in pages for line in page.lines if line.place == "text"]
    return tuple(
        dict.fromkeys(
            t
            for t in texts
            for h in book.hits(t)[:1]
            if h.field in UNIT_FIELDS and h.start == 0 and h.colon and _names_units(h, t)
        )
    )


def _names_units(hit: LabelHit, text: str) -> bool:
    if not hit.colon:
        return hit.end == len(text) and (hit.field == "serials" or " " in hit.label)
    read = read_applies(text[hit.end :], "serials" if hit.field == "serials" else "models")
    return hit.end == len(text) or (
        read is not None and bool(read.models or read.serial_from or read.serial_to)
    )


def _read(value: Value, day_first: bool | None) -> Applies | None:
    kinds: dict[str, FieldKind] = {"serials": "serials", "built": "built", "kits": "kits"}
    kind = kinds.get(value.field, "models")
    text = value.text
    if value.field == "serials" and _FROM_LABEL.search(value.label) and not text.lower().startswith("from"):
        text = "from " + text
    if value.field == "built":
        text = f"{'date code' if 'code' in value.label else 'built'} {text}"
    if value.field == "kits":
        text = f"with kit {text}"
    read = read_applies(text, kind, day_first)
    if read is None:
        return None
    more = " ".join(unread_words(value.text, kind))
    doubts = (f"“{value.text}” was not wholly understood ({more})",) if more and not read.unclear else ()
    return replace(read, as_printed=_printed(value), unclear=(*read.unclear, *doubts))


def _printed(value: Value) -> str:
    """The exact words: for serial numbers with the label, which belongs to the sense."""
    return value.text if value.field == "models" else f"{value.label}: {value.text}"


def _checked(applies: Applies, values: Sequence[Value]) -> Applies:
    """Doubt where the head names models in several places: each may hold for a part of the note only."""
    lists = {v.text for v in values if v.field == "models"}
    rows = sorted(v.row for v in values if v.field == "models")
    if len(lists) > 1 and rows[-1] - rows[0] > 3:
        return replace(applies, unclear=(*applies.unclear, "models are named in several places of the note"))
    return applies


def _said(text: str, day_first: bool | None) -> Applies | None:
    """The units of a sentence such as `This bulletin applies to …`, where it says no more than that."""
    for pattern in (_SAYS, _AFFECTED):
        m = pattern.search(text[:2000])
        if m is None:
            continue
        units = m["units"]
        if any(d.span[0] < 4 for d in find_dates(units[:40])):  # `issued 8 May 1969`
            continue
        read = read_applies(units, "applies", day_first)
        if read is None or replace(read, as_printed="") == Applies():
            continue
        more = unread_words(units)
        if not more:
            return read
        if m["self"]:  # the note speaks of itself, but says more than can be held
            doubt = f"the units may be limited further: “{units.strip()}”"
            return replace(read, unclear=(*read.unclear, doubt))
    return None
