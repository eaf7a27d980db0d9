"""Held originals read again with the present phrase book: what that changes, and what people settled stays.

One transaction a document. A document that cannot be read now is left as it was read before.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from benchleaf.graph.db.rereading import KEPT
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.keys import key
from benchleaf.graph.model import Document, Manual, Note, Statement
from benchleaf.graph.restand import Rejudged, places_of, rejudge, rejudge_places, restand
from benchleaf.graph.store import HeldFile, Store
from benchleaf.ingest.dayorder import printed_date, put_day_order, settle_day_order
from benchleaf.ingest.files import digest_of, find_files
from benchleaf.ingest.workers.ahead import Ahead, Awaited
from benchleaf.ingest.workers.jobs import Paper
from benchleaf.ingest.workers.readers import Here, Readers

Outcome = Literal["same", "changed", "refused"]


@dataclass(frozen=True, slots=True)
class ItemChange:
    """A step of a manual that is read otherwise: its words before and now; None where it is not there."""

    page: str
    item: str
    was: str | None
    now: str | None


@dataclass(frozen=True, slots=True)
class HeadChange:
    """A field of a note's head that is read otherwise; the field `note` where the whole note is new or
    gone."""

    note: str
    field: str
    was: str | None
    now: str | None


@dataclass(frozen=True, slots=True)
class Kept:
    """A statement that a person settled; `found` is whether the present reading gives it too."""

    statement: Statement
    found: bool


@dataclass(frozen=True, slots=True)
class FileReread:
    """What reading one original again came to.

    `changed` are its statements that are read or judged otherwise, and those of other papers that are judged
    otherwise because of it. `kits` are those that a manual now lists otherwise. `reason` says why it was
    refused.
    """

    file: str
    sha256: str
    outcome: Outcome
    reason: str | None = None
    new: tuple[Statement, ...] = ()
    gone: tuple[Statement, ...] = ()
    changed: tuple[Rejudged, ...] = ()
    unchanged: int = 0
    kept: tuple[Kept, ...] = ()
    items: tuple[ItemChange, ...] = ()
    heads: tuple[HeadChange, ...] = ()
    kits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RereadReport:
    """Every original in the order read; `dry_run` if the store was left as it was."""

    files: tuple[FileReread, ...]
    dry_run: bool = False

    def count(self, outcome: Outcome) -> int:
        """How many originals had this outcome."""
        return sum(f.outcome == outcome for f in self.files)


class _OnlyLooking(Exception):
    """Ends the transaction of a dry run."""


def chosen(store: Store, asked: Sequence[str]) -> tuple[HeldFile, ...]:
    """The held files that are meant: by a path (the bytes count), by the number of a note or publication, or
    by the name under which a file was added; without any, all.

    Raises NotHeld for what the store does not hold, such as a file that was refused.
    """
    if not asked:
        return store.files()
    found = {f.id: f for one in asked for f in _meant(store, one)}
    return tuple(found[id] for id in sorted(found))


def _meant(store: Store, asked: str) -> tuple[HeldFile, ...]:
    path = Path(asked)
    if path.exists():
        digests = map(digest_of, find_files([path], store.folder))
        held = tuple(f for d in digests if (f := store.held(d)) is not None)
    else:
        held = store.files_of(asked)
    if not held:
        near = (*store.near_numbers("note", asked), *store.near_numbers("publication", asked))
        raise NotHeld(f"the store holds no original of {asked}", near, "Take papers in with benchleaf add.")
    return held


def reread(
    store: Store,
    files: Sequence[HeldFile],
    *,
    dry_run: bool = False,
    progress: Callable[[FileReread, int], None] | None = None,
    readers: Readers | None = None,
) -> RereadReport:
    """Read held originals again; what changed. With `dry_run` the store is left as it was. `readers` read
    them, without any this process does.

    Raises StoreProblem if the store cannot be written, WrongUse if the shop's own wordings are malformed or
    slow; an original that cannot be read is only an outcome.
    """
    found: list[FileReread] = []
    for told in reread_files(Ahead.of(store, readers or Here()), files, dry_run=dry_run):
        found.append(told)
        if progress is not None:
            progress(told, len(files))
    if not dry_run and any(f.outcome == "changed" for f in found):
        settle_day_order(store)
    return RereadReport(tuple(found), dry_run)


def reread_files(ahead: Ahead, files: Iterable[HeldFile], *, dry_run: bool = False) -> Iterator[FileReread]:
    """Read held originals again, each in one transaction; what that came to, in their order."""

    def begin(file: HeldFile) -> Awaited:
        paper = Paper(file.name, file.sha256, str(ahead.store.original(file.sha256).absolute()), kept=True)
        return ahead.begin(paper, tuple(ahead.store.scans(file.sha256)))

    for file, awaited in ahead.in_order(files, begin):
        reading = ahead.end(awaited)
        if reading.document is None:
            yield FileReread(file.name, file.sha256, "refused", reading.refusal)
        else:
            yield _stored(ahead.store, file, reading.document, dry_run)


def _stored(store: Store, file: HeldFile, document: Document, dry_run: bool) -> FileReread:
    told: list[FileReread] = []
    try:
        with store.transaction():
            told.append(_put(store, file, document))
            if dry_run:
                raise _OnlyLooking
    except _OnlyLooking:
        pass
    return told[0]


def _put(store: Store, file: HeldFile, document: Document) -> FileReread:
    before = _held(store, file)
    store.reread(document)
    others = restand(store, file.id, document)
    others += _left_behind(store, before)
    if any(printed_date(doubt) for note in document.notes for doubt in note.unclear):
        put_day_order(store)
    return _compared(file, before, _held(store, file), others)


def _held(store: Store, file: HeldFile) -> Document:
    held = store.document(file.sha256)
    assert held is not None  # listed by the store itself
    return held


def _left_behind(store: Store, before: Document) -> tuple[Rejudged, ...]:
    """What the earlier reading bore on and the present one may not: other numbers, other steps."""
    changed: tuple[Rejudged, ...] = ()
    if before.manual is not None:
        changed = rejudge(store, store.unsettled_by_person_overrides(before.manual.number))
    return changed + rejudge_places(store, places_of(_statements(before)))


def _compared(file: HeldFile, before: Document, after: Document, others: Sequence[Rejudged]) -> FileReread:
    was, now = ({s.id: s for s in _statements(d)} for d in (before, after))
    pairs = [Rejudged(was[id], now[id]) for id in was if id in now]
    changed = [p for p in pairs if _told(p.was) != _told(p.now)]
    elsewhere = _net(r for r in others if r.now.id not in now and r.was.id not in was)
    told = FileReread(
        file=file.name,
        sha256=file.sha256,
        outcome="same",
        new=tuple(s for id, s in now.items() if id not in was),
        gone=tuple(s for id, s in was.items() if id not in now),
        changed=(*changed, *elsewhere),
        unchanged=len(pairs) - len(changed),
        kept=tuple(_kept(s) for s in now.values() if s.settled_by not in (None, "rule")),
        items=tuple(_items(before.manual, after.manual)),
        heads=tuple(_heads(before.notes, after.notes)),
        kits=_kits(before.manual, after.manual),
    )
    same = not (told.new or told.gone or told.changed or told.items or told.heads or told.kits)
    return told if same else replace(told, outcome="changed")


def _kits(before: Manual | None, after: Manual | None) -> tuple[str, ...]:
    """The kits that the manual lists otherwise than before, as it prints their numbers."""
    was, now = ({(c.kit, c.lines, c.standing) for c in m.kits} if m else set() for m in (before, after))
    return tuple(sorted({kit for kit, _, _ in was ^ now}))


def _statements(document: Document) -> Iterator[Statement]:
    for note in document.notes:
        yield from note.statements


def _told(statement: Statement) -> Statement:
    """A statement without what no person sees: where exactly its box lies, how sure its letters are."""
    return replace(statement, source=replace(statement.source, box=None), confidence=1.0)


def _net(changes: Iterator[Rejudged]) -> list[Rejudged]:
    """Of several changes to one statement the first's before and the last's after, if they differ."""
    found: dict[int | None, Rejudged] = {}
    for one in changes:
        found[one.now.id] = Rejudged(found[one.now.id].was if one.now.id in found else one.was, one.now)
    return [one for one in found.values() if one.was != one.now]


def _kept(statement: Statement) -> Kept:
    lost = any(reason.startswith(KEPT) and reason.endswith("does not find it") for reason in statement.why)
    return Kept(statement, not lost)


Place = tuple[str, str, int]


def _items(before: Manual | None, after: Manual | None) -> Iterator[ItemChange]:
    was, now = _steps(before), _steps(after)
    for place in dict.fromkeys((*was, *now)):
        one, other = was.get(place), now.get(place)
        if (one and one[2]) != (other and other[2]):
            page, item, _ = other or one or ("", "", "")
            yield ItemChange(page, item, one[2] if one else None, other[2] if other else None)


def _steps(manual: Manual | None) -> dict[Place, tuple[str, str, str]]:
    """Steps by page, number and, where a page has a number twice, which of them: page, number and words."""
    found: dict[Place, tuple[str, str, str]] = {}
    seen: Counter[tuple[str, str]] = Counter()
    for page in manual.pages if manual else ():
        for item in page.items:
            place = (key(item.page), key(item.label))
            seen[place] += 1
            text = "\n".join((item.text, *(f"{n.kind}: {n.text}" for n in item.notices)))
            found[*place, seen[place]] = (item.page, item.label, text)
    return found


_HEAD = ("number", "date", "subject", "issuer", "revision", "applies", "unclear")


def _heads(before: Sequence[Note], after: Sequence[Note]) -> Iterator[HeadChange]:
    left = list(before)
    for now in after:
        was = next((n for n in left if key(n.number) == key(now.number)), None)
        if was is None and len(before) == len(after) == 1:
            was = before[0]
        if was is None:
            yield HeadChange(now.number, "note", None, now.number)
            continue
        left.remove(was)
        for name in _HEAD:
            if getattr(was, name) != getattr(now, name):
                yield HeadChange(now.number, name, _words(was, name), _words(now, name))
    for gone in left:
        yield HeadChange(gone.number, "note", gone.number, None)


def _words(note: Note, name: str) -> str | None:
    value = getattr(note, name)
    if name == "applies":
        from benchleaf.graph.applicability import words

        return words(note.applies)
    if name == "unclear":
        return "; ".join(note.unclear) or None
    return None if value is None else str(value)
