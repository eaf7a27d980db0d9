"""Corrections: a statement, or a note's head, as a person says it should have been read, and what a statement
lacks to hold."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import get_args

from benchleaf.graph.db.rows import kind_of
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.keys import key
from benchleaf.graph.model import (
    Action,
    Applies,
    Cancels,
    Contents,
    KitLine,
    Note,
    Override,
    Relation,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)

UNITS = ("models", "serial_from", "serial_to", "built_from", "built_to")
FIELDS: Mapping[str, tuple[str, ...]] = {
    "override": ("publication", "page", "item", "action", "text", "was", "now", *UNITS),
    "supersession": ("from", "to", "relation"),
    "contents": ("kit", "lines"),
    "cancels": ("cancels",),
    "withdrawn": ("part",),
}
HEAD_FIELDS = ("date", *UNITS)

Fields = Mapping[str, str]


def corrected(statement: Statement, fields: Fields) -> Statement:
    """The statement with the fields of the interface put right; an empty text takes an override's value away.

    Raises WrongUse for a field that statements of this type do not have, or a value that the field cannot
    have.
    """
    kind = kind_of(statement)
    _only(FIELDS[kind], fields, f"a statement of type {kind}")
    return _CORRECTORS[type(statement)](statement, fields)


def corrected_head(note: Note, fields: Fields) -> Note:
    """The note with its head put right and nothing unclear in it. Raises WrongUse as `corrected` does."""
    _only(HEAD_FIELDS, fields, "a note's head")
    date = _day(fields["date"], "date") if "date" in fields else note.date
    applies = replace(_applies(note.applies, fields), unclear=())
    return replace(note, date=date, applies=applies, unclear=())


def _only(known: tuple[str, ...], fields: Fields, what: str) -> None:
    strange = [name for name in fields if name not in known]
    if strange:
        raise WrongUse(f"{what} has no {_options(strange)}.", f"It can be given: {_options(known)}.")


def _options(names: tuple[str, ...] | list[str]) -> str:
    return ", ".join(name.replace("_", "-") for name in names)


def _override(statement: Statement, fields: Fields) -> Statement:
    assert isinstance(statement, Override)
    old = statement.target
    target = Target(
        _given(fields, "publication", old.publication),
        _given(fields, "page", old.page),
        _given(fields, "item", old.item),
    )
    action = fields.get("action", statement.action)
    if action not in get_args(Action):
        raise WrongUse(f"“{action}” is no action.", f"It is one of {', '.join(get_args(Action))}.")
    return replace(
        statement,
        action=action,  # type: ignore[arg-type]  # one of Action's values, as just checked
        target=target,
        text=_given(fields, "text", statement.text),
        was=_given(fields, "was", statement.was),
        now=_given(fields, "now", statement.now),
        applies=_applies(statement.applies, fields),
    )


def _given(fields: Fields, name: str, old: str | None) -> str | None:
    return (fields[name].strip() or None) if name in fields else old


def _applies(old: Applies, fields: Fields) -> Applies:
    """The units with what is given put right; whoever gives units has looked at what was unclear in them."""
    if not any(name in fields for name in UNITS):
        return old
    return replace(
        old,
        models=_listed(fields["models"]) if "models" in fields else old.models,
        serial_from=_given(fields, "serial_from", old.serial_from),
        serial_to=_given(fields, "serial_to", old.serial_to),
        built_from=_day(fields["built_from"], "built-from") if "built_from" in fields else old.built_from,
        built_to=_day(fields["built_to"], "built-to") if "built_to" in fields else old.built_to,
        unclear=(),
    )


def _day(typed: str, name: str) -> dt.date | None:
    if not typed.strip():
        return None
    try:
        return dt.date.fromisoformat(typed.strip())
    except ValueError as error:
        raise WrongUse(
            f"--{name}: “{typed}” is no date.", "Write it as year-month-day, such as 2026-11-24."
        ) from error


def _listed(typed: str) -> tuple[str, ...]:
    return tuple(one.strip() for one in typed.split(",") if key(one))


def _supersession(statement: Statement, fields: Fields) -> Statement:
    assert isinstance(statement, Supersession)
    old = _listed(fields["from"]) if "from" in fields else statement.old
    new = _listed(fields["to"]) if "to" in fields else statement.new
    relation = fields.get("relation", "one" if len(new) < 2 else statement.relation)
    if relation not in get_args(Relation):
        raise WrongUse(f"“{relation}” is no relation.", f"It is one of {', '.join(get_args(Relation))}.")
    return replace(statement, old=old, new=new, relation=relation)  # type: ignore[arg-type]  # checked


def _contents(statement: Statement, fields: Fields) -> Statement:
    assert isinstance(statement, Contents)
    lines = _lines(fields["lines"]) if "lines" in fields else statement.lines
    return replace(statement, kit=fields.get("kit", statement.kit).strip(), lines=lines)


def _lines(typed: str) -> tuple[KitLine, ...]:
    from benchleaf.graph.kits.received import parse_got

    return tuple(KitLine(line.part, line.description, line.quantity) for line in parse_got(typed))


def _cancels(statement: Statement, fields: Fields) -> Statement:
    assert isinstance(statement, Cancels)
    return replace(statement, cancels=fields.get("cancels", statement.cancels).strip())


def _withdrawn(statement: Statement, fields: Fields) -> Statement:
    assert isinstance(statement, Withdrawn)
    return replace(statement, part=fields.get("part", statement.part).strip())


_CORRECTORS: Mapping[type[Statement], Callable[[Statement, Fields], Statement]] = {
    Override: _override,
    Supersession: _supersession,
    Contents: _contents,
    Cancels: _cancels,
    Withdrawn: _withdrawn,
}


def incomplete(statement: Statement) -> str | None:
    """What a statement lacks to hold as settled, in plain words; None if nothing."""
    match statement:
        case Override():
            return _incomplete_override(statement)
        case Supersession():
            return _incomplete_supersession(statement)
        case Contents():
            if not statement.lines:
                return "it names nothing in the kit (--lines)."
            return None if key(statement.kit) else "it names no kit (--kit)."
        case Cancels():
            if key(statement.cancels) == key(statement.note):
                return "a note cannot cancel itself (--cancels)."
            return None if key(statement.cancels) else "it names no note (--cancels)."
        case Withdrawn():
            return None if key(statement.part) else "it names no part (--part)."
    raise TypeError(f"no such statement: {type(statement).__name__}")


def _incomplete_override(statement: Override) -> str | None:
    place = {name: getattr(statement.target, name) for name in ("publication", "page", "item")}
    missing = [f"the {name} (--{name})" for name, value in place.items() if not key(value or "")]
    if missing:
        return f"it does not say which step is meant: {', '.join(missing)}."
    if statement.action in ("replace", "insert-after", "insert-before", "caution") and not statement.text:
        return "it has no new words (--text)."
    if statement.action == "change-value" and not (statement.was and statement.now):
        return "it has no old or no new value (--was, --now)."
    return None


def _incomplete_supersession(statement: Supersession) -> str | None:
    old, new = {key(n) for n in statement.old} - {""}, {key(n) for n in statement.new} - {""}
    if not old or not new:
        return "it names no old or no new number (--from, --to)."
    if old == new:
        return "its old and new numbers are the same (--from, --to)."
    if len(new) > 1 and statement.relation == "one":
        return "it names several new numbers: all of them or one of them (--relation)?"
    return None
