"""The number of a note and what goes with it: revision, and the notes it supersedes."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from benchleaf.graph.keys import key
from benchleaf.ingest.head.headlabels import UNIT_FIELDS, Piece, Value, says_number
from benchleaf.ingest.head.headlines import Loose, Named
from benchleaf.ingest.head.notenumbers import NumberReading, read_number
from benchleaf.ingest.head.notetitles import read_running, read_title


@dataclass
class Head:
    """What is gathered while a head is read."""

    values: tuple[Value, ...]
    loose: Loose
    prose: tuple[str, ...]
    day_first: bool | None
    pieces: list[Piece] = field(default_factory=list)
    unclear: list[str] = field(default_factory=list)

    def of(self, *names: str) -> list[Value]:
        """The labelled values of some fields, in reading order."""
        return [v for v in self.values if v.field in names]


def number_of(head: Head) -> NumberReading | None:
    """The note's number: from its own label, its title line, running text, the subject, or a weak label."""
    labelled = [(read_number(v.text, labelled=v.sure or says_number(v.label)), v) for v in head.of("number")]
    found = next(((n, v) for n, v in labelled if n), None)
    title = head.loose.title
    if title is not None and (found is None or found[1].row > title.row) and not names_another(title, head):
        head.pieces += title.pieces
        own = title.title.number
        if title.guessed:
            words = title.title.kind
            head.unclear.append(f"the number {own.number} is taken from the line “{words} {own.number}”")
        _agree(head, [own.number, *(n.number for n, _ in labelled if n)])
        head.pieces += [p for n, v in labelled if n for p in v.pieces]
        return own
    if found is not None:
        head.pieces += found[1].pieces
        _agree(head, [n.number for n, _ in labelled if n])
        return found[0]
    return _weak_number(head)


_MONTH_AND_YEAR = re.compile(r"(?:0?[1-9]|1[0-2])/[0-9]{2}")
"""`SERVICE MEMO 3/78` above `No.: 12` is of March 1978, and not its number."""


def names_another(title: Named, head: Head) -> bool:
    """True for a sentence about another note (`Bin Memo 12.`) below a label that gives the number."""
    if title.guessed:
        own = title.title.number.number
        return bool(head.of("number_weak")) or any(own in v.text for v in head.of(*UNIT_FIELDS))
    if _MONTH_AND_YEAR.fullmatch(title.title.number.number):
        return any(v.sure and read_number(v.text) for v in head.of("number_weak"))
    weak = [v for v in head.of("number_weak") if v.sure and v.row < title.row and read_number(v.text)]
    return bool(weak) and (title.opens or title.text.rstrip().endswith("."))


def _weak_number(head: Head) -> NumberReading | None:
    running = next((r for t in head.prose if (r := read_running(t))), None)
    if running is not None:
        return running[0]
    for value in head.of("number_weak"):
        number = read_number(value.text)
        if number is not None:
            head.pieces += value.pieces
            return number
    for value in head.of("subject"):
        title = read_title(value.text)
        if title is not None:
            return title.number
    if head.loose.number is not None:
        number, piece = head.loose.number
        head.pieces.append(piece)
        return number
    return None


def _agree(head: Head, numbers: Sequence[str]) -> None:
    different = {key(n): n for n in numbers}
    if len(different) > 1:
        head.unclear.append(f"several numbers stand at the head: {', '.join(different.values())}")


def revision_of(head: Head, number: NumberReading | None) -> str | None:
    """The revision by its own label, or the one that stands behind the number."""
    for value in head.of("revision"):
        m = re.match(
            r"\s{0,3}(?:rev\.?\s?|no\.?\s?)?([A-Z]{1,2}(?![a-z])|[0-9]{1,3}(?:\.[0-9])?(?![0-9/]))",
            value.text,
            re.IGNORECASE,
        )
        if m is not None:
            head.pieces += value.pieces
            return m[1].upper()
    return number.revision if number else None


def supersedes_of(head: Head, number: NumberReading | None) -> tuple[str, ...]:
    """Note numbers under a label such as `Supersedes`; part numbers under it stay in the body."""
    found: list[str] = []
    for value in head.of("supersedes"):
        parts = [p for p in re.split(r"\s?[,;&]\s?|\sand\s", value.text) if p.strip()]
        numbers = [_note_number(p) for p in parts]
        named = [
            n
            for n in numbers
            if n and (number is None or _alike(n, number.number) or _says_note(_words_of(value)))
        ]
        if named:
            found += named
            head.pieces += value.pieces
    return tuple(dict.fromkeys(found))


def _words_of(value: Value) -> str:
    """The label and the words of a value."""
    return f"{value.label} {value.text}"


def _note_number(text: str) -> str | None:
    title = read_title(text.strip())
    reading = title.number if title else read_number(text.strip())
    return reading.number if reading else None


def _says_note(text: str) -> bool:
    return (
        re.search(
            r"\b(?:bulletin|note|letter|circular|information|issue|notice|instruction)\b", text, re.IGNORECASE
        )
        is not None
    )


def _alike(one: str, other: str) -> bool:
    """True if two numbers are built alike: the same letters in front, or the same pattern of figures."""
    fronts = [re.match(r"[A-Z]*", key(n)) for n in (one, other)]
    letters = [f[0] if f else "" for f in fronts]
    if letters[0] or letters[1]:
        return letters[0] == letters[1]
    return re.sub(r"[0-9]+", "9", one) == re.sub(r"[0-9]+", "9", other)
