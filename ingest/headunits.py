"""The units that a note's head names: from labelled fields, or from a sentence that says so."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.model import Applies
from benchleaf.ingest.headfields import Piece, Value
from benchleaf.ingest.units import FieldKind, merged, read_applies

_KIND = (
    r"(?:[a-z]{3,14}\s){0,2}(?:bulletin|note|information|letter|circular|notice|instruction|advice"
    r"|memo|sheet|change|modification|procedure)"
)
_SAYS = re.compile(
    rf"(?i:(?:\b(?:this|the\spresent|the)\s{_KIND}\b(?:,[^;]{{1,80}}?,(?=\s(?:only\s|is\s)?[a-z]))?|\bit"
    rf"|^)\s{{0,2}}"
    r"(?:only\s|also\s|is\s|are\s)?(?:applies|apply|applicable|valid|concerns|affects|effective|covers"
    r"|relates|refers|intended|issued)\s(?:only\s)?(?:to|for|on|from)?\s?)(?P<units>.{3,300}?)(?=\.\s"
    r"|\.?$|;\s[a-z])"
)
_AFFECTED = re.compile(
    r"(?i:\b(?:the\s)?(?:affected|concerned)\s(?:units|models|types|machines)\sare:?\s|\b(?:units|models"
    r"|types|machines)\s(?:affected|concerned)\sare:?\s)(?P<units>.{3,300}?)(?=\.\s|\.?$|;\s[a-z])"
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
    pieces: list[Piece] = []
    unread: list[str] = []
    for value in values:
        read = _read(value, day_first)
        if read is None:
            unread.append(value.text)
            continue
        parts.append(read)
        pieces += value.pieces
    if not parts:
        said = next((a for t in prose if (a := _said(t, day_first))), None)
        return Units(said or Applies(), (), tuple(unread))
    return Units(_checked(merged(tuple(parts)), values), tuple(pieces), tuple(unread))


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
    return replace(read, as_printed=_printed(value)) if read else None


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
    for pattern in (_SAYS, _AFFECTED):
        m = pattern.search(text[:2000])
        if m is None:
            continue
        read = read_applies(m["units"], "applies", day_first)
        if read is not None and (
            read.models or read.serial_from or read.serial_to or read.built_from or read.built_to
        ):
            return read
    return None
