"""Rows and dataclasses: how boxes, dates, sources and statements stand in the database, both ways."""

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from dataclasses import astuple, fields, replace
from functools import lru_cache
from typing import Any, cast

from benchleaf.graph.keys import key
from benchleaf.graph.model import (
    Applies,
    Box,
    Cancels,
    Citation,
    Contents,
    Item,
    KitLine,
    Note,
    Notice,
    Override,
    Source,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)

Row = Any  # sqlite3.Row: its columns are named by the query


def key_or_none(printed: str | None) -> str | None:
    """The key of a number, or None where no number is given."""
    return None if printed is None else key(printed)


def write_date(date: dt.date | None) -> str | None:
    """A date as ISO 8601."""
    return None if date is None else date.isoformat()


@lru_cache(maxsize=4096)  # the rows of an answer repeat the same few days
def read_date(text: str | None) -> dt.date | None:
    """A date from ISO 8601."""
    return None if text is None else dt.date.fromisoformat(text)


def write_list(values: Iterable[object]) -> str:
    """A list as a JSON text."""
    return json.dumps(list(values), ensure_ascii=False)


def read_list(text: str) -> tuple[Any, ...]:
    """A list from its JSON text."""
    return () if text == "[]" else tuple(json.loads(text))


def write_box(box: Box | None) -> str | None:
    """A box as a JSON list of four numbers, in points."""
    return None if box is None else write_list(box)


def read_box(text: str | None) -> Box | None:
    """A box from its JSON list."""
    return None if text is None else Box(*json.loads(text))


def write_source(source: Source) -> tuple[object, ...]:
    """The five columns source_file, source_sheet, source_page, source_box, source_ocr."""
    return source.file, source.sheet, source.page, write_box(source.box), int(source.by_ocr)


def read_source(row: Row) -> Source:
    """A source from its five columns."""
    return Source(
        file=row["source_file"],
        sheet=row["source_sheet"],
        page=row["source_page"],
        box=read_box(row["source_box"]),
        by_ocr=bool(row["source_ocr"]),
    )


def write_applies(applies: Applies) -> str:
    """An applicability as a JSON text; what is open or empty is left out."""
    named: dict[str, object] = {
        "models": applies.models,
        "serial_from": applies.serial_from,
        "serial_to": applies.serial_to,
        "excepted": applies.excepted,
        "built_from": write_date(applies.built_from),
        "built_to": write_date(applies.built_to),
        "kits": applies.kits,
        "as_printed": applies.as_printed,
        "unclear": applies.unclear,
    }
    return json.dumps(
        {name: value for name, value in named.items() if value not in (None, ())}, ensure_ascii=False
    )


@lru_cache(maxsize=4096)  # a note's statements mostly share its own
def read_applies(text: str | None) -> Applies:
    """An applicability from its JSON text."""
    named = json.loads(text or "{}")
    return Applies(
        models=tuple(named.get("models", ())),
        serial_from=named.get("serial_from"),
        serial_to=named.get("serial_to"),
        excepted=tuple(named.get("excepted", ())),
        built_from=read_date(named.get("built_from")),
        built_to=read_date(named.get("built_to")),
        kits=tuple(named.get("kits", ())),
        as_printed=named.get("as_printed", ""),
        unclear=tuple(named.get("unclear", ())),
    )


def read_kit_line(row: Row) -> KitLine:
    """A kit line from the columns part, description, quantity."""
    return KitLine(row["part"], row["description"], row["quantity"])


def write_notices(notices: Iterable[Notice]) -> str:
    """Notices as a JSON list of pairs."""
    return write_list((n.kind, n.text) for n in notices)


def read_item(row: Row) -> Item:
    """An item from its row."""
    return Item(
        label=row["label"],
        text=row["text"],
        page=row["page"],
        sheet=row["sheet"],
        section=row["section"],
        notices=tuple(Notice(*pair) for pair in read_list(row["notices"])),
        box=read_box(row["box"]),
        id=row["id"],
        by_ocr=bool(row["by_ocr"]),
        unsure=read_list(row["unsure"]),
    )


def read_note(row: Row, cancelled_by: str | None) -> Note:
    """A note from its row, without its statements."""
    return Note(
        number=row["number"],
        date=read_date(row["date"]),
        subject=row["subject"],
        issuer=row["issuer"],
        source=row["source"],
        revision=row["revision"],
        applies=read_applies(row["applies"]),
        file=row["file"],
        received=read_date(row["received"]),
        cancelled_by=cancelled_by,
        unclear=read_list(row["unclear"]),
        cites=tuple(Citation(*cited) for cited in read_list(row["cites"])),
    )


def write_head(note: Note) -> str:
    """What of a note's head a person may put right, as one JSON text: date, applicability, doubts."""
    return write_list((write_date(note.date), write_applies(note.applies), note.unclear))


def read_head(text: str, note: Note) -> Note:
    """The note with date, applicability and doubts from their JSON text."""
    date, applies, unclear = json.loads(text)
    return replace(note, date=read_date(date), applies=read_applies(applies), unclear=tuple(unclear))


def write_citations(cites: Iterable[Citation]) -> str:
    """Citations as one JSON text: kind, number and page each."""
    return json.dumps([[c.kind, c.number, c.page] for c in cites])


KINDS: Mapping[type[Statement], str] = {
    Supersession: "supersession",
    Override: "override",
    Contents: "contents",
    Cancels: "cancels",
    Withdrawn: "withdrawn",
}


def kind_of(statement: Statement) -> str:
    """The statement's type as the interface names it."""
    return KINDS[type(statement)]


def write_body(statement: Statement) -> dict[str, object]:
    """The columns that belong to the statement's own type, beside those every statement has."""
    if isinstance(statement, Supersession):
        return {
            "relation": statement.relation,
            "interchange": statement.interchange,
            "stock": statement.stock,
        }
    if isinstance(statement, Override):
        words = {name: getattr(statement, name) for name in ("action", "text", "was", "now")}
        return {**words, **write_target(statement.target), "applies": write_applies(statement.applies)}
    subject = subject_of(statement)
    return {"subject": subject, "subject_key": key_or_none(subject)}


def write_reading(statement: Statement) -> str:
    """What a statement says, as it was read, as one JSON text: its type's own fields."""
    named = own_fields(statement)
    if isinstance(statement, Override):
        named |= {"target": astuple(statement.target), "applies": write_applies(statement.applies)}
    if isinstance(statement, Contents):
        named |= {name: [astuple(line) for line in named[name]] for name in ("lines", "previous")}
    return json.dumps(named, ensure_ascii=False, sort_keys=True)


def read_reading(text: str, statement: Statement) -> Statement:
    """The statement with its type's own fields as they were read, from their JSON text."""
    named: dict[str, Any] = json.loads(text)
    for name, value in named.items():
        if name == "target":
            named[name] = Target(*value)
        elif name == "applies":
            named[name] = read_applies(value)
        elif name in ("lines", "previous"):
            named[name] = tuple(KitLine(*line) for line in value)
        elif isinstance(value, list):
            named[name] = tuple(value)
    return replace(statement, **named)


def own_fields(statement: Statement) -> dict[str, Any]:
    """The fields that a statement of its type has beside those every statement has."""
    common = {f.name for f in fields(Statement)}
    return {f.name: getattr(statement, f.name) for f in fields(statement) if f.name not in common}


def subject_of(statement: Statement) -> str | None:
    """The one number that a contents, cancels or withdrawn statement speaks of."""
    if isinstance(statement, Contents):
        return statement.kit
    if isinstance(statement, Cancels):
        return statement.cancels
    return statement.part if isinstance(statement, Withdrawn) else None


def write_target(target: Target) -> dict[str, object]:
    """The six columns of an override's target."""
    return {
        "publication": target.publication,
        "publication_key": key_or_none(target.publication),
        "page": target.page,
        "page_key": key_or_none(target.page),
        "item": target.item,
        "item_key": key_or_none(target.item),
    }


def read_statement(
    row: Row,
    old: tuple[str, ...],
    new: tuple[str, ...],
    lines: tuple[KitLine, ...],
    previous: tuple[KitLine, ...],
) -> Statement:
    """A statement from its row and from the numbers and lines that hang on it."""
    common = _common(row)
    match row["kind"]:
        case "supersession":
            return Supersession(
                **common,
                old=old,
                new=new,
                relation=row["relation"],
                interchange=row["interchange"],
                stock=row["stock"],
            )
        case "override":
            return Override(**common, **_override(row))
        case "contents":
            return Contents(**common, kit=row["subject"], lines=lines, previous=previous)
        case "cancels":
            return Cancels(**common, cancels=row["subject"])
        case _:
            return Withdrawn(**common, part=row["subject"])


def _common(row: Row) -> dict[str, Any]:
    return {
        "note": row["note"],
        "date": read_date(row["date"]),
        "quote": row["quote"],
        "source": read_source(row),
        "standing": row["standing"],
        "why": cast("tuple[str, ...]", read_list(row["why"])),
        "confidence": row["confidence"],
        "settled_by": row["settled_by"],
        "id": row["id"],
    }


def _override(row: Row) -> dict[str, Any]:
    return {
        "action": row["action"],
        "target": Target(row["publication"], row["page"], row["item"]),
        "text": row["text"],
        "was": row["was"],
        "now": row["now"],
        "applies": read_applies(row["applies"]),
    }
