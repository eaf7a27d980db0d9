"""A note as the desk shows it: each statement with its standing, its own words, and what it touches."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.cli.desk.addresses import book_address, kit_address, note_address, page_address, part_address
from benchleaf.cli.say import standing_words, statement_words
from benchleaf.cli.sheets.crops import statement_crops
from benchleaf.graph.keys import key
from benchleaf.graph.model import Cancels, Contents, Note, Override, Statement, Supersession, Withdrawn
from benchleaf.ingest.pictures.crops import clip_of_head, crops

if TYPE_CHECKING:
    from benchleaf.graph.model import Citation
    from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class Door:
    """Words and where they lead; without an address it is not held."""

    words: str
    address: str | None


@dataclass(frozen=True, slots=True)
class Said:
    """A statement in words, its standing in words, the picture of its own words, and what it touches."""

    statement: Statement
    words: str
    standing: str
    crop: Path | None
    touches: tuple[Door, ...]


@dataclass(frozen=True, slots=True)
class NoteView:
    """A note with what was read out of it. `head` is the picture of its head, `cites` what it speaks of,
    `others` how many more notes of that number are held."""

    note: Note
    head: Path | None
    said: tuple[Said, ...]
    cites: tuple[Door, ...]
    others: int

    @property
    def waits(self) -> bool:
        """Whether something of it waits for a person's eye."""
        return bool(self.note.unclear) or any(s.statement.standing == "doubtful" for s in self.said)


def note_view(store: "Store", note: Note) -> NoteView:
    """The note with pictures, drawn where they are not kept yet."""
    cut = statement_crops(store, note.statements)
    clip = clip_of_head(store, note)
    head = crops(store, [clip]).get(clip) if clip else None
    said = tuple(
        Said(s, statement_words(s), standing_words(s), cut.get(s.id or 0), _touches(store, s))
        for s in note.statements
    )
    cites = tuple(_cited(store, c) for c in note.cites)
    return NoteView(note, head, said, cites, len(store.notes_like(note.number)) - 1)


def _touches(store: "Store", s: Statement) -> tuple[Door, ...]:
    match s:
        case Override():
            return _place(store, s)
        case Supersession():
            return tuple(_part(n) for n in dict.fromkeys((*s.old, *s.new)))
        case Contents():
            return (Door(f"kit {s.kit}", kit_address(s.kit)), _part(s.kit))
        case Withdrawn():
            return (_part(s.part),)
        case Cancels():
            held = store.note(s.cancels)
            return (Door(f"note {s.cancels}", note_address(held.number) if held else None),)
    return ()


def _part(number: str) -> Door:
    return Door(f"part {number}", part_address(number))


def _place(store: "Store", o: Override) -> tuple[Door, ...]:
    t = o.target
    if t.publication is None or t.page is None:
        return ()
    held = store.page(t.publication, t.page)
    words = f"{t.publication}, page {t.page}"
    if held is None:
        return (Door(words, None),)
    items = {key(i.label) for i in held.items}
    at = f"#step-{t.item}" if t.item and key(t.item) in items else ""
    return (Door(words, page_address(t.publication, held.page) + at),)


def _cited(store: "Store", citation: "Citation") -> Door:
    if citation.kind == "note":
        held = store.note(citation.number)
        return Door(f"note {citation.number}", note_address(held.number) if held else None)
    words = citation.number + (f", page {citation.page}" if citation.page else "")
    if citation.page is not None:
        leaf = store.page(citation.number, citation.page)
        return Door(words, page_address(citation.number, leaf.page) if leaf else None)
    return Door(words, book_address(citation.number) if store.publications_like(citation.number) else None)
