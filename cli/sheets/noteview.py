"""A shop's own note as a sheet to hand on: the step as printed, what the shop says of it, its photo."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.cli.lookup import note_or_near
from benchleaf.cli.shopphoto import photo_picture
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.model import Override
from benchleaf.graph.wording import swap
from benchleaf.ingest.pictures.crops import Clip, crops

if TYPE_CHECKING:
    from benchleaf.graph.model import Item, Note
    from benchleaf.graph.store import Store

OWNER = "SHOP NOTE, not the maker's"


@dataclass(frozen=True, slots=True)
class NoteChange:
    """What the note does to a step: the step as the manual prints it (words, and picture where it can be
    drawn), and its words with the note applied, where the note gives new ones."""

    said: Override
    printed: str | None
    now: str | None
    crop: Path | None

    @property
    def beside(self) -> bool:
        """Whether the step itself stays as it is."""
        return self.said.action in ("insert-after", "insert-before", "caution")


@dataclass(frozen=True, slots=True)
class ShopNoteView:
    """A shop's own note with what it changes, who wrote it, and its photo; `owner` is its mark."""

    note: "Note"
    changes: tuple[NoteChange, ...]
    by: str
    photo: Path | None
    owner: str = OWNER


def shop_note_view(store: "Store", number: str) -> ShopNoteView:
    """A shop's own note to look at. Raises NotHeld with what is near, and WrongUse for a maker's note."""
    note = note_or_near(store, number)
    if note.source != "shop" or not all(s.source.sheet == 0 for s in note.statements):
        raise WrongUse(
            f"{note.number} is not a note that was written here", "Hand on the paper itself as it came."
        )
    overrides = [s for s in note.statements if isinstance(s, Override)]
    by = next((s.source.file.removeprefix("written in the shop by ") for s in overrides), "")
    changes = tuple(_change(store, o) for o in overrides)
    return ShopNoteView(note, changes, by, photo_picture(store, note))


def shop_notes(store: "Store") -> "tuple[Note, ...]":
    """Every note that was written here, newest first."""
    found = [n for n in store.notes() if n.source == "shop" and n.number.startswith("SHOP-")]
    return tuple(
        sorted(found, key=lambda n: int(n.number[5:]) if n.number[5:].isdecimal() else 0, reverse=True)
    )


def _change(store: "Store", said: Override) -> NoteChange:
    items = store.item(said.target)
    item = items[0] if len(items) == 1 else None
    printed = None if item is None else item.text
    return NoteChange(said, printed, _now(said, printed), _crop(store, said, item))


def _now(said: Override, printed: str | None) -> str | None:
    if said.action != "change-value":
        return said.text
    return swap(printed, said.was, said.now).text if printed and said.was and said.now else None


def _crop(store: "Store", said: Override, item: "Item | None") -> Path | None:
    """The step as the manual prints it."""
    place = said.target
    if item is None or item.box is None or place.publication is None or place.page is None:
        return None
    file = store.file_of_page(place.publication, place.page)
    if file is None:
        return None
    clip = Clip(file, item.sheet, item.box)
    return crops(store, [clip]).get(clip)
