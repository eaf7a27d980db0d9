"""Corrections: a statement as a person says it should have been read, and what it lacks to hold."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from benchleaf.graph.db.rows import kind_of
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.keys import key
from benchleaf.graph.model import Cancels, Contents, Override, Statement, Supersession, Target, Withdrawn

FIELDS: Mapping[str, tuple[str, ...]] = {
    "override": ("publication", "page", "item", "text", "was", "now"),
    "supersession": ("from", "to"),
    "contents": ("kit",),
    "cancels": ("cancels",),
    "withdrawn": ("part",),
}


def corrected(statement: Statement, fields: Mapping[str, str]) -> Statement:
    """The statement with the fields of the interface put right; an empty text takes an override's value away.

    Raises WrongUse for a field that statements of this type do not have.
    """
    known = FIELDS[kind_of(statement)]
    strange = [name for name in fields if name not in known]
    if strange:
        kind = kind_of(statement)
        raise WrongUse(
            f"a statement of type {kind} has no {', '.join(strange)}.",
            f"It can be given: {', '.join(known)}.",
        )
    return _CORRECTORS[type(statement)](statement, fields)


def _override(statement: Statement, fields: Mapping[str, str]) -> Statement:
    assert isinstance(statement, Override)
    old = statement.target
    target = Target(
        _given(fields, "publication", old.publication),
        _given(fields, "page", old.page),
        _given(fields, "item", old.item),
    )
    return replace(
        statement,
        target=target,
        text=_given(fields, "text", statement.text),
        was=_given(fields, "was", statement.was),
        now=_given(fields, "now", statement.now),
    )


def _given(fields: Mapping[str, str], name: str, old: str | None) -> str | None:
    return (fields[name].strip() or None) if name in fields else old


def _supersession(statement: Statement, fields: Mapping[str, str]) -> Statement:
    assert isinstance(statement, Supersession)
    old = _numbers(fields["from"]) if "from" in fields else statement.old
    new = _numbers(fields["to"]) if "to" in fields else statement.new
    relation = "one" if len(new) < 2 else statement.relation
    return replace(statement, old=old, new=new, relation=relation)


def _numbers(typed: str) -> tuple[str, ...]:
    return tuple(number.strip() for number in typed.split(",") if key(number))


def _contents(statement: Statement, fields: Mapping[str, str]) -> Statement:
    assert isinstance(statement, Contents)
    return replace(statement, kit=fields.get("kit", statement.kit).strip())


def _cancels(statement: Statement, fields: Mapping[str, str]) -> Statement:
    assert isinstance(statement, Cancels)
    return replace(statement, cancels=fields.get("cancels", statement.cancels).strip())


def _withdrawn(statement: Statement, fields: Mapping[str, str]) -> Statement:
    assert isinstance(statement, Withdrawn)
    return replace(statement, part=fields.get("part", statement.part).strip())


_CORRECTORS: Mapping[type[Statement], Callable[[Statement, Mapping[str, str]], Statement]] = {
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
    return None
