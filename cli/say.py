"""What statements and notes say, in plain words for people."""

import datetime as dt
import shlex
from collections.abc import Sequence

from benchleaf.graph.model import (
    Applies,
    Cancels,
    Contents,
    KitLine,
    Override,
    Source,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)

_DOES = {
    "replace": "replaces the step",
    "insert-after": "adds a step after it",
    "insert-before": "adds a step before it",
    "delete": "deletes the step",
    "change-value": "changes a value",
    "caution": "adds a caution",
}


def does(action: str) -> str:
    """What an override of this action does to its step."""
    return _DOES.get(action, action)


def dated(number: str, date: dt.date | None) -> str:
    """A note's number and its date."""
    return f"{number} ({date.isoformat() if date else 'no date'})"


def units(applies: Applies) -> str:
    """Which units a note or statement holds for, in words; "all units" where nothing is named."""
    words = [", ".join(applies.models)] if applies.models else []
    words += _serials(applies) + _built(applies)
    if applies.kits:
        words.append(f"with kit {' or '.join(applies.kits)}")
    if applies.excepted:
        words.append(f"except {', '.join(applies.excepted)}")
    return ", ".join(words) or applies.as_printed or "all units"


def _serials(applies: Applies) -> list[str]:
    first, last = applies.serial_from, applies.serial_to
    if first and last:
        return [f"serial {first} to {last}" if first != last else f"serial {first}"]
    if first:
        return [f"serial {first} and up"]
    return [f"serial up to {last}"] if last else []


def _built(applies: Applies) -> list[str]:
    words = []
    if applies.built_from:
        words.append(f"built from {applies.built_from.isoformat()}")
    if applies.built_to:
        words.append(f"built up to {applies.built_to.isoformat()}")
    return [" ".join(words)] if words else []


def step(target: Target) -> str:
    """A step by publication, page and item, as far as they are known."""
    parts = [target.publication or "publication not named"]
    parts += [f"page {target.page}"] if target.page else []
    parts += [f"item {target.item}"] if target.item else []
    return ", ".join(parts)


def place(source: Source) -> str:
    """Where words were read: file, sheet, printed page number, and whether a machine read a picture."""
    words = f"{source.file}, sheet {source.sheet}" if source.sheet else source.file
    words += f", page {source.page}" if source.page else ""
    return words + (", read by OCR" if source.by_ocr else "")


def ocr_mark(unsure: Sequence[str]) -> str:
    """The mark of words that a machine read from a picture, with the numbers that it was not sure of."""
    if not unsure:
        return "READ BY OCR"
    return f"READ BY OCR, not sure of {', '.join(unsure)}: compare with the paper"


def amount(line: KitLine) -> str:
    """A kit's line in words: `10 friction disc (part number)`."""
    count = "as required" if line.quantity is None else str(line.quantity)
    return " ".join(w for w in (count, line.description, f"({line.part})" if line.part else "") if w)


def lines_words(lines: Sequence[KitLine]) -> str:
    """Kit lines in a row: `10 friction disc (part number), 11 steel disc (part number)`."""
    return ", ".join(amount(line) for line in lines) or "not known"


def many(count: int, one: str, several: str | None = None) -> str:
    """A count with its noun."""
    return f"{count} {one if count == 1 else several or one + 's'}"


def listed(numbers: Sequence[str], joint: str = "and") -> str:
    """Numbers in a row: `A, B and C`."""
    if len(numbers) < 2:
        return "".join(numbers)
    return f"{', '.join(numbers[:-1])} {joint} {numbers[-1]}"


def statement_words(statement: Statement) -> str:
    """What a statement says, in one sentence."""
    match statement:
        case Supersession():
            return _supersession_words(statement)
        case Override():
            return _override_words(statement)
        case Contents():
            return f"kit {statement.kit} contains {listed([amount(k) for k in statement.lines])}"
        case Cancels():
            return f"cancels {statement.cancels}"
        case Withdrawn():
            return f"{statement.part} is no longer supplied, with nothing in its place"
    return statement.quote


def standing_words(statement: Statement) -> str:
    """How far a statement may be trusted, and by whose word."""
    by = statement.settled_by
    if statement.standing == "settled":
        return "settled by a rule" if by == "rule" else f"settled by {by}" if by else "settled"
    if statement.standing == "refused":
        return f"refused by {by}" if by else "refused"
    return f"DOUBT: {'; '.join(statement.why) or 'no reason was kept'}"


def _supersession_words(statement: Supersession) -> str:
    new = listed(statement.new, "or" if statement.relation == "one of" else "and")
    words = f"{listed(statement.old)} became {new}"
    words += "" if statement.relation == "one" else f" ({statement.relation})"
    words += "" if statement.interchange == "unstated" else f"; interchange: {statement.interchange}"
    return words + (f"; old stock: {statement.stock}" if statement.stock else "")


def _override_words(statement: Override) -> str:
    words = f"{step(statement.target)}: {does(statement.action)}"
    if statement.was and statement.now:
        return f"{words}: was {statement.was}, now {statement.now}"
    return f"{words}: {statement.text}" if statement.text else words


def command(*words: str) -> str:
    """A line to type."""
    return shlex.join(["benchleaf", *words])
