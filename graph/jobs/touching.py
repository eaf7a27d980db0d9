"""Which notes touch a job: its steps, its kits, the parts that either names, or a note behind them."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from benchleaf.graph.applicability import Unit, covers
from benchleaf.graph.binding import Family
from benchleaf.graph.jobs.job import PinnedStep
from benchleaf.graph.keys import key, natural
from benchleaf.graph.mentions import runs
from benchleaf.graph.model import (
    Cancels,
    Contents,
    KitLine,
    Note,
    Override,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)
from benchleaf.graph.procedure import Step
from benchleaf.graph.store import Store
from benchleaf.graph.walk import links

_DOES = {
    "replace": "replaces",
    "insert-after": "adds a step after",
    "insert-before": "adds a step before",
    "delete": "deletes",
    "change-value": "changes a value in",
    "caution": "adds a caution to",
}


@dataclass(frozen=True, slots=True)
class Ground:
    """What a job stands on: its unit, the labels of its steps by publication and page, its kits by key, the
    part numbers (by key) that steps and kits name and where, and the notes behind its steps."""

    unit: Unit
    publications: tuple[str, ...]
    places: Mapping[tuple[str, str], frozenset[str]]
    kits: tuple[str, ...]
    parts: Mapping[str, str]
    notes: frozenset[str]

    @property
    def kit_keys(self) -> frozenset[str]:
        """The kits' keys."""
        return frozenset(map(key, self.kits))


@dataclass(frozen=True, slots=True)
class Touching:
    """A note that touches a job: why, in plain words, the readings of it that are still in doubt, and the
    notes that it cancels."""

    note: Note
    why: tuple[str, ...]
    doubtful: tuple[Statement, ...] = ()
    cancels: tuple[str, ...] = ()


def ground(
    unit: Unit,
    kits: Iterable[str],
    steps: Iterable[Step | PinnedStep],
    lines: Iterable[tuple[str, KitLine]] = (),
) -> Ground:
    """The ground of a unit with its kits, its steps, and the lines of its kits (each with its kit)."""
    steps = tuple(steps)
    places: dict[tuple[str, str], set[str]] = {}
    for s in steps:
        labels = places.setdefault((key(s.publication), key(s.page)), set())
        labels |= {key(s.label), key(s.item or s.label)}
    parts = {key(line.part): f"in kit {kit}" for kit, line in lines if line.part}
    for s in steps:
        words = " ".join((s.text or s.printed or "", *(n.text for n in s.notices)))
        where = f"named in step {s.label} on page {s.page} of {s.publication}"
        parts = {run.key: where for run in runs(words)} | parts
    return Ground(
        unit=unit,
        publications=tuple(dict.fromkeys(s.publication for s in steps)),
        places={place: frozenset(labels) for place, labels in places.items()},
        kits=tuple(kits),
        parts=parts,
        notes=frozenset(key(n) for s in steps for n in (s.origin, *s.changed_by) if n != "manual"),
    )


def touching_notes(store: Store, on: Ground) -> tuple[Touching, ...]:
    """Every note held that touches the ground, whatever its date, by date and number; cancelled ones too."""
    wide = _with_successors(store, on)
    return _by_note(store, wide, _candidates(store, wide))


def touched_by(store: Store, on: Ground, notes: Iterable[Note]) -> tuple[Touching, ...]:
    """Those of some notes (with their statements) that touch the ground."""
    said = [s for n in notes for s in n.statements]
    if any(isinstance(s, Supersession | Withdrawn) for s in said):
        on = _with_successors(store, on)
    return _by_note(store, on, said)


def _with_successors(store: Store, on: Ground) -> Ground:
    """The ground with the numbers that its own numbers became: what becomes of those is news to it too."""
    numbers = sorted({*on.kit_keys, *on.parts} - {""})
    told = [s for s in store.supersessions(numbers) if s.standing != "refused"] if numbers else []
    ahead = links(told)
    parts = dict(on.parts)
    waiting = [*on.kit_keys, *on.parts]
    while waiting:
        number = waiting.pop()
        where = "a kit of this job" if number in on.kit_keys else parts[number]
        where = where if where.startswith("in place of") else f"in place of a number {where}"
        for new in ahead.get(number, ()):
            if new not in parts and new not in on.kit_keys:
                parts[new] = where.replace("a number a kit", "a kit")
                waiting.append(new)
    return replace(on, parts=parts)


def _by_note(store: Store, on: Ground, said: Iterable[Statement]) -> tuple[Touching, ...]:
    found: dict[tuple[object, ...], tuple[Note, list[tuple[Statement, str]]]] = {}
    for s in sorted({s.id: s for s in said if s.id is not None}.values(), key=lambda s: s.id or 0):
        why = touch(store, on, s)
        note = store.note_of_statement(s.id or 0) if why else None
        if note is not None and why is not None:
            found.setdefault(identity(note), (note, []))[1].append((s, why))
    touching = [_touching(note, told) for note, told in found.values()]
    return tuple(sorted(touching, key=lambda t: (t.note.date or dt.date.min, natural(t.note.number))))


def _touching(note: Note, told: Iterable[tuple[Statement, str]]) -> Touching:
    told = tuple(told)
    why = [w if s.standing == "settled" else f"{w}, if a doubtful reading is right" for s, w in told]
    return Touching(
        note,
        tuple(dict.fromkeys(why)),
        tuple(s for s, _ in told if s.standing == "doubtful"),
        tuple(s.cancels for s, _ in told if isinstance(s, Cancels)),
    )


def identity(note: Note) -> tuple[object, ...]:
    """What makes two notes the same paper: number, revision and date."""
    return (key(note.number), key(note.revision or ""), note.date)


def _candidates(store: Store, on: Ground) -> Iterator[Statement]:
    for publication in on.publications:
        yield from store.overrides(publication)
    numbers = sorted({*on.kit_keys, *on.parts} - {""})
    for number in numbers:
        yield from store.contents(number)
    yield from store.supersessions(numbers) if numbers else ()
    yield from store.statements(kind="withdrawn")
    yield from store.cancellations()


def touch(store: Store, on: Ground, s: Statement) -> str | None:
    """Why a statement touches the ground, in words that follow its note's number; None if it does not.

    What cannot be told counts: a unit whose serial number is not known may be meant. A refused reading never
    counts.
    """
    if s.standing == "refused":
        return None
    match s:
        case Override():
            return _override(store, on, s)
        case Contents() if (where := _where(on, s.kit)) is not None:
            return f"tells what kit {s.kit} ({where}) contains"
        case Supersession():
            return _supersession(on, s)
        case Withdrawn():
            where = _where(on, s.part)
            return f"says that {s.part} ({where}) is no longer supplied" if where else None
        case Cancels() if key(s.cancels) in on.notes and key(s.note) != key(s.cancels):
            return f"cancels {s.cancels}, which made steps of this job"
    return None


def _where(on: Ground, number: str) -> str | None:
    if key(number) in on.kit_keys:
        return "a kit of this job"
    return on.parts.get(key(number))


def _supersession(on: Ground, s: Supersession) -> str | None:
    became = f"became {' and '.join(s.new)}" if s.new else "was replaced"
    for number in s.old:
        where = _where(on, number)
        if where:
            return f"says that {number} ({where}) {became}"
    kit = next((n for n in s.new if key(n) in on.kit_keys), None)
    return f"says that {' and '.join(s.old)} became kit {kit}" if kit else None


def _override(store: Store, on: Ground, o: Override) -> str | None:
    if covers(o.applies, on.unit).answer == "no" or not _same_kits(store, on, o):
        return None
    place = _place(store, on, o.target, loose=o.standing == "doubtful")
    return f"{_DOES[o.action]} {place}" if place else None


def _same_kits(store: Store, on: Ground, o: Override) -> bool:
    """False for a note that names kits of which none is of the family of this job's."""
    if not o.applies.kits or not on.kits:
        return True
    family = Family(store, on.kits)
    return any(family.kin(kit, on.kits) != "none" for kit in o.applies.kits)


def _place(store: Store, on: Ground, target: Target, *, loose: bool) -> str | None:
    """The step or page of the ground that a target means, in words."""
    if target.publication is None and not loose:
        return None
    meant = {
        page: labels
        for (publication, page), labels in on.places.items()
        if target.publication is None or key(target.publication) == publication
    }
    if not meant:
        return None
    if target.page is None:
        return f"a step of {target.publication or 'a publication not named'}, on a page not named"
    if key(target.page) not in meant:
        return None
    of = f"page {target.page} of {target.publication or 'a publication not named'}"
    if target.item is None:
        return f"a step on {of}"
    if key(target.item) in meant[key(target.page)] or not store.item(target):
        return f"step {target.item} on {of}"
    return None
