"""What a kit should contain: the newest settled word on it, else its predecessor's contents, else the pack
step."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.binding import Family, plate_counts
from benchleaf.graph.keys import key, natural
from benchleaf.graph.model import Contents, KitLine
from benchleaf.graph.shelf import Shelf

Basis = Literal["contents", "predecessor", "step", "nothing"]


@dataclass(frozen=True, slots=True)
class Expected:
    """Expected lines and whose word they are.

    `before` are the lines of the kit before it, as the note itself or the predecessor's own note states them.
    `doubtful` are statements of contents that nobody has settled; `reasons` sentences; `sure` is False
    where the settled words contradict each other. What OCR read is told among the reasons.
    """

    basis: Basis
    lines: tuple[KitLine, ...]
    note: str | None = None
    date: dt.date | None = None
    before: tuple[KitLine, ...] = ()
    before_from: str | None = None
    doubtful: tuple[Contents, ...] = ()
    reasons: tuple[str, ...] = ()
    sure: bool = True


def expected_contents(store: Shelf, kit: str, family: Family, on: dt.date | None = None) -> Expected:
    """The newest settled word on `kit`, else on the nearest kit before it; without either, basis
    "nothing"."""
    said = [c for c in store.contents(kit) if _counts(c, on)]
    doubtful = tuple(c for c in said if c.standing == "doubtful")
    older = _older(store, family, kit, on)
    newest = _newest(said)
    if newest is None:
        if older is None:
            return Expected("nothing", (), doubtful=doubtful)
        reason = (
            f"no settled word on the contents of {kit}; compared with {older.kit} before it ({older.note})"
        )
        told = (reason, *_read_by_ocr(older))
        return Expected("predecessor", older.lines, older.note, older.date, doubtful=doubtful, reasons=told)
    reasons, sure = _contradictions(newest, said)
    reasons = (*reasons, *_read_by_ocr(newest))
    before, source = (
        (newest.previous, newest.note)
        if newest.previous
        else (older.lines, older.note)
        if older
        else ((), None)
    )
    return Expected(
        "contents", newest.lines, newest.note, newest.date, before, source, doubtful, reasons, sure
    )


def _read_by_ocr(told: Contents) -> tuple[str, ...]:
    if not told.source.by_ocr:
        return ()
    return (f"what {told.kit} contains was read by OCR ({told.note}): compare with the picture",)


def _counts(c: Contents, on: dt.date | None) -> bool:
    return c.standing != "refused" and (on is None or c.date is None or c.date <= on)


def _newest(said: Sequence[Contents]) -> Contents | None:
    """By date; of one note's several statements the fullest, since a table says more than the sentence
    above it."""
    told = [c for c in said if c.standing == "settled" and c.lines]
    return max(
        told, key=lambda c: (c.date or dt.date.min, natural(c.note), len(c.lines), -(c.id or 0)), default=None
    )


def _older(store: Shelf, family: Family, kit: str, on: dt.date | None) -> Contents | None:
    for number in family.older(kit):
        if key(number) != key(kit):
            found = _newest([c for c in store.contents(number) if _counts(c, on)])
            if found is not None:
                return found
    return None


def _contradictions(newest: Contents, said: Sequence[Contents]) -> tuple[tuple[str, ...], bool]:
    reasons, sure = [], True
    for other in said:
        if other is newest or other.standing != "settled" or other.date != newest.date:
            continue
        if not _agree(plate_counts(other.lines), plate_counts(newest.lines)):
            reasons.append(f"{other.note} and {newest.note}, of one date, list {newest.kit} differently")
            sure = False
    if newest.date is None:
        reasons.append(
            f"{newest.note}, which lists the kit, bears no date, so a later word cannot be ruled out"
        )
    return tuple(dict.fromkeys(reasons)), sure


def _agree(one: tuple[int | None, int | None], other: tuple[int | None, int | None]) -> bool:
    return all(a is None or b is None or a == b for a, b in zip(one, other, strict=True))
