"""JSON shapes of what the store holds. This is the outer edge: the one place where answers become dicts."""

import datetime as dt
import json
from typing import Any

import click
from benchleaf.graph.model import (
    Applies,
    Cancels,
    Contents,
    KitLine,
    Manual,
    Note,
    Override,
    Source,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)

Json = dict[str, Any]


def show(shape: Json) -> None:
    """Print the one JSON object of a call; ASCII only, so that nothing in it can steer a terminal."""
    click.echo(json.dumps(shape, indent=2, ensure_ascii=True))


def day(date: dt.date | None) -> str | None:
    """A date as ISO 8601, or null."""
    return None if date is None else date.isoformat()


def applies_shape(applies: Applies) -> Json:
    """The interface's APPLIES."""
    return {
        "models": list(applies.models),
        "serial_from": applies.serial_from,
        "serial_to": applies.serial_to,
        "except": list(applies.excepted),
        "built_from": day(applies.built_from),
        "built_to": day(applies.built_to),
        "kits": list(applies.kits),
        "as_printed": applies.as_printed,
        "unclear": list(applies.unclear),
    }


def source_shape(source: Source) -> Json:
    """Where words were read; the box in points from the top left corner."""
    return {
        "file": source.file,
        "sheet": source.sheet,
        "page": source.page,
        "box": None if source.box is None else list(source.box),
        "by_ocr": source.by_ocr,
    }


def target_shape(target: Target) -> Json:
    """The step that is meant."""
    return {"publication": target.publication, "page": target.page, "item": target.item}


def line_shape(line: KitLine) -> Json:
    """One line of a kit; quantity null for "as required"."""
    return {"part": line.part, "description": line.description, "quantity": line.quantity}


def statement_shape(statement: Statement) -> Json:
    """The interface's STATEMENT."""
    common = {
        "id": statement.id,
        "note": statement.note,
        "date": day(statement.date),
        "type": type_of(statement),
        "standing": statement.standing,
        "why": list(statement.why),
        "confidence": statement.confidence,
        "quote": statement.quote,
        "source": source_shape(statement.source),
        "settled_by": statement.settled_by,
    }
    return common | _own_shape(statement)


def type_of(statement: Statement) -> str:
    """The statement's type as the interface names it."""
    return type(statement).__name__.lower()


def _own_shape(statement: Statement) -> Json:
    match statement:
        case Supersession():
            return _supersession_shape(statement)
        case Override():
            return _override_shape(statement)
        case Contents():
            return _contents_shape(statement)
        case Cancels():
            return {"cancels": statement.cancels}
        case Withdrawn():
            return {"part": statement.part}
    raise TypeError(f"no shape for {type(statement).__name__}")


def _supersession_shape(statement: Supersession) -> Json:
    return {
        "from": list(statement.old),
        "to": list(statement.new),
        "relation": statement.relation,
        "interchange": statement.interchange,
        "stock": statement.stock,
    }


def _override_shape(statement: Override) -> Json:
    return {
        "action": statement.action,
        "target": target_shape(statement.target),
        "text": statement.text,
        "was": statement.was,
        "now": statement.now,
        "applies": applies_shape(statement.applies),
    }


def _contents_shape(statement: Contents) -> Json:
    previous = [
        {"description": p.description, "quantity": p.quantity, "part": p.part} for p in statement.previous
    ]
    return {
        "kit": statement.kit,
        "lines": [line_shape(line) for line in statement.lines],
        "previous": previous,
    }


def note_shape(note: Note) -> Json:
    """A note's head, as `notes` lists it."""
    return {
        "number": note.number,
        "date": day(note.date),
        "subject": note.subject,
        "issuer": note.issuer,
        "source": note.source,
        "revision": note.revision,
        "applies": applies_shape(note.applies),
        "cancelled_by": note.cancelled_by,
        "received": day(note.received),
        "file": note.file,
        "unclear": list(note.unclear),
    }


def manual_shape(manual: Manual) -> Json:
    """A publication and its pages, as `publications` lists it."""
    pages = [{"page": p.page, "sheet": p.sheet, "items": len(p.items)} for p in manual.pages]
    return {
        "number": manual.number,
        "title": manual.title,
        "issuer": manual.issuer,
        "edition": manual.edition,
        "date": day(manual.date),
        "models": list(manual.models),
        "pages": pages,
        "file": manual.file,
    }
