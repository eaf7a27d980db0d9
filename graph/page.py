"""A manual page with every note that overrides it, for no unit in particular."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.aim import Aimed, aim
from benchleaf.graph.applicability import words
from benchleaf.graph.book import book_at, edition_warnings, leaf
from benchleaf.graph.keys import key, natural
from benchleaf.graph.model import (
    Action,
    Applies,
    Box,
    Item,
    Notice,
    Override,
    Source,
    Standing,
)
from benchleaf.graph.overrides import Background, Effective, background, in_force
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class InForce:
    """The effective text (None when deleted) and the notes that made it so; `by` is empty for the manual's
    own."""

    text: str | None
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OverrideView:
    """One override as it stands on the page. `why_not` is None exactly when it is in force.

    `why` are the reasons for doubt, `kits` the kits it is bound to, `statement` its id.
    """

    statement: int | None
    note: str
    date: dt.date | None
    action: Action
    text: str | None
    was: str | None
    now: str | None
    applies: Applies
    standing: Standing
    in_force: bool
    why_not: str | None
    why: tuple[str, ...]
    kits: tuple[str, ...]
    settled_by: str | None
    quote: str
    source: Source


@dataclass(frozen=True, slots=True)
class PageItem:
    """A step of the page, what is in force, and each override. `warnings` are sentences for a person.

    `by_ocr` tells that a machine read the step from a picture, `unsure` which numbers it was not sure of.
    """

    item: str
    text: str
    notices: tuple[Notice, ...]
    box: Box | None
    in_force: InForce
    overrides: tuple[OverrideView, ...]
    warnings: tuple[str, ...] = ()
    by_ocr: bool = False
    unsure: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PageAnswer:
    """A page. `notes` are the numbers of all notes that touch it; `others` overrides that no step answers
    to."""

    publication: str
    page: str
    sheet: int
    section: str | None
    items: tuple[PageItem, ...]
    notes: tuple[str, ...]
    others: tuple[OverrideView, ...]
    warnings: tuple[str, ...]
    file: str


def page_answer(store: Shelf, publication: str, page: str, on: dt.date | None = None) -> PageAnswer:
    """The page as printed, with the overrides of each step. Raises `NotHeld` with the nearest numbers
    held."""
    manual = book_at(store, publication, page)
    found = leaf(store, manual, page)
    overrides = store.overrides(manual.number, found.page.page)
    aimed = aim(found.page.items, overrides)
    known = background(store, overrides, on=on)
    items = tuple(_item(item, aimed.by_step.get(i, ()), known) for i, item in enumerate(found.page.items))
    return PageAnswer(
        publication=manual.number,
        page=found.page.page,
        sheet=found.page.sheet,
        section=found.page.section,
        items=items,
        notes=_notes(overrides),
        others=tuple(_view(o, None, known) for o in aimed.aside),
        warnings=(
            *edition_warnings(store, manual),
            *found.warnings,
            *ocr_warnings([i.item for i in items if i.by_ocr or any(v.source.by_ocr for v in i.overrides)]),
            *_page_warnings(aimed),
        ),
        file=found.file,
    )


def ocr_warnings(steps: Sequence[str]) -> tuple[str, ...]:
    """A warning if a machine read steps from a picture; none without such steps."""
    if not steps:
        return ()
    named = ", ".join(steps[:6]) + (" and others" if len(steps) > 6 else "")
    return (f"read by OCR from a picture (step {named}): compare every number with the paper",)


def _notes(overrides: Sequence[Override]) -> tuple[str, ...]:
    told = [o for o in overrides if o.standing != "refused"]
    told.sort(key=lambda o: (o.date or dt.date.max, natural(o.note), o.note))
    return tuple(dict.fromkeys(o.note for o in told))


def _page_warnings(aimed: Aimed) -> tuple[str, ...]:
    doubtful = [o for o in aimed.aside if o.standing == "doubtful"]
    said = [
        f"{o.note} may change this page, but the step it means is not clear (reading {o.id})"
        for o in doubtful
    ]
    return tuple(dict.fromkeys((*aimed.warnings, *said)))


def _item(item: Item, overrides: Sequence[Override], known: Background) -> PageItem:
    effective = in_force(item, overrides, None, known)
    views = tuple(_view(o, effective, known) for o in sorted(overrides, key=_by_date))
    return PageItem(
        item=item.label,
        text=item.text,
        notices=item.notices,
        box=item.box,
        in_force=InForce(effective.text, effective.by),
        overrides=views,
        warnings=(*effective.warnings, *_narrowed(effective, known)),
        by_ocr=item.by_ocr,
        unsure=item.unsure,
    )


def _by_date(o: Override) -> tuple[object, ...]:
    return (o.date or dt.date.max, natural(o.note), o.note, o.id or 0)


def _narrowed(effective: Effective, known: Background) -> tuple[str, ...]:
    """The text in force holds only for the units and kits named: say which."""
    said = []
    for o in effective.applied:
        if words(o.applies) != "all units":
            said.append(f"{o.note} holds for {words(o.applies)}")
        binding = known.bound.get(o)
        if binding is not None and not binding.stated:
            said.append(f"{o.note} holds with kit {' or '.join(binding.kits)} and what replaced it")
    return tuple(dict.fromkeys(said))


def _view(o: Override, effective: Effective | None, known: Background) -> OverrideView:
    holds = effective is not None and any(o is a for a in effective.applied)
    binding = known.bound.get(o)
    return OverrideView(
        statement=o.id,
        note=o.note,
        date=o.date,
        action=o.action,
        text=o.text,
        was=o.was,
        now=o.now,
        applies=o.applies,
        standing=o.standing,
        in_force=holds,
        why_not=None if holds else _why_not(o, effective, known),
        why=o.why,
        kits=binding.kits if binding else (),
        settled_by=o.settled_by,
        quote=o.quote,
        source=o.source,
    )


def _why_not(o: Override, effective: Effective | None, known: Background) -> str:
    told = next((left.why for left in effective.left_out if left.override is o), None) if effective else None
    if told:
        return told
    if o.standing != "settled":
        return "not settled" if o.standing == "doubtful" else "refused"
    gone = known.cancelled.get(key(o.note))
    return f"cancelled by {gone.by}" if gone else "no single step of this page answers to it"
