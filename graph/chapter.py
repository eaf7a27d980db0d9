"""The steps in force among some items of one publication, in page order, with what was left out and why."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from benchleaf.graph.aim import Aimed, aim
from benchleaf.graph.chosen import Chosen
from benchleaf.graph.keys import key
from benchleaf.graph.labels import Labels
from benchleaf.graph.lean import Lean
from benchleaf.graph.model import Box, Item, Notice, Override
from benchleaf.graph.overrides import Background, Case, Effective, background, in_force
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Step:
    """One step in force. `text` is None when deleted; `item` is None for a step that a note inserted.

    `origin` is "manual" or the note whose words these are; `changed_by` every note that changed the words or
    added a caution. `depends_on` names what must be known to be sure; `doubts` are ids of doubtful readings.
    `by_ocr` tells that a machine read its words, or those of a note that changed it, from a picture; `unsure`
    which of its numbers it was not sure of. `printed` are the manual's own words (None for a step that a note
    inserted); `applied` are the ids of the statements that hold for it.
    """

    label: str
    publication: str
    page: str
    item: str | None
    text: str | None
    notices: tuple[Notice, ...]
    origin: str
    changed_by: tuple[str, ...]
    depends_on: tuple[str, ...] = ()
    doubts: tuple[int, ...] = ()
    section: str | None = None
    sheet: int | None = None
    box: Box | None = None
    by_ocr: bool = False
    unsure: tuple[str, ...] = ()
    printed: str | None = None
    applied: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class NotApplied:
    """An override left out of the steps, and why. `step` is its label, `statement` its id."""

    note: str
    why: str
    statement: int | None = None
    page: str | None = None
    step: str | None = None


class Chapter:
    """The chosen items of one publication under work."""

    def __init__(self, store: Shelf, chosen: Chosen, case: Case) -> None:
        self.store, self.chosen, self.case = store, chosen, case
        pages = {key(i.page) for i in chosen.items}
        overrides = [o for o in _told(store, chosen.manual.number, pages) if _on(o, pages)]
        self.all_items = _on_pages(chosen, pages)
        self.aimed: Aimed = aim(self.all_items, overrides)
        self.known: Background = background(store, overrides, case.kits, case.on)
        self.late = list(self.aimed.aside)
        self.steps: list[Step] = []
        self.left_out: list[NotApplied] = []
        self.warnings: list[str] = [*chosen.warnings, *self.aimed.warnings]

    @cached_property
    def for_models(self) -> set[str]:
        """The keys of the models for which any override of the publication is meant."""
        number = self.chosen.manual.number
        if isinstance(self.store, Lean):
            return set(map(key, self.store.models_overridden(number)))
        return {key(m) for o in self.store.overrides(number) for m in o.applies.models}

    def run(self) -> "Chapter":
        """Work through the items in page order; the chapter itself."""
        wanted, labels = set(map(id, self.chosen.items)), Labels(self.all_items)
        for i, item in enumerate(self.all_items):
            if id(item) in wanted:
                effective = in_force(item, self.aimed.by_step.get(i, ()), self.case, self.known)
                self._insert(item, effective.before, labels.before(i, len(effective.before)))
                self._add(item, effective, item.label)
                self._insert(item, effective.after, labels.after(i, len(effective.after)))
        self._aside()
        self.warnings += self._family_doubts()
        return self

    def _insert(self, anchor: Item, inserts: Sequence[Override], labels: Sequence[str]) -> None:
        for o, label in zip(inserts, labels, strict=True):
            item = replace(anchor, label=label, text=o.text or "", notices=(), box=None, id=None)
            on_it = [a for a in self.late if key(a.target.item or "") == key(label) and _same_page(a, anchor)]
            self.late = [a for a in self.late if a not in on_it]
            effective = in_force(item, on_it, self.case, self.known)
            self._add(item, effective, label, inserted_by=o)

    def _add(self, item: Item, e: Effective, label: str, inserted_by: Override | None = None) -> None:
        cautioned = [o.note for o in e.applied if o.action == "caution"]
        own = inserted_by is None and e.origin == "manual"
        told = (*((inserted_by,) if inserted_by else ()), *e.applied)
        self.steps.append(
            Step(
                label=label,
                publication=self.chosen.manual.number,
                page=item.page,
                item=None if inserted_by else item.label,
                text=e.text,
                notices=e.notices,
                origin=inserted_by.note if inserted_by and e.origin == "manual" else e.origin,
                changed_by=tuple(dict.fromkeys((*e.by, *cautioned))),
                depends_on=e.depends_on,
                doubts=e.doubts,
                section=item.section,
                sheet=item.sheet,
                box=item.box,
                by_ocr=(own and item.by_ocr) or any(o.source.by_ocr for o in e.applied),
                unsure=item.unsure if own else (),
                printed=None if inserted_by else item.text,
                applied=tuple(dict.fromkeys(o.id for o in told if o.id is not None)),
            )
        )
        for left in e.left_out:
            o = left.override
            why = f"{left.why}: {'; '.join(o.why)}" if left.why == "not settled" and o.why else left.why
            self.left_out.append(NotApplied(o.note, why, o.id, item.page, label))
        self.warnings += e.warnings

    def _aside(self) -> None:
        """Overrides of these pages that no step answers to: told, never applied."""
        for o in self.late:
            if o.standing == "refused":
                continue
            place = f"page {o.target.page}" if o.target.page else "no page"
            why = "; ".join(o.why) or "no single step answers to it"
            said = "not settled" if o.standing == "doubtful" else "not applied"
            self.left_out.append(NotApplied(o.note, f"{said}: {why}", o.id, o.target.page, o.target.item))
            self.warnings.append(
                f"{o.note} speaks of {place}, item {o.target.item or 'unknown'}, and is {said}: {why}"
            )

    def _family_doubts(self) -> list[str]:
        return [
            f"whether {' and '.join(s.new)} replaced {' and '.join(s.old)} is doubtful"
            f" ({s.note}, reading {s.id})"
            for s in self.known.family.doubtful()
        ]


def _on_pages(chosen: Chosen, pages: set[str]) -> tuple[Item, ...]:
    """Every item of the chosen pages, so that a label is seen to stand twice even outside the section asked
    for."""
    mine = {key(i.page): i for i in chosen.items}
    whole = [i for p in chosen.manual.pages if key(p.page) in mine for i in p.items]
    return tuple(whole) if set(map(id, chosen.items)) <= set(map(id, whole)) else chosen.items


def _told(store: Shelf, publication: str, pages: set[str]) -> Sequence[Override]:
    if isinstance(store, Lean):
        return store.overrides_on(publication, pages)
    return store.overrides(publication)


def _on(o: Override, pages: set[str]) -> bool:
    return o.target.page is None or key(o.target.page) in pages


def _same_page(o: Override, item: Item) -> bool:
    return o.target.page is None or key(o.target.page) == key(item.page)
