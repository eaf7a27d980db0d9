"""A shop's own note, from what was typed to what is stored."""

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from benchleaf.cli.shopphoto import keep_photo
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.keys import key
from benchleaf.graph.model import Action, Applies, Item, Note, Override, Source, Target
from benchleaf.graph.wording import places

if TYPE_CHECKING:
    from benchleaf.graph.store import Store

_WORDED = ("replace", "insert-after", "insert-before", "caution")


@dataclass(frozen=True, slots=True)
class Wish:
    """What a person wants to write on a step: where, what, for which units, and why."""

    publication: str
    page: str
    item: str
    action: str
    text: str | None
    was: str | None
    now: str | None
    applies: Applies
    subject: str | None


def stored_note(
    store: "Store", wish: Wish, initials: str, at: dt.datetime, photo: bytes | None = None
) -> Note:
    """Store the note, signed with initials, with a photo where one is given. Raises WrongUse for words that
    the action lacks or cannot take, NotHeld for a step that is not held, RefusedFile for what is no photo."""
    check_words(wish)
    target, item = held_step(store, wish)
    if wish.action == "change-value" and not _says(store, target, item, wish.was or ""):
        raise WrongUse(f"the step does not say {wish.was!r}", f"It says: {item.text}")
    today = at.astimezone().date()
    override = Override(
        note="",
        date=today,
        quote=quote(wish),
        source=Source(f"written in the shop by {initials}", 0, target.page),
        settled_by=initials,
        action=cast(Action, wish.action),
        target=target,
        text=wish.text,
        was=wish.was,
        now=wish.now,
        applies=wish.applies,
    )
    file = keep_photo(store, photo) if photo else ""
    note = Note(
        "", today, wish.subject, None, "shop", None, wish.applies, file, today, statements=(override,)
    )
    with store.transaction():
        return store.shop_note(note, at)


def check_words(wish: Wish) -> None:
    """Raises WrongUse if the action lacks its words or has words that it cannot use."""
    needs = {"text"} if wish.action in _WORDED else {"was", "now"} if wish.action == "change-value" else set()
    for name in ("text", "was", "now"):
        given = (getattr(wish, name) or "").strip()
        if name in needs and not given:
            raise WrongUse(f"{wish.action} needs --{name}", f"Add --{name} with the words.")
        if name not in needs and given:
            raise WrongUse(f"{wish.action} takes no --{name}", "Leave it out, or choose another --action.")


def held_step(store: "Store", wish: Wish) -> tuple[Target, Item]:
    """The one held step that is meant, as printed. Raises NotHeld with what is near."""
    manual = store.publication(wish.publication)
    if manual is None:
        near = store.near_numbers("publication", wish.publication)
        raise NotHeld(f"publication {wish.publication} is not held", near, "See benchleaf publications.")
    page = store.page(manual.number, wish.page)
    if page is None:
        near = store.near_numbers("page", wish.page, manual.number)
        raise NotHeld(
            f"{manual.number} has no page {wish.page} here", near, "See benchleaf publications --pages."
        )
    found = store.item(Target(manual.number, page.page, wish.item))
    if len(found) != 1:
        labels = tuple(i.label for i in page.items)
        raise NotHeld(f"page {page.page} of {manual.number} has no single item {wish.item}", labels)
    return Target(manual.number, found[0].page, found[0].label), found[0]


def _says(store: "Store", target: Target, item: Item, value: str) -> bool:
    """True if the step, or what an earlier settled note made of it, has the value."""
    earlier = store.overrides(target.publication or "", target.page)
    same = [o for o in earlier if o.standing == "settled" and key(o.target.item or "") == key(item.label)]
    return any(places(value, text) for text in (item.text, *(w for o in same for w in (o.text, o.now) if w)))


def quote(wish: Wish) -> str:
    """The note's words as they were typed."""
    if wish.action == "change-value":
        return f"change {wish.was} to {wish.now}"
    return wish.text or wish.action
