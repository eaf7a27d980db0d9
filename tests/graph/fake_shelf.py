"""A store in memory with the methods of `Shelf`, and short builders for invented papers."""

import datetime as dt
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from benchleaf.graph.keys import folded, key
from benchleaf.graph.mentions import runs
from benchleaf.graph.model import (
    Applies,
    Cancels,
    Contents,
    Item,
    KitLine,
    Manual,
    ManualPage,
    Note,
    Override,
    Source,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)
from benchleaf.graph.places import same_place

SOURCE = Source("note.pdf", 1)
PUB = "RX 40"


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


@dataclass(frozen=True)
class FakeMention:
    publication: str
    page: str | None
    item: str | None


class FakeShelf:
    """Papers in memory; statements get ids in the order in which the notes are added."""

    def __init__(self, manuals: Iterable[Manual] = (), notes: Iterable[Note] = ()) -> None:
        self._manuals = tuple(manuals)
        self._notes: list[Note] = []
        number = 0
        for note in notes:
            stated = []
            for s in note.statements:
                number += 1
                stated.append(replace(s, id=number))
            self._notes.append(replace(note, statements=tuple(stated)))

    def publications(self) -> tuple[Manual, ...]:
        return self._manuals

    def publications_like(self, number: str) -> tuple[Manual, ...]:
        return tuple(m for m in self._manuals if key(m.number) == key(number))

    def item(self, target: Target) -> tuple[Item, ...]:
        return tuple(
            i
            for m in self._manuals
            if target.publication is None or key(m.number) == key(target.publication)
            for p in m.pages
            if target.page is None or same_place(p.page, target.page)
            for i in p.items
            if target.item is not None and same_place(i.label, target.item)
        )

    def notes(self) -> tuple[Note, ...]:
        return tuple(self._notes)

    def note_head(self, number: str) -> Note | None:
        found = self.note(number)
        return None if found is None else replace(found, statements=())

    def notes_like(self, number: str) -> tuple[Note, ...]:
        same = [n for n in self._notes if key(n.number) == key(number)]
        return tuple(sorted(same, key=lambda n: n.date or dt.date.min, reverse=True))

    def note(self, number: str) -> Note | None:
        return next(iter(self.notes_like(number)), None)

    def statements(
        self, *, note: str | None = None, kind: str | None = None, standing: str | None = None
    ) -> tuple[Statement, ...]:
        kinds = {
            "override": Override,
            "supersession": Supersession,
            "contents": Contents,
            "cancels": Cancels,
            "withdrawn": Withdrawn,
        }
        return tuple(
            s
            for n in self._notes
            for s in n.statements
            if (note is None or key(s.note) == key(note))
            and (kind is None or isinstance(s, kinds[kind]))
            and (standing is None or s.standing == standing)
        )

    def _those(self, kind: type) -> list[Any]:
        return [s for s in self.statements() if isinstance(s, kind)]

    def overrides(self, publication: str, page: str | None = None) -> tuple[Override, ...]:
        pages = {key(p.page) for m in self.publications_like(publication) for p in m.pages}
        pages = {key(page)} if page is not None else pages
        found = []
        for o in self._those(Override):
            t, loose = o.target, o.standing != "settled"
            same = t.publication is not None and key(t.publication) == key(publication)
            near = (t.publication is None and loose and key(t.page or "") in pages) or same
            here = page is None or (key(t.page) == key(page) if t.page else loose)
            if near and here:
                found.append(o)
        return tuple(found)

    def supersessions(self, keys: Collection[str]) -> tuple[Supersession, ...]:
        near = {key(k) for k in keys}
        while True:
            found = [s for s in self._those(Supersession) if near & {key(n) for n in (*s.old, *s.new)}]
            wider = near | {key(n) for s in found for n in (*s.old, *s.new)}
            if wider == near:
                return tuple(found)
            near = wider

    def contents(self, kit: str) -> tuple[Contents, ...]:
        return tuple(c for c in self._those(Contents) if key(c.kit) == key(kit))

    def manual_contents(self, kit: str) -> tuple[Contents, ...]:
        return tuple(c for m in self._manuals for c in m.kits if key(c.kit) == key(kit))

    def contents_with(self, part: str) -> tuple[Contents, ...]:
        told = (*self._those(Contents), *(c for m in self._manuals for c in m.kits))
        return tuple(c for c in told if key(part) in {key(x.part) for x in c.lines if x.part})

    def withdrawals(self, part: str) -> tuple[Withdrawn, ...]:
        return tuple(w for w in self._those(Withdrawn) if key(w.part) == key(part))

    def cancellations(self) -> tuple[Cancels, ...]:
        return tuple(self._those(Cancels))

    def mentions(self, part: str) -> tuple[FakeMention, ...]:
        return tuple(
            FakeMention(m.number, i.page, i.label)
            for m in self._manuals
            for p in m.pages
            for i in p.items
            if key(part) in {r.key for r in runs(i.text)}
        )

    def _printed(self) -> dict[str, str]:
        numbers: list[str] = []
        for s in self.statements():
            if isinstance(s, Supersession):
                numbers += [*s.old, *s.new]
            elif isinstance(s, Contents):
                numbers += [s.kit, *(x.part for x in s.lines if x.part)]
            elif isinstance(s, Withdrawn):
                numbers.append(s.part)
        for m in self._manuals:
            numbers += [n for c in m.kits for n in (c.kit, *(x.part for x in c.lines if x.part))]
        found = {key(n): n for n in reversed(numbers)}
        for m in self._manuals:
            for p in m.pages:
                for i in p.items:
                    for r in runs(i.text):
                        found.setdefault(r.key, r.printed)
        return found

    def printed(self, part_key: str) -> str | None:
        return self._printed().get(part_key)

    def near_parts(self, part: str) -> tuple[str, ...]:
        return tuple(p for k, p in self._printed().items() if folded(k) == folded(part) and k != key(part))

    def near_numbers(self, kind: str, asked: str, within: str | None = None) -> tuple[str, ...]:
        held = {
            "publication": [m.number for m in self._manuals],
            "note": [n.number for n in self._notes],
            "page": [p.page for m in self._manuals for p in m.pages],
            "model": [x for m in self._manuals for x in m.models],
        }[kind]
        return tuple(n for n in held if key(asked)[:2] == key(n)[:2])

    def received_between(self, first: dt.date, last: dt.date) -> tuple[Note, ...]:
        return tuple(n for n in self._notes if n.received and first <= n.received <= last)


def manual(
    pages: dict[str, Sequence[tuple[str, str]]],
    number: str = PUB,
    models: tuple[str, ...] = ("K7",),
    section: str | None = "Disc pack",
    **other: Any,
) -> Manual:
    made = []
    for sheet, (page, steps) in enumerate(pages.items(), 1):
        items = tuple(Item(label, text, page, sheet, section) for label, text in steps)
        made.append(ManualPage(page, sheet, section, items))
    fields: dict[str, Any] = {
        "title": None,
        "issuer": None,
        "edition": None,
        "date": None,
        "file": "manual.pdf",
    }
    return Manual(number=number, models=models, pages=tuple(made), **(fields | other))


def note(
    number: str,
    date: str | None,
    *statements: Statement,
    applies: Applies | None = None,
    received: str | None = None,
    revision: str | None = None,
) -> Note:
    """A note whose statements get its number, date and, where they have none of their own, its
    applicability."""
    dated = day(date) if date else None
    applies = applies or Applies()
    stated = []
    for s in statements:
        s = replace(s, note=number, date=dated)
        if isinstance(s, Override) and s.applies == Applies():
            s = replace(s, applies=applies)
        stated.append(s)
    return Note(
        number=number,
        date=dated,
        subject=None,
        issuer=None,
        source="maker",
        revision=revision,
        applies=applies,
        received=day(received) if received else None,
        statements=tuple(stated),
    )


_BASE: dict[str, Any] = {"note": "", "date": None, "quote": "quoted words", "source": SOURCE}


def override(action: str, item: str | None, page: str | None = "4-12", **fields: Any) -> Override:
    target = Target(fields.pop("publication", PUB), page, item)
    given = _BASE | {"settled_by": "rule"} | fields
    return Override(action=action, target=target, **given)  # type: ignore[arg-type]


def became(old: str | tuple[str, ...], new: str | tuple[str, ...], **fields: Any) -> Supersession:
    olds = (old,) if isinstance(old, str) else old
    news = (new,) if isinstance(new, str) else new
    return Supersession(old=olds, new=news, **(_BASE | fields))


def lines(**counts: int | None) -> tuple[KitLine, ...]:
    """`lines(friction_disc=5)`: names with underscores for blanks."""
    return tuple(KitLine(None, name.replace("_", " "), count) for name, count in counts.items())


def contains(kit: str, now: Sequence[KitLine], previous: Sequence[KitLine] = (), **fields: Any) -> Contents:
    return Contents(kit=kit, lines=tuple(now), previous=tuple(previous), **(_BASE | fields))


def cancels(number: str, **fields: Any) -> Cancels:
    return Cancels(cancels=number, **(_BASE | fields))


def withdrawn(part: str, **fields: Any) -> Withdrawn:
    return Withdrawn(part=part, **(_BASE | fields))
