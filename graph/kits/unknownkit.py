"""The pack steps for a kit that no paper names: by the unit's model, or the only one there is."""

import datetime as dt
from collections.abc import Iterable

from benchleaf.graph.applicability import Unit
from benchleaf.graph.book import book_at, covers, covers_model, pack_books
from benchleaf.graph.chapter import Chapter, Step
from benchleaf.graph.chosen import Chosen
from benchleaf.graph.keys import key
from benchleaf.graph.kits.packstep import Link, PackStep, pack_items
from benchleaf.graph.kits.packwords import PackWords, read_pack
from benchleaf.graph.model import Item, Manual
from benchleaf.graph.overrides import Case
from benchleaf.graph.places import best_places
from benchleaf.graph.shelf import Shelf


def packs_for_unknown(store: Shelf, unit: Unit, on: dt.date | None = None) -> tuple[PackStep, ...]:
    """Every pack step in force of the publications for the model. If no model is given, or the only
    publication held names none, its pack step counts if it is the only one; the step's `warnings` then say
    that it is assumed, and why. Empty if nothing points to a step.

    Which step a kit belongs to is not proven by this: with several, one that fits is enough.
    """
    if unit.model is not None:
        model = unit.model
        named = tuple(pack_books(store, lambda m: covers_model(m, model)))
        if named:
            return tuple(p for m in named for p in _packs(store, m, unit, on, "model", ()))
    held = covers(store)
    if len(held) != 1 or (unit.model is not None and held[0].models):
        return ()
    return _assumed(store, next(pack_books(store, lambda m: True)), unit, on)


def _assumed(store: Shelf, manual: Manual, unit: Unit, on: dt.date | None) -> tuple[PackStep, ...]:
    """The weak link: no paper and no model ties the kit to it."""
    why = (
        f"{manual.number} does not say which models it is for"
        if unit.model is not None
        else "no model is given"
    )
    said = (
        f"no paper ties the kit to a step, and {why}: the only pack step of the only publication held,"
        f" {manual.number}, is assumed"
    )
    found = _packs(store, manual, unit, on, "counts", (said,))
    return found if len(found) == 1 else ()


def _packs(
    store: Shelf, manual: Manual, unit: Unit, on: dt.date | None, link: Link, warnings: tuple[str, ...]
) -> tuple[PackStep, ...]:
    """The whole pack steps of one book, each as it stands in force for the unit."""
    case = Case(unit, on=on, any_unit=True)
    found: list[PackStep] = []
    for page in dict.fromkeys(i.page for i in pack_items(store, manual) if _whole(read_pack(i.text))):
        whole = book_at(store, manual.number, page)
        sheets = best_places(page, whole.pages, lambda p: p.page)
        items = tuple(dict.fromkeys(i for sheet in sheets for i in sheet.items))
        found += _in_force(Chapter(store, Chosen(whole, items), case).run(), items, link, warnings)
    return tuple({(p.step.publication, p.step.page, p.step.label): p for p in found}.values())


def _in_force(
    chapter: Chapter, items: Iterable[Item], link: Link, warnings: tuple[str, ...]
) -> list[PackStep]:
    printed = {key(i.label): read_pack(i.text) for i in items}
    found = []
    for step in chapter.steps:
        words = read_pack(step.text or "")
        if words is not None and _whole(words):
            about = (*warnings, *(w for w in chapter.warnings if f"step {step.label} " in w), *_changed(step))
            found.append(PackStep(step, words, printed.get(key(step.item or "")), link, about))
    return found


def _changed(step: Step) -> tuple[str, ...]:
    """A step that a note changed may hold with another kit only: nothing says which one this is."""
    notes = ", ".join(dict.fromkeys((*step.changed_by, *(() if step.origin == "manual" else (step.origin,)))))
    if not notes:
        return ()
    where = f"step {step.label} on page {step.page} of {step.publication}"
    return (f"{where} is taken as {notes} left it; whether that holds with this kit is not known",)


def _whole(words: PackWords | None) -> bool:
    return words is not None and (words.counted or words.ordered)
