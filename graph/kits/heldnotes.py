"""Held notes to look at when a kit is not explained: found by number, by step, by counts and by search.

What makes a note relevant, and how much, is a rule of ours. Nothing is settled by being listed.
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.applicability import Unit, covers
from benchleaf.graph.binding import plate_counts
from benchleaf.graph.keys import key, key_with_gaps, natural
from benchleaf.graph.kits.notestate import NoteState, gone_notes, note_state
from benchleaf.graph.kits.packstep import PackStep
from benchleaf.graph.kits.packwords import read_pack
from benchleaf.graph.lean import Lean
from benchleaf.graph.model import Applies, Contents, Note, Override, Statement
from benchleaf.graph.places import same_place
from benchleaf.graph.shelf import Searched, Shelf

MOST = 12
"""So many notes are listed; the others are counted."""
_HITS = 200  # of one search
_MOST_KITS = 24


@dataclass(frozen=True, slots=True)
class HeldNote:
    """A held note to look at: why it is listed, and how it stands. `standing` says it in words."""

    number: str
    date: dt.date | None
    subject: str | None
    state: NoteState
    standing: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HeldNotes:
    """The most relevant first, and how many more there are; `close` are the numbers of those that speak of
    the kit, its family, the step or the counts themselves, shown or not (lists of numbers left out)."""

    notes: tuple[HeldNote, ...]
    more: int
    close: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What notes are looked for: the kit, the numbers of its family, its steps, the counts that came."""

    kit: str
    family: tuple[str, ...]
    packs: tuple[PackStep, ...]
    counts: tuple[int, int]
    unit: Unit
    on: dt.date | None = None


def held_notes(store: Shelf, wanted: Wanted) -> HeldNotes:
    """The held notes that speak of the kit, its family, the step, the counts or the model."""
    return _Looking(store, wanted).result()


def _heads(store: Shelf, wanted: Wanted) -> tuple[Note, ...]:
    """The notes of which the head may speak of the matter."""
    if not isinstance(store, Lean):
        return store.notes()
    return store.notes_headed(wanted.unit.model, {p.step.publication for p in wanted.packs})


def _counting(store: Shelf, counts: tuple[int, int]) -> Iterable[tuple[str, str]]:
    """The notes that list just these plates, each with the kit."""
    if isinstance(store, Lean):
        return store.kits_counting(counts)
    told = (s for s in store.statements(kind="contents") if isinstance(s, Contents))
    return ((s.note, s.kit) for s in told if plate_counts(s.lines) == counts)


_CLOSE = 35  # points from which a note speaks of the matter itself and not only of the model


class _Looking:
    """One look through the shelf: reasons by note, each with its weight in points."""

    def __init__(self, store: Shelf, wanted: Wanted) -> None:
        self.store, self.wanted = store, wanted
        self.found: dict[str, dict[str, int]] = {}
        self.names: dict[str, str] = {}
        self.heads = {key(n.number): n for n in _heads(store, wanted)}
        self.listed: dict[str, list[Statement]] = {}
        self.fits: dict[Applies, bool] = {}

    def result(self) -> HeldNotes:
        """Gather, judge, sort."""
        self._by_kits()
        self._by_counts()
        for pack in self.wanted.packs:
            self._by_step(pack)
        self._by_heads()
        self._by_words()
        newest = self._newest(self.found)
        self.gone = gone_notes(self.store, self.wanted.on, self.found)
        weighed = [self._weighed(n) for n in newest.values() if self._in_time(n)]
        weighed.sort(key=lambda w: (-w[0], -(w[1].date or dt.date.min).toordinal(), natural(w[1].number)))
        notes = [note for _, note in weighed]
        close = [n.number for n in notes if self._close(key(n.number))]
        shown = self._with_statements(notes[:MOST])
        return HeldNotes(tuple(map(self._held, shown)), max(len(notes) - MOST, 0), tuple(close))

    def _newest(self, numbers: Iterable[str]) -> dict[str, Note]:
        """The newest revision of each note by its key, of a store without its statements; and lists of
        numbers with no more of what they say than was found."""
        if isinstance(self.store, Lean):
            held = self.store.notes_newest(self.found)
            self.heads |= held
        else:
            read = {n: self.store.note(self.names[n]) for n in numbers if n in self.heads}
            held = {n: note for n, note in read.items() if note is not None}
        lists = {n: self._list(n) for n in numbers if n not in self.heads}
        told = {n: held.get(n) or lists.get(n) for n in numbers}
        return {n: note for n, note in told.items() if note is not None}

    def _with_statements(self, notes: Sequence[Note]) -> list[Note]:
        """The same notes with what they state: how each stands is worked out of those shown alone."""
        if not isinstance(self.store, Lean):
            return list(notes)
        whole = self.store.notes_newest([n.number for n in notes], whole=True)
        return [whole.get(key(n.number), n) for n in notes]

    def _close(self, number: str) -> bool:
        return number in self.heads and max(self.found[number].values()) >= _CLOSE

    def _add(self, note: str, reason: str, points: int) -> None:
        told = self.found.setdefault(key(note), {})
        told[reason] = max(points, told.get(reason, 0))
        self.names.setdefault(key(note), note)

    def _by_kits(self) -> None:
        for kit in (self.wanted.kit, *self.wanted.family[:_MOST_KITS]):
            own = key(kit) == key(self.wanted.kit)
            named = f"kit {kit}" if own else f"kit {kit} of the same family"
            for c in self.store.contents(kit):
                self._add(c.note, f"says what {named} contains", 100 if own else 70)
                self.listed.setdefault(key(c.note), []).append(c)
            for s in self.store.supersessions([key(kit)]):
                if key(kit) in {key(n) for n in (*s.old, *s.new)}:
                    said = f"puts {' and '.join(s.new)} in the place of {' and '.join(s.old)}"
                    self._add(s.note, said, 100 if own else 65)
                    self.listed.setdefault(key(s.note), []).append(s)

    def _by_counts(self) -> None:
        """Notes that list just these plates, in any kit."""
        friction, steel = self.wanted.counts
        for note, kit in _counting(self.store, self.wanted.counts):
            self._add(note, f"lists {friction} friction and {steel} steel plates, in kit {kit}", 80)

    def _by_step(self, pack: PackStep) -> None:
        step, place = pack.step, f"page {pack.step.page} of {pack.step.publication}"
        for o in self.store.overrides(step.publication):
            if not _may_be_on(o, step.page):
                continue
            label = step.item or step.label
            if o.target.item is None or o.target.page is None:
                self._add(o.note, f"may speak of {place}: its place is not read whole", 60)
            elif same_place(o.target.item, label):
                verb = "changes" if o.standing == "settled" else "may change"
                self._add(o.note, f"{verb} step {label} on {place}", 90)
            else:
                self._add(o.note, f"changes another step on {place}", 20)
            written = read_pack(o.text or "")
            if written and (written.friction, written.steel) == self.wanted.counts:
                self._add(o.note, _speaks(self.wanted.counts), 85)

    def _by_heads(self) -> None:
        model = self.wanted.unit.model
        for note in self.heads.values():
            if key(self.wanted.kit) in {key(k) for k in note.applies.kits}:
                self._add(note.number, f"is headed for kit {self.wanted.kit}", 95)
            if model and key(model) in {key(m) for m in note.applies.models}:
                self._add(note.number, f"is headed for model {model}", 10)
            for pack in self.wanted.packs:
                self._by_citation(note, pack)

    def _by_citation(self, note: Note, pack: PackStep) -> None:
        step = pack.step
        for cited in note.cites:
            if cited.kind != "publication" or key(cited.number) != key(step.publication):
                continue
            if cited.page is None:
                self._add(note.number, f"speaks of {step.publication}", 12)
            elif same_place(cited.page, step.page):
                self._add(note.number, f"speaks of page {step.page} of {step.publication}", 45)

    def _by_words(self) -> None:
        """The notes' own words: what no statement was read from is found here."""
        friction, steel = self.wanted.counts
        for kit in (self.wanted.kit, *self.wanted.family[:_MOST_KITS]):
            if any(c.isdigit() for c in kit):
                for note in self._with_words((kit,)):
                    self._add(note, f"its words name {kit}", 75 if key(kit) == key(self.wanted.kit) else 50)
        if friction and steel:
            for note in self._with_words((f"{friction} friction", f"{steel} steel")):
                self._add(note, _speaks(self.wanted.counts), 70)
        for pack in self.wanted.packs:
            step = pack.step
            for note in self._with_words((step.publication, f"page {step.page}")):
                self._add(note, f"its words name page {step.page} of {step.publication}", 45)

    def _with_words(self, phrases: Sequence[str]) -> set[str]:
        asked = " ".join('"' + p.replace('"', " ") + '"' for p in phrases)
        if isinstance(self.store, Lean):
            return set(self.store.notes_saying(asked, _HITS))
        if isinstance(self.store, Searched):
            return {hit.note for hit in self.store.search(asked, limit=_HITS) if hit.note}
        folded = [f" {key_with_gaps(p)} " for p in phrases]
        return {n for n, said in self._all_words().items() if all(p in said for p in folded)}

    def _all_words(self) -> dict[str, str]:
        """What each note's statements quote, for a shelf without a search."""
        said: dict[str, str] = {n.number: n.subject or "" for n in self.store.notes()}
        for s in self.store.statements():
            said[s.note] = f"{said.get(s.note, '')} {s.quote} {_text(s)}"
        return {n: f" {key_with_gaps(w)} " for n, w in said.items()}

    def _in_time(self, note: Note) -> bool:
        return not (self.wanted.on and note.date and note.date > self.wanted.on)

    def _weighed(self, note: Note) -> tuple[float, Note]:
        """The note with its points: those of its reasons, less where it does not hold for the unit."""
        told = self.found[key(note.number)].values()
        points = max(told) + 0.01 * sum(told)
        points -= {"other units": 30, "cancelled": 20}.get(self._out(note), 0)
        return points, note

    def _out(self, note: Note) -> str:
        """Why the note cannot hold for the unit, whatever it states; "" where it may."""
        if key(note.number) in self.gone.cancelled:
            return "cancelled"
        if note.applies not in self.fits:
            self.fits[note.applies] = covers(note.applies, self.wanted.unit).answer != "no"
        return "" if self.fits[note.applies] else "other units"

    def _held(self, note: Note) -> HeldNote:
        told = self.found[key(note.number)]
        reasons = tuple(sorted(told, key=lambda r: -told[r]))
        state, standing = note_state(note, self.wanted.unit, self.gone)
        return HeldNote(note.number, note.date, note.subject, state, standing, reasons)

    def _list(self, number: str) -> Note | None:
        """A list of numbers, which can hold a hundred thousand statements, with those alone that were
        found."""
        said = tuple(dict.fromkeys(self.listed.get(number, ())))
        if not said:
            return None
        name, date = self.names[number], said[0].date
        return Note(name, date, None, None, "unknown", None, Applies(), statements=said)


def _may_be_on(o: Override, page: str) -> bool:
    return o.target.page is None or same_place(o.target.page, page)


def _speaks(counts: tuple[int, int]) -> str:
    return f"speaks of {counts[0]} friction and {counts[1]} steel plates"


def _text(s: Statement) -> str:
    parts: Iterable[str | None] = (s.text, s.now) if isinstance(s, Override) else ()
    return " ".join(p for p in parts if p)
