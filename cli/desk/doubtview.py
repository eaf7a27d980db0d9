"""Doubts to settle as the desk shows them: the words, their picture, why they are in doubt, what a yes would
change, and the fields in which they can be put right."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from hashlib import blake2b
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, get_args

from benchleaf.cli.say import does, lines_words, listed, many, statement_words
from benchleaf.graph.db.corrections import FIELDS, HEAD_FIELDS, incomplete
from benchleaf.graph.db.rows import kind_of
from benchleaf.graph.model import (
    Action,
    Applies,
    Cancels,
    Contents,
    Note,
    Override,
    Relation,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)
from benchleaf.graph.wording import swap
from benchleaf.ingest.pictures.crops import Clip, clip_of_head, clip_of_statement, crops

if TYPE_CHECKING:
    from benchleaf.graph.stakes import Doubt, HeadDoubt
    from benchleaf.graph.store import Store

WORDS: Mapping[str, str] = {
    "publication": "Publication",
    "page": "Page",
    "item": "Step",
    "action": "What it does",
    "text": "New words",
    "was": "Old value",
    "now": "New value",
    "from": "Old part numbers, with commas between",
    "to": "New part numbers, with commas between",
    "relation": "Of several new numbers",
    "kit": "Kit",
    "lines": "What it contains",
    "cancels": "Note that is cancelled",
    "part": "Part no longer supplied",
    "date": "Date, year-month-day",
    "models": "Models, with commas between",
    "serial_from": "Serial number from",
    "serial_to": "Serial number up to",
    "built_from": "Built from, year-month-day",
    "built_to": "Built up to, year-month-day",
}
_LONG = ("text", "lines")
_OPENING = 8  # lines
_RELATIONS = {"one": "one new number", "all of": "all of them together", "one of": "one of them"}


@dataclass(frozen=True, slots=True)
class Field:
    """A field that a person may put right: its name in the interface, its label, its value as words now, and,
    where only some values are possible, these with their words."""

    name: str
    words: str
    value: str
    options: tuple[tuple[str, str], ...] = ()

    @property
    def long(self) -> bool:
        """Whether it takes several lines."""
        return self.name in _LONG


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a yes would change: in words, and, where a step's words are known, these before and after."""

    words: str
    was: str | None = None
    now: str | None = None


@dataclass(frozen=True, slots=True)
class DoubtView:
    """A doubtful statement to settle; `lacks` is what a yes still needs, `seen` marks the state shown."""

    said: Statement
    words: str
    jobs: tuple[str, ...]
    outcome: Outcome
    fields: tuple[Field, ...]
    crop: Path | None
    lacks: str
    seen: str


@dataclass(frozen=True, slots=True)
class HeadView:
    """A note's unclear head to settle; `crop` is the top of its paper, `opening` its first lines where it has
    no picture."""

    note: Note
    touched: str
    fields: tuple[Field, ...]
    crop: Path | None
    opening: str
    seen: str


@dataclass(frozen=True, slots=True)
class Group:
    """Doubts on which the same thing hangs."""

    title: str
    rank: int
    doubts: tuple[DoubtView, ...] = ()
    heads: tuple[HeadView, ...] = ()


def groups(store: "Store", doubts: "Iterable[Doubt]", heads: "Iterable[HeadDoubt]") -> tuple[Group, ...]:
    """Doubts and unclear heads by what hangs on them, the most urgent first."""
    readings, tops = tuple(doubts), tuple(heads)
    places = {d.statement.id or 0: clip_of_statement(store, d.statement) for d in readings}
    above = [clip_of_head(store, h.note) for h in tops]
    made = crops(store, [c for c in (*places.values(), *above) if c is not None])
    found = [
        Group(title, rank, tuple(_doubt(store, d, _made(made, places[d.statement.id or 0])) for d in run))
        for (rank, title), run in groupby(readings, key=lambda d: (d.stake.rank, d.stake.title))
    ]
    if tops:
        views = tuple(_head(store, h.note, c, _made(made, c)) for h, c in zip(tops, above, strict=True))
        found.append(Group(tops[0].stake.title, tops[0].stake.rank, heads=views))
    return tuple(sorted(found, key=lambda g: g.rank))


def seen(thing: Statement | Note) -> str:
    """A mark of everything that was shown: it differs once another person, or a new paper, changed it."""
    shown = replace(thing, statements=()) if isinstance(thing, Note) else thing
    return blake2b(repr(shown).encode("utf-8", "replace"), digest_size=12).hexdigest()


def changed(fields: Iterable[Field], given: Mapping[str, str]) -> dict[str, str]:
    """Of what was given, the fields that differ from what was shown."""
    plain = {f.name: " ".join(f.value.split()) for f in fields}
    return {
        name: value.replace("\r\n", "\n").strip()
        for name, value in given.items()
        if name in plain and " ".join(value.split()) != plain[name]
    }


def fields_of(said: Statement) -> tuple[Field, ...]:
    """What can be put right in a statement, with its present values."""
    values = _values(said)
    return tuple(_field(name, values[name]) for name in FIELDS[kind_of(said)])


def head_fields(note: Note) -> tuple[Field, ...]:
    """What can be put right in a note's head, with its present values."""
    values = {"date": _day(note.date), **_units(note.applies)}
    return tuple(_field(name, values[name]) for name in HEAD_FIELDS)


def _made(made: Mapping[Clip, Path], clip: Clip | None) -> Path | None:
    return None if clip is None else made.get(clip)


def _doubt(store: "Store", doubt: "Doubt", crop: Path | None) -> DoubtView:
    said = doubt.statement
    changes, lacks = outcome(store, said), _lacking(store, said)
    return DoubtView(
        said, statement_words(said), doubt.stake.jobs, changes, fields_of(said), crop, lacks, seen(said)
    )


def in_fields(words: str) -> str:
    """A sentence with the labels of the desk's fields in place of the command's options."""
    for name, label in WORDS.items():
        words = words.replace(f"--{name.replace('_', '-')}", f"“{label}”")
    return words


def _lacking(store: "Store", said: Statement) -> str:
    """What a yes still needs; a place that only one held step fits is completed by itself."""
    if isinstance(said, Override) and len(store.item(said.target)) == 1:
        said = replace(said, target=Target("0", "0", "0"))
    return in_fields(incomplete(said) or "")


def _head(store: "Store", note: Note, clip: Clip | None, crop: Path | None) -> HeadView:
    count = max((len(n.statements) for n in store.notes_like(note.number) if n.file == note.file), default=0)
    touched = "It states nothing that hangs on this; its place among the notes does."
    if count:
        touched = f"{many(count, 'reading')} of this note would be judged by the date and units given here."
    opening = "" if crop is not None or clip is None else _opening(store, clip)
    return HeadView(note, touched, head_fields(note), crop, opening, seen(note))


def _opening(store: "Store", clip: Clip) -> str:
    """The first lines of a paper without a picture."""
    document = store.document(clip.sha256)
    texts = [s.text for s in document.sheets if s.sheet == clip.sheet] if document else []
    lines = [line.strip() for text in texts for line in text.splitlines() if line.strip()]
    return "\n".join(lines[:_OPENING])


def outcome(store: "Store", said: Statement) -> Outcome:
    """What a yes to the statement as it was read would change."""
    match said:
        case Override():
            return _step_outcome(store, said)
        case Supersession():
            joint = "or" if said.relation == "one of" else "and"
            return Outcome(f"Answers would name {listed(said.new, joint)} for {listed(said.old)}.")
        case Contents():
            return Outcome(f"Kit {said.kit} would be counted by this list: {lines_words(said.lines)}.")
        case Cancels():
            held = store.notes_like(said.cancels)
            count = many(sum(len(n.statements) for n in held), "statement")
            what = f"and its {count} with it" if held else "which is not held"
            return Outcome(f"Note {said.cancels} would be out of force, {what}.")
        case Withdrawn():
            return Outcome(f"Answers would say that {said.part} is no longer supplied.")
    return Outcome("")


def _step_outcome(store: "Store", said: Override) -> Outcome:
    items = store.item(said.target)
    printed = items[0].text if len(items) == 1 else None
    match said.action:
        case "delete":
            return Outcome("The step would be left out.", printed, None)
        case "change-value":
            put = swap(printed, said.was, said.now).text if printed and said.was and said.now else None
            if put is not None:
                return Outcome("The step would read:", printed, put)
            return Outcome("A value of the step would change:", said.was, said.now)
        case "replace":
            return Outcome("The step would read:", printed or said.was, said.text)
    return Outcome(f"Beside the step, which stays: it {does(said.action)}.", None, said.text)


def _field(name: str, value: str) -> Field:
    options: tuple[tuple[str, str], ...] = ()
    if name == "action":
        options = tuple((a, f"it {does(a)}") for a in get_args(Action))
    elif name == "relation":
        options = tuple((r, _RELATIONS[r]) for r in get_args(Relation))
    return Field(name, WORDS[name], value, options)


def _values(said: Statement) -> dict[str, str]:
    match said:
        case Override(target=t):
            place = {"publication": t.publication, "page": t.page, "item": t.item}
            words = {"action": said.action, "text": said.text, "was": said.was, "now": said.now}
            return {name: value or "" for name, value in (place | words).items()} | _units(said.applies)
        case Supersession():
            return {"from": ", ".join(said.old), "to": ", ".join(said.new), "relation": said.relation}
        case Contents():
            return {"kit": said.kit, "lines": lines_words(said.lines) if said.lines else ""}
        case Cancels():
            return {"cancels": said.cancels}
        case Withdrawn():
            return {"part": said.part}
    raise TypeError(f"no such statement: {type(said).__name__}")


def _units(applies: Applies) -> dict[str, str]:
    return {
        "models": ", ".join(applies.models),
        "serial_from": applies.serial_from or "",
        "serial_to": applies.serial_to or "",
        "built_from": _day(applies.built_from),
        "built_to": _day(applies.built_to),
    }


def _day(date: dt.date | None) -> str:
    return date.isoformat() if date else ""
