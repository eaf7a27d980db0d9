"""Which pack step of the manuals a kit belongs to, as that step stands in force with this kit.

Links, strongest first; the first that finds a step counts:
1. a pack step that a note bringing the kit, or one before it, changes or inserts;
2. a step that names the kit's number, or one before it (or the pack step of the same section);
3. a pack step that a note bringing a kit after it changes or inserts, as it stands with this kit;
4. the only pack step of the publications for the model, if one is given;
5. steps whose counts are what the note says the kit had before ("counts", a weak link).
A rule of ours; what is not linked is not judged.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from benchleaf.graph.binding import Family, plate_counts
from benchleaf.graph.book import book, book_at, covers_model, items_of, pack_books
from benchleaf.graph.chapter import Chapter, Step
from benchleaf.graph.chosen import Chosen
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.keys import key
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.packwords import PackWords, read_pack
from benchleaf.graph.lean import Counts, Lean
from benchleaf.graph.model import Contents, Item, KitLine, Manual, ManualPage, Override, Supersession
from benchleaf.graph.overrides import Case
from benchleaf.graph.places import best_places
from benchleaf.graph.shelf import Shelf

Link = Literal["note", "number", "model", "counts"]


@dataclass(frozen=True, slots=True)
class PackStep:
    """A pack step in force with the kit: its words as read, and what the manual's own words say
    (`printed`)."""

    step: Step
    words: PackWords
    printed: PackWords | None
    link: Link
    warnings: tuple[str, ...] = ()


def notes_bringing(store: Shelf, kit: str) -> tuple[str, ...]:
    """The notes that bring a kit: by its contents, or by putting it in another's place."""
    told: list[Contents | Supersession] = [*store.contents(kit)]
    told += [s for s in store.supersessions([key(kit)]) if key(kit) in {key(n) for n in s.new}]
    return tuple(dict.fromkeys(s.note for s in told if s.standing != "refused"))


def overrides_bringing(store: Shelf, kit: str) -> tuple[Override, ...]:
    """The settled overrides in the notes that bring a kit."""
    said = [s for note in notes_bringing(store, kit) for s in store.statements(note=note, kind="override")]
    return tuple(s for s in said if isinstance(s, Override) and s.standing == "settled")


class Links:
    """The search for a kit's pack step, by one link after the other."""

    def __init__(self, store: Shelf, kit: str, family: Family, case: Case, expected: Expected) -> None:
        self.store, self.kit, self.unit, self.expected = store, kit, case.unit, expected
        self.kits = (kit, *(k for k in family.older(kit) if key(k) != key(kit)))
        self.newer = tuple(k for k in family.newer(kit) if key(k) != key(kit))
        self.case = replace(case, kits=(kit,), any_unit=True)

    def find(self) -> tuple[PackStep, ...]:
        """The steps of the strongest link that finds any."""
        by_note = self._by_note(self.kits) or self._by_number() or self._by_note(self.newer)
        return by_note or self._by_model() or self._by_counts()

    def _by_note(self, kits: Iterable[str]) -> tuple[PackStep, ...]:
        for kit in kits:
            found: list[PackStep] = []
            for o in overrides_bringing(self.store, kit):
                items = self.store.item(o.target)
                if read_pack(o.text or "") or any(read_pack(i.text) for i in items):
                    found += self._at(o.target.publication, o.target.page, items, "note")
            if found:
                return _unique(found)
        return ()

    def _by_number(self) -> tuple[PackStep, ...]:
        for kit in self.kits:
            found: list[PackStep] = []
            for m in self.store.mentions(kit):
                if m.page is None or m.item is None:
                    continue
                items = _named(self._manual(m.publication, m.page), m.page, m.item)
                direct = self._at(m.publication, m.page, items, "number")
                found += direct or self._nearby(m.publication, items)
            if found:
                return _unique(found)
        return ()

    def _nearby(self, publication: str, items: Sequence[Item]) -> list[PackStep]:
        """The only pack step of the section in which the kit is named."""
        if not items:
            return []
        home, manual = items[0], book(self.store, publication)
        told = pack_items(self.store, manual)
        same = [i for i in told if _together(i, home) and _whole(read_pack(i.text))]
        return self._at(manual.number, same[0].page, same, "number") if len(same) == 1 else []

    def _by_model(self) -> tuple[PackStep, ...]:
        if self.unit.model is None:
            return ()
        model = self.unit.model
        fitting = pack_books(self.store, lambda m: covers_model(m, model))
        packs = [(m, i) for m in fitting for i in pack_items(self.store, m) if _whole(read_pack(i.text))]
        if len(packs) != 1:
            return ()
        manual, item = packs[0]
        return _unique(self._at(manual.number, item.page, [item], "model"))

    def _by_counts(self) -> tuple[PackStep, ...]:
        before = self._before()
        if before is None:
            return ()
        found: list[PackStep] = []
        counting, fits = books_counting(self.store, before), self._for_note()
        for manual in pack_books(self.store, lambda m: counting(m) and fits(m)):
            for item in pack_items(self.store, manual):
                words = read_pack(item.text)
                if words and (words.friction, words.steel) == before:
                    found += self._at(manual.number, item.page, [item], "counts")
        return _unique(found)

    def _before(self) -> tuple[int | None, int | None] | None:
        """The plates before; a kind that the note does not speak of stayed as it is."""
        friction, steel = plate_counts(self.expected.before)
        if friction is None and steel is None:
            return None
        now = plate_counts(self.expected.lines)
        return (now[0] if friction is None else friction, now[1] if steel is None else steel)

    def _for_note(self) -> Callable[[Manual], bool]:
        """Whether a book may be meant: by the unit's model, else by those of the note that lists the kit."""
        note = self.store.note_head(self.expected.note) if self.expected.note else None
        models = {key(m) for m in note.applies.models} if note else set()
        models = {key(self.unit.model)} if self.unit.model else models
        return lambda m: not models or not m.models or bool(models & {key(x) for x in m.models})

    def _manual(self, number: str | None, page: str) -> Manual | None:
        """A book, of a store no more of it than a page; None where it is not held."""
        try:
            return book_at(self.store, number, page) if number else None
        except NotHeld:
            return None

    def _at(
        self, publication: str | None, page: str | None, items: Iterable[Item], link: Link
    ) -> list[PackStep]:
        """These items as they stand in force, with the pack steps that notes inserted beside them."""
        manual = self._manual(publication, page or "")
        sheet = _page(manual, page)
        if manual is None or sheet is None:
            return []
        answer = Chapter(self.store, Chosen(manual, sheet.items), self.case).run()
        labels = {key(i.label): read_pack(i.text) for i in items}
        found = []
        for step in answer.steps:
            words = read_pack(step.text or "")
            mine = key(step.item or "") in labels or (link == "note" and step.item is None)
            if words is not None and mine:
                printed = labels.get(key(step.item or ""))
                about = tuple(w for w in answer.warnings if f"step {step.label} " in w)
                found.append(PackStep(step, words, printed, link, about))
        return found


def pack_items(store: Shelf, manual: Manual) -> list[Item]:
    """The steps of a book that may speak of stacking a pack, in the order of its pages."""
    ids = store.packs_in(manual.number) if isinstance(store, Lean) else None
    return [i for i in items_of(manual) if ids is None or i.id in ids]


def books_counting(store: Shelf, counts: Counts) -> Callable[[Manual], bool]:
    """Whether a book may have a step that counts just these plates."""
    numbers = store.books_counting(counts) if isinstance(store, Lean) else None
    return lambda m: numbers is None or key(m.number) in numbers


def _named(manual: Manual | None, page: str, item: str) -> list[Item]:
    sheet = _page(manual, page)
    return [i for i in sheet.items if key(i.label) == key(item)] if sheet else []


def _page(manual: Manual | None, page: str | None) -> ManualPage | None:
    pages = best_places(page or "", manual.pages, lambda p: p.page) if manual else ()
    return max(pages, key=lambda p: len(p.items), default=None)


def _together(one: Item, other: Item) -> bool:
    return one.section == other.section if other.section else one.page == other.page


def _whole(words: PackWords | None) -> bool:
    return words is not None and (words.counted or words.ordered)


def _unique(found: Iterable[PackStep]) -> tuple[PackStep, ...]:
    return tuple({(p.step.publication, p.step.page, p.step.label): p for p in found}.values())


def lines_of(words: PackWords) -> tuple[KitLine, ...]:
    """A pack step's counts as kit lines."""
    return (KitLine(None, "friction disc", words.friction), KitLine(None, "steel disc", words.steel))
