"""What a kit should contain, and whose word that is.

In order: the newest settled note on the kit, or the manual's own list where that is newer; the manual's own
list of the kit; what the note that put another kit in its place says it held before; the newest word, of a
note or a manual, on the nearest kit before it; the pack step. A word
that speaks of some lines only changes the list before it (`benchleaf.graph.kits.listing`). A cancelled note's
word counts only where no other word on the kit is held. The manual's parts list counts by unit and not by
kit, so it is compared in remarks only. A rule of ours.
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from benchleaf.graph.binding import Family, plate_counts
from benchleaf.graph.cancelled import cancelled_notes
from benchleaf.graph.keys import key, natural
from benchleaf.graph.kits.likeness import same_name
from benchleaf.graph.kits.listing import ListedLine, in_force
from benchleaf.graph.model import Contents, KitLine, Manual
from benchleaf.graph.shelf import Shelf

Basis = Literal["contents", "manual", "predecessor", "step", "nothing"]


@dataclass(frozen=True, slots=True)
class Expected:
    """Expected lines and whose word they are: `note` is a note's number, or with basis "manual" that of the
    publication.

    `before` are the lines of the kit before it, as the note itself, the manual or the predecessor's own note
    states them; `earlier` is every older word that the list may differ from. `doubtful` are statements of
    contents that nobody has settled; `reasons` sentences; `sure` is False where the settled words contradict
    each other. What OCR read is told among the reasons. `remarks` compare with the manual's parts list.
    `carried` are the lines that the newest word does not speak of, each with the note or publication whose
    word it is; they are among `lines`. `listed` are all lines with their words. `cancelled` are words that do
    not count any more.
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
    earlier: tuple[Contents, ...] = ()
    remarks: tuple[str, ...] = ()
    carried: tuple[ListedLine, ...] = ()
    cancelled: tuple[Contents, ...] = ()
    listed: tuple[ListedLine, ...] = ()

    def whose(self, line: KitLine) -> str | None:
        """The note or publication whose word a line is."""
        return next((c.note for c in self.carried if c.line == line), self.note)

    def dated(self, line: KitLine) -> dt.date | None:
        """The date of the word that gives a line its number."""
        return next((c.date for c in self.listed if c.line == line), self.date)

    @property
    def own(self) -> tuple[KitLine, ...]:
        """The lines that the newest word itself speaks of."""
        carried = {id(c.line) for c in self.carried}
        return tuple(line for line in self.lines if id(line) not in carried)


def expected_contents(
    store: Shelf, kit: str, family: Family, on: dt.date | None = None, model: str | None = None
) -> Expected:
    """What `kit` should contain by the papers of the date `on`; without any word, basis "nothing".

    `model` also brings in the parts lists of the publications that cover it.
    """
    return _Words(store, kit, family, on, model).expected()


class _Words:
    """What notes and manuals say of one kit."""

    def __init__(self, store: Shelf, kit: str, family: Family, on: dt.date | None, model: str | None) -> None:
        self.store, self.kit, self.model = store, kit, model
        said = [c for c in store.contents(kit) if _counts(c, on)]
        self.printed = [c for c in store.manual_contents(kit) if _counts(c, on)]
        self.said, self.cancelled = _live(store, said, on, elsewhere=_newest(self.printed) is not None)
        self.doubtful = tuple(c for c in self.said if c.standing == "doubtful")
        self.note, self.manual = _newest(self.said), _newest(self.printed)
        self.older = _older(store, family, kit, on)
        self.after = _replaced(store, family, kit, on)

    def expected(self) -> Expected:
        if self.note is not None and not _later(self.manual, self.note):
            return self._by_note(self.note)
        if self.manual is not None:
            return self._by_manual(self.manual)
        if self.after is not None and not self._unread():
            return self._by_after(self.after)
        if self.older is not None:
            return self._by_older(self.older)
        return Expected("nothing", (), doubtful=self.doubtful, reasons=self._unread())

    def _by_note(self, note: Contents) -> Expected:
        listed = in_force(self._up_to(note))
        told = self._by_own(note, tuple(x.line for x in listed), self.said, (self.manual, self.older))
        return replace(told, carried=tuple(x for x in listed if x.note != note.note), listed=listed)

    def _up_to(self, newest: Contents) -> list[Contents]:
        """The settled words that lead to the newest, oldest first: the kit before it, the manual, the
        notes."""
        base = [c for c in (self.older, self.manual) if c is not None]
        notes = {key(c.note) for c in self.said}
        told = [_newest([c for c in self.said if key(c.note) == note]) for note in notes]
        own = sorted((c for c in told if c is not None and c is not newest), key=_by_date)
        return [*base[-1:], *own, newest]

    def _by_manual(self, manual: Contents) -> Expected:
        told = self._by_own(manual, manual.lines, self.printed, (self.note, self.older))
        return replace(told, basis="manual", reasons=(self._whose(manual), *told.reasons))

    def _by_own(
        self,
        word: Contents,
        lines: tuple[KitLine, ...],
        said: Sequence[Contents],
        before: Iterable[Contents | None],
    ) -> Expected:
        """By a word on this very kit. `said` are all words of its kind, `before` the other words that it may
        differ from, the nearest first; a note may itself say what was there before."""
        earlier = tuple(c for c in before if c is not None)
        own = word is self.note and bool(word.previous)
        was, source = (word.previous, word.note) if own else _first(earlier)
        reasons, sure = _contradictions(word, said)
        return Expected(
            "contents",
            lines,
            word.note,
            word.date,
            was,
            source,
            self.doubtful,
            (*reasons, *_read_by_ocr(word)),
            sure,
            earlier,
            self._remarks(lines),
            cancelled=self.cancelled,
        )

    def _whose(self, manual: Contents) -> str:
        if self.note is None:
            return f"no settled note lists {self.kit}; compared with the list of {manual.note} itself"
        day = f" of {self.note.date.isoformat()}" if self.note.date else ""
        differ = "" if _same_lines(manual.lines, self.note.lines) else ", and lists it otherwise"
        newer = f"{manual.note}, of {manual.date}, is newer than {self.note.note}{day}{differ}"
        return f"{newer}: compared with the list of {manual.note}"

    def _by_after(self, after: Contents) -> Expected:
        """By the note that put another kit in its place: what that says of before."""
        said = f"{after.note} says what {self.kit} held before {after.kit} took its place"
        told = (said, *_read_by_ocr(after))
        return Expected(
            "contents",
            after.previous,
            after.note,
            after.date,
            doubtful=self.doubtful,
            reasons=told,
            cancelled=self.cancelled,
        )

    def _by_older(self, older: Contents) -> Expected:
        with_ = f"{older.kit} before it ({older.note})"
        reason = f"no settled word on the contents of {self.kit}; compared with {with_}"
        told = (reason, *self._unread(), *_read_by_ocr(older))
        return Expected(
            "predecessor",
            older.lines,
            older.note,
            older.date,
            doubtful=self.doubtful,
            reasons=told,
            sure=not self._unread(),
            remarks=self._remarks(older.lines),
        )

    def _unread(self) -> tuple[str, ...]:
        """The manual's own list, where it was not read for certain: no lesser word may stand in for it."""
        unsure = dict.fromkeys(c.note for c in self.printed if c.standing == "doubtful")
        return tuple(
            f"what {n} lists for {self.kit} was not read for certain: look at its page" for n in unsure
        )

    def _remarks(self, lines: Sequence[KitLine]) -> tuple[str, ...]:
        manuals = _manuals_of(self.store, self.kit, self.model)
        return tuple(dict.fromkeys(r for m in manuals if m.parts for r in _parts_remarks(m, lines)))


def _first(earlier: Sequence[Contents]) -> tuple[tuple[KitLine, ...], str | None]:
    return (earlier[0].lines, earlier[0].note) if earlier else ((), None)


def _later(one: Contents | None, other: Contents) -> bool:
    """True only if both are dated: an undated manual is no newer word."""
    return one is not None and one.date is not None and other.date is not None and one.date > other.date


def _same_lines(one: Iterable[KitLine], other: Iterable[KitLine]) -> bool:
    told = [
        sorted((line.description.lower(), line.quantity or 0) for line in lines) for lines in (one, other)
    ]
    return told[0] == told[1]


def _manuals_of(store: Shelf, kit: str, model: str | None) -> list[Manual]:
    """The publications that name the kit, and those that cover the model."""
    named = dict.fromkeys(key(m.publication) for m in store.mentions(kit))
    named |= dict.fromkeys(key(c.note) for c in store.manual_contents(kit))
    found = [m for number in named for m in store.publications_like(number)]
    if model is not None:
        found += [m for m in store.publications() if key(model) in {key(x) for x in m.models}]
    return list({(key(m.number), m.edition, m.file): m for m in found}.values())


def _parts_remarks(manual: Manual, lines: Sequence[KitLine]) -> list[str]:
    """Where the parts list, which counts by unit, has another quantity than the kit."""
    said = []
    for line in lines:
        same = _in_parts(manual, line)
        counts = {p.quantity for p in same}
        if line.quantity is not None and len(same) == 1 and not counts & {line.quantity, None}:
            name = " ".join(w for w in (same[0].part, same[0].description) if w)
            has = f"the parts list of {manual.number} has {same[0].quantity} × {name}"
            said.append(f"{has}, the kit lists {line.quantity}")
    return said


def _in_parts(manual: Manual, line: KitLine) -> list[KitLine]:
    if line.part:
        return [p for p in manual.parts if p.part and key(p.part) == key(line.part)]
    return [p for p in manual.parts if same_name(p.description, line.description) >= 95.0]


def _read_by_ocr(told: Contents) -> tuple[str, ...]:
    if not told.source.by_ocr:
        return ()
    return (f"what {told.kit} contains was read by OCR ({told.note}): compare with the picture",)


def _counts(c: Contents, on: dt.date | None) -> bool:
    return c.standing != "refused" and (on is None or c.date is None or c.date <= on)


def _newest(said: Sequence[Contents]) -> Contents | None:
    """By date; of one note's several statements the fullest, since a table says more than the sentence
    above it."""
    return max((c for c in said if c.standing == "settled" and c.lines), key=_by_date, default=None)


def _by_date(c: Contents) -> tuple[object, ...]:
    return (c.date or dt.date.min, natural(c.note), len(c.lines), -(c.id or 0))


def _live(
    store: Shelf, said: Sequence[Contents], on: dt.date | None, *, elsewhere: bool
) -> tuple[list[Contents], tuple[Contents, ...]]:
    """The words of notes in force, and those of cancelled ones; these count only if there is no other."""
    gone = cancelled_notes(store, on) if said else {}
    live = [c for c in said if key(c.note) not in gone]
    if not elsewhere and _newest(live) is None:
        return list(said), ()
    return live, tuple(c for c in said if key(c.note) in gone)


def _older(store: Shelf, family: Family, kit: str, on: dt.date | None) -> Contents | None:
    """The newest word, of a note or else of a manual, on the nearest kit before it."""
    for number in family.older(kit):
        if key(number) == key(kit):
            continue
        note = _newest([c for c in store.contents(number) if _counts(c, on)])
        manual = _newest([c for c in store.manual_contents(number) if _counts(c, on)])
        if note is not None and not _later(manual, note):
            return note
        if manual is not None:
            return manual
    return None


def _replaced(store: Shelf, family: Family, kit: str, on: dt.date | None) -> Contents | None:
    """The newest word on the kit that took this kit's place, if the very note that says so tells what was in
    it before."""
    told = [s for s in store.supersessions([key(kit)]) if s.standing == "settled" and len(s.old) == 1]
    direct = [(key(n), key(s.note)) for s in told if key(s.old[0]) == key(kit) for n in s.new]
    said = [c for number in family.newer(kit) for c in store.contents(number) if _counts(c, on)]
    return _newest([c for c in said if c.previous and (key(c.kit), key(c.note)) in direct])


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
