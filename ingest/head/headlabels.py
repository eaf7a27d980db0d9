"""Whether a label at a note's head holds: what may stand behind it, and what reads as just that field."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.ingest.head.dates import find_dates, read_date
from benchleaf.ingest.head.fields import FieldBook, LabelHit
from benchleaf.ingest.head.notenumbers import read_number
from benchleaf.ingest.head.notetitles import is_kind_only, read_title
from benchleaf.ingest.head.segments import Row, Segment
from benchleaf.ingest.head.units import read_applies, unread_words

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


def bare_label_holds(
    hit: LabelHit, text: str, segment: Segment, rows: Sequence[Row], at: int, book: FieldBook
) -> bool:
    """Without a colon a label counts only if what follows reads as just that field."""
    if hit.field in ("number", "number_weak"):
        number = read_number(text, labelled=says_number(hit.label))
        return number is not None and not number.rest
    if hit.field in ("date", "date_other"):
        return only_date(text)
    if hit.field in UNIT_FIELDS:
        return only_units(hit, text) and not (is_kind_only(segment.text) or read_title(segment.text))
    if hit.field == "revision":
        return re.fullmatch(r"\s?[A-Z0-9.]{1,4}", text) is not None
    if hit.field == "supersedes":
        number = read_number(text, labelled=hit.field == "number")
        return number is not None and len(number.rest.split()) <= 4
    if hit.field == "issuer" and _BOUND.match(text):
        return False
    set_off = segment.table is not None or _set_off(hit, segment)
    return hit.field in ("subject", "issuer") and (set_off or _among_labels(hit, rows, at, book))


def _among_labels(hit: LabelHit, rows: Sequence[Row], at: int, book: FieldBook) -> bool:
    """True for `Subject Revised torque` right above or below `Date 4 June 2009`, both without a colon."""
    for row in (*rows[max(0, at - 2) : at], *rows[at + 1 : at + 3]):
        for other in book.hits(row.segments[0].text)[:1]:
            text = row.segments[0].text[other.end :]
            sure = other.start == 0 and other.field in ("number", "number_weak", "date")
            if sure and bare_label_holds(other, text, row.segments[0], (), 0, book):
                return (
                    hit.label not in ("de", "von", "about", "title")
                    and rows[at].segments[0].text[:1].isupper()
                )
    return False


def says_number(label: str) -> bool:
    """True for a label that says `number`, so that even 5/6/2016 behind it is one.

    >>> says_number("bulletin no"), says_number("bulletin")
    (True, False)
    """
    return bool(_NUMBER_WORDS & set(label.replace("-", " ").split()))


_NUMBER_WORDS = {"no", "nr", "number", "num", "nos", "n", "n°", "nummer", "numero", "ref", "reference", "id"}


def only_date(text: str) -> bool:
    """True if a text is a date and next to nothing else."""
    day = read_date(text[:60])
    rest = (text[: day.span[0]] + text[day.span[1] :]).strip(" .,()")
    return day.found and (len(rest) < 4 or rest.lower() in _WEEKDAYS)


_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


_BOUND = re.compile(
    r"\s{0,3}(?:[a-z][a-z-]{1,20}\s){0,2}(?:(?:no|nos|nr|serial|s/n)\b|numbers?\b|[0-9])|\s{0,3}[a-z-]{2,20}$"
)
"""`From pump no. 4120` and `From 4120` begin a range of units, and name no sender."""
_NOUN_FIRST = re.compile(r"(?:models?|types?|mark|mk\.?|series)\s", re.IGNORECASE)
_PLAIN_LABELS = (
    "model",
    "models",
    "type",
    "types",
    "applic",
    "applicability",
    "effectivity",
    "galler",
    "modell",
    "modelle",
    "modello",
    "modelli",
    "typ",
    "typen",
    "tipo",
    "tipi",
)
"""Labels behind which a name without a figure (`Orion`) is a model even without a colon."""


_SAYS = re.compile(
    r"\b(?:is|are|was|were|has|have|had|will|must|should|replaces?|supersedes?|becomes?|remains?|stays?"
    r"|available|supplied)\b",
    re.IGNORECASE,
)
"""A verb makes a sentence of it: `PUMP GEAR SET 31.4407 IS NO LONGER SUPPLIED` names no units."""


def only_units(hit: LabelHit, text: str) -> bool:
    """True if the words after a label without colon are nothing but models and bounds."""
    if hit.field == "built":
        built = read_applies(f"built {text}", "built")
        return built is not None and bool(built.unclear or not unread_words(f"built {text}"))
    if _SAYS.search(text):
        return False
    read = read_applies(text, "serials" if hit.field == "serials" else "applies")
    if find_dates(text) and not (read and (read.built_from or read.built_to)):
        return False  # `Product NOTICE 5 Oct 2018`
    plural = hit.label in _PLAIN_LABELS or " " in hit.label or _NOUN_FIRST.match(text.strip()) is not None
    some = read is not None and bool(
        any(plural or re.search("[0-9]", m) for m in read.models)
        or (read.serial_from or read.serial_to or read.built_from or read.built_to or read.unclear)
    )
    return some and len(unread_words(text)) == 0


def _set_off(hit: LabelHit, segment: Segment) -> bool:
    """True if the label is printed bold and its value is not."""
    label, value = segment.words_in(0, hit.end), segment.words_in(hit.end + 1, len(segment.text))
    return bool(label and value) and all(w.bold for w in label) and not any(w.bold for w in value)


def is_label(segment: Segment, book: FieldBook) -> bool:
    """True if a segment is a label, or begins with one and a colon."""
    if book.field_of(segment.text) is not None:
        return True
    hits = book.hits(segment.text)
    return bool(hits) and hits[0].start == 0 and hits[0].colon


def suits(hit: LabelHit, text: str, sure: bool) -> bool:
    """True if a neighbouring text can be the value of the label."""
    if hit.field in ("number", "number_weak"):
        number = read_number(text, labelled=hit.field == "number")
        return number is not None and len(number.rest.split()) <= 6
    if hit.field in ("date", "date_other"):
        return only_date(text) or (sure and bool(find_dates(text[:40])))
    if hit.field == "built":
        return read_applies(f"built {text}", "built") is not None and len(text) < 200
    if hit.field in UNIT_FIELDS:
        return not only_date(text) and (
            read_applies(text, "serials" if hit.field == "serials" else "applies") is not None
            and len(text) < 600
        )
    if hit.field == "revision":
        return len(text) <= 12
    if hit.field == "supersedes" and not sure:
        number = read_number(text)
        return number is not None and not number.rest
    return len(text) <= 200 and (sure or hit.field == "subject")


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
    return hit.field == "date" and only_date(rest)
