"""Every make-up of a pack or a kit that the papers know, then and now: what a unit may have been built to.

Sources: the manual's pack steps as printed, each wording that notes put in their place over time, the kits
that the manual lists, and what notes say that a kit contains and contained before.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.applicability import words
from benchleaf.graph.binding import Family
from benchleaf.graph.book import books, items_of
from benchleaf.graph.cancelled import Cancelled, cancelled_notes
from benchleaf.graph.keys import key
from benchleaf.graph.kits.packwords import PackWords, read_pack
from benchleaf.graph.model import Applies, Contents, Item, KitLine, Manual, Override
from benchleaf.graph.overrides import order
from benchleaf.graph.shelf import Shelf
from benchleaf.graph.wording import swap

Kind = Literal["step", "list"]


@dataclass(frozen=True, slots=True)
class Configuration:
    """One make-up: a step's pack (`pack`) or a kit's list (`lines`), and whose word it is.

    `what` names it for a person, `words` are the source's own; `note` is None where the manual itself says
    so. `remarks` are cautions about the source.
    """

    what: str
    words: str
    note: str | None
    publication: str | None
    page: str | None
    item: str | None
    date: dt.date | None
    kind: Kind
    pack: PackWords | None = None
    lines: tuple[KitLine, ...] = ()
    remarks: tuple[str, ...] = ()


def configurations(
    store: Shelf, kit: str | None, model: str | None, on: dt.date | None = None
) -> tuple[Configuration, ...]:
    """Every configuration of a kit and its family, or, without a kit, of everything held for the model (of
    everything held at all without both)."""
    gone = cancelled_notes(store, on)
    manuals = [m for m in books(store) if _for_model(m.models, model)]
    steps = (c for m in manuals for c in _steps(store, m, on, gone))
    lists = (c for told in _contents(store, kit, model, on) for c in _lists(told, gone))
    own = (c for told in _own(store, kit, manuals, on) for c in _lists(told, gone, manual=True))
    return tuple(dict.fromkeys((*steps, *own, *lists)))


def _for_model(models: Sequence[str], model: str | None) -> bool:
    return not models or model is None or key(model) in {key(m) for m in models}


def _steps(
    store: Shelf, manual: Manual, on: dt.date | None, gone: dict[str, Cancelled]
) -> Iterator[Configuration]:
    told = [o for o in store.overrides(manual.number) if o.standing != "refused" and _by(o.date, on)]
    for item in items_of(manual):
        ours = sorted((o for o in told if _aimed(o, item)), key=order)
        yield from _stages(manual, item, [o for o in ours if not o.action.startswith("insert")], gone)
        for o in ours:
            if o.action.startswith("insert"):
                yield from _one_stage(manual, item, o, o.text, f"the step that {o.note} inserts", gone)


def _aimed(o: Override, item: Item) -> bool:
    return key(o.target.page or "") == key(item.page) and key(o.target.item or "") == key(item.label)


def _stages(
    manual: Manual, item: Item, told: Sequence[Override], gone: dict[str, Cancelled]
) -> Iterator[Configuration]:
    """The step's wordings in the order of the notes; a doubtful one is told beside them and changes
    nothing."""
    text: str | None = item.text
    by: Override | None = None
    for o in told:
        later = _after(text, o)
        if later == text:
            continue
        if o.standing == "settled":
            yield from _one_stage(manual, item, by, text, f"the pack before note {o.note}", gone)
            text, by = later, o
        else:
            what = f"the pack by the doubtful reading {o.id} of note {o.note}"
            yield from _one_stage(manual, item, o, later, what, gone)
    last = f"the pack since note {by.note}" if by else "the pack of the manual"
    yield from _one_stage(manual, item, by, text, last, gone)


def _after(text: str | None, o: Override) -> str | None:
    """The step's words once this override was in force."""
    if o.action == "delete":
        return None
    if o.action == "replace":
        return o.text or text
    if o.action == "change-value" and text is not None and o.was is not None and o.now is not None:
        return swap(text, o.was, o.now).text or text
    return text


def _one_stage(
    manual: Manual, item: Item, by: Override | None, text: str | None, what: str, gone: dict[str, Cancelled]
) -> Iterator[Configuration]:
    pack = read_pack(text or "")
    if pack is None or not (pack.counted or pack.ordered):
        return
    yield Configuration(
        what=f"{what} (page {item.page}, item {item.label} of {manual.number})",
        words=text or "",
        note=by.note if by else None,
        publication=manual.number,
        page=item.page,
        item=item.label,
        date=by.date if by else manual.date,
        kind="step",
        pack=pack,
        remarks=_remarks(by, gone) if by else _by_machine(item.by_ocr, manual.number),
    )


def _contents(store: Shelf, kit: str | None, model: str | None, on: dt.date | None) -> Iterator[Contents]:
    """What notes say of the kit and its family; without a kit, of every kit of notes for the model."""
    if kit is not None:
        for number in family_of(store, kit):
            yield from (c for c in store.contents(number) if c.standing != "refused" and _by(c.date, on))
        return
    for told in store.statements(kind="contents"):
        if isinstance(told, Contents) and told.standing != "refused" and _by(told.date, on):
            note = store.note_head(told.note) if model is not None else None
            if note is None or _for_model(note.applies.models, model):
                yield told


def _own(store: Shelf, kit: str | None, manuals: Iterable[Manual], on: dt.date | None) -> Iterator[Contents]:
    """What the manuals themselves list."""
    if kit is None:
        kits: Iterable[Contents] = (c for m in manuals for c in m.kits)
    else:
        kits = (c for number in family_of(store, kit) for c in store.manual_contents(number))
    yield from (c for c in kits if c.standing != "refused" and _by(c.date, on))


def family_of(store: Shelf, kit: str) -> tuple[str, ...]:
    """The kit's number and those of the kits before and after it, as printed."""
    told = [s for s in store.supersessions([key(kit)]) if s.standing != "refused"]
    family = Family(store, [kit])
    numbers = [kit, *(n for s in told for n in (*s.old, *s.new) if family.kin(n, [kit]) != "none")]
    return tuple({key(n): n for n in reversed(numbers)}.values())[::-1]


def _lists(told: Contents, gone: dict[str, Cancelled], *, manual: bool = False) -> Iterator[Configuration]:
    since = f" since {told.date.isoformat()}" if told.date else ""
    doubt = (
        "" if told.standing == "settled" else f" (doubtful reading{'' if told.id is None else f' {told.id}'})"
    )
    what = {
        f"kit {told.kit} as listed by {told.note}{since}{doubt}": told.lines,
        f"the contents before note {told.note}, which changed kit {told.kit}{doubt}": told.previous,
    }
    for name, lines in what.items():
        if lines:
            yield Configuration(
                what=name,
                words=told.quote,
                note=None if manual else told.note,
                publication=told.note if manual else None,
                page=told.source.page,
                item=None,
                date=told.date,
                kind="list",
                lines=lines,
                remarks=_remarks(told, gone),
            )


def _remarks(told: Contents | Override, gone: dict[str, Cancelled]) -> tuple[str, ...]:
    said = list(_by_machine(told.source.by_ocr, told.note))
    if isinstance(told, Override) and told.applies != Applies():
        said.append(f"{told.note} holds here for {words(told.applies)}")
    if told.standing == "doubtful":
        why = "; ".join(told.why) or "not settled"
        said.append(f"{told.note} is a doubtful reading here ({why}): settle it first")
    if key(told.note) in gone:
        said.append(f"{told.note} was cancelled by {gone[key(told.note)].by}")
    return tuple(said)


def _by_machine(by_ocr: bool, whose: str) -> tuple[str, ...]:
    return (f"the words of {whose} were read by OCR: compare with the picture",) if by_ocr else ()


def _by(date: dt.date | None, on: dt.date | None) -> bool:
    return on is None or date is None or date <= on
