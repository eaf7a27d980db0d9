"""Several editions of one publication held at once: which one a note speaks of, and where they differ."""

import datetime as dt
from collections.abc import Sequence

from benchleaf.graph.keys import key, natural
from benchleaf.graph.model import Item, Manual, Target
from benchleaf.graph.values import contains_words


def editions(files: Sequence[Manual]) -> tuple[tuple[Manual, ...], ...]:
    """The files of a publication by their edition, newest first; one edition may lie in several files."""
    groups: dict[tuple[str, dt.date | None], list[Manual]] = {}
    for manual in sorted(files, key=_age, reverse=True):
        groups.setdefault((key(manual.edition or ""), manual.date), []).append(manual)
    return tuple(tuple(group) for group in groups.values())


def _age(manual: Manual) -> tuple[object, ...]:
    return (manual.date or dt.date.min, natural(manual.edition or ""), manual.file)


def edition_name(manual: Manual) -> str:
    """The edition as people call it: by its number, else by its date, else by its file."""
    dated = f"of {manual.date.isoformat()}" if manual.date else f"in {manual.file}"
    return f"edition {manual.edition}" if manual.edition else f"the edition {dated}"


def items_at(edition: Sequence[Manual], cited: Target) -> tuple[Item, ...]:
    """The steps of one edition at the place that a note cites."""
    pages = (p for manual in edition for p in manual.pages)
    inside = (i for p in pages if cited.page is None or key(p.page) == key(cited.page) for i in p.items)
    return tuple(dict.fromkeys(i for i in inside if key(i.label) == key(cited.item or "")))


def edition_doubt(files: Sequence[Manual], cited: Target, new: str | None) -> str | None:
    """Why it is not plain that a note still changes the newest edition; None where the editions agree.

    `new` are the note's new words or value: an edition that has them already took the note in.
    """
    held = editions(files)
    if len(held) < 2 or cited.item is None:
        return None
    texts = [{i.text for i in items_at(edition, cited)} for edition in held]
    newest, older = edition_name(held[0][0]), edition_name(held[1][0])
    number = held[0][0].number
    if not texts[0]:
        return f"only {older} of {number} has this step; {newest} does not" if any(texts) else None
    if all(not t or t == texts[0] for t in texts[1:]):
        return None
    if new and any(contains_words(new, text) for text in texts[0]):
        return f"{newest} of {number} says so already; {older} is held too"
    return f"{len(held)} editions of {number} are held and differ at this place: {newest} and {older}"
