"""Invented papers for the store's tests, and ways to put them in."""

import datetime as dt
import hashlib
from collections.abc import Iterable
from dataclasses import replace

from benchleaf.graph.model import (
    Applies,
    Box,
    Document,
    DocumentKind,
    Item,
    KitLine,
    Manual,
    ManualPage,
    Note,
    Notice,
    Override,
    SheetText,
    Source,
    Statement,
    Supersession,
    Target,
)
from benchleaf.graph.store import Store

DAY = dt.date(2026, 11, 24)
NOW = dt.datetime(2026, 11, 24, 9, 30, tzinfo=dt.UTC)
SOURCE = Source("note.pdf", 1, "1", Box(50.0, 60.5, 200.25, 72.0))


def digest(name: str) -> str:
    return hashlib.sha256(name.encode()).hexdigest()


def put(store: Store, document: Document, received: dt.date = DAY) -> int:
    """Keep the document's "bytes" (its name) and store it, as adding a file does."""
    store.keep_original(document.sha256, document.name.encode())
    with store.transaction():
        return store.insert(document, received, NOW)


def document(name: str, kind: DocumentKind = "note", **parts: object) -> Document:
    sheets = parts.pop("sheets", (SheetText(1, "1", f"The sheet of {name}."),))
    return Document(digest(name), name, kind, sheets, **parts)  # type: ignore[arg-type]  # tests name real fields


def item(label: str, text: str, page: str, sheet: int = 1, notices: Iterable[Notice] = ()) -> Item:
    return Item(label, text, page, sheet, "Fitting the pack", tuple(notices), Box(0.0, 1.0, 2.0, 3.0))


def manual(
    number: str = "RM 55", pages: Iterable[ManualPage] = (), date: dt.date | None = None, **more: object
) -> Manual:
    pages = tuple(pages) or (
        ManualPage("4-10", 1, "Fitting the pack", (item("5", "Fit seal KB 4410-21 with oil.", "4-10"),)),
        ManualPage("41-0", 2, None, (item("5", "Tighten the screws to 29 N·m.", "41-0", 2),)),
    )
    return Manual(number, "Rebuild", "A maker", "1", date, ("DR 40",), pages, "manual.pdf", **more)  # type: ignore[arg-type]


def note(
    number: str, *statements: Statement, date: dt.date | None = dt.date(2020, 1, 1), **more: object
) -> Note:
    named = tuple(replace(s, note=number, date=date) for s in statements)
    return Note(
        number, date, f"Subject of {number}", "A maker", "maker", None, Applies(), statements=named, **more
    )  # type: ignore[arg-type]


def became(old: str | tuple[str, ...], new: str | tuple[str, ...], **more: object) -> Supersession:
    olds, news = ((n,) if isinstance(n, str) else n for n in (old, new))
    return Supersession(note="", date=None, quote="words", source=SOURCE, old=olds, new=news, **more)  # type: ignore[arg-type]


def override(publication: str | None, page: str | None, item_: str | None, **more: object) -> Override:
    words: dict[str, object] = {"action": "replace", "text": "Fit both seals.", **more}
    target = Target(publication, page, item_)
    return Override(note="", date=None, quote="words", source=SOURCE, target=target, **words)  # type: ignore[arg-type]


def line(part: str | None, description: str, quantity: int | None) -> KitLine:
    return KitLine(part, description, quantity)


def without_ids(held: Document) -> Document:
    """A document as it was before the store gave ids, dates of receipt and cancellations."""
    stripped = held.manual
    if stripped is not None:
        pages = (replace(p, items=tuple(replace(i, id=None) for i in p.items)) for p in stripped.pages)
        stripped = replace(stripped, pages=tuple(pages))
    notes = (
        replace(
            n, received=None, cancelled_by=None, statements=tuple(replace(s, id=None) for s in n.statements)
        )
        for n in held.notes
    )
    return replace(held, manual=stripped, notes=tuple(notes))
