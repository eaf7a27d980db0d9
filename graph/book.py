"""A publication as one book: the newest edition held, from all of its files, and its pages by printed
number."""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.editions import edition_name as _name
from benchleaf.graph.editions import editions
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.keys import key, natural
from benchleaf.graph.lean import Lean
from benchleaf.graph.model import Item, Manual, ManualPage
from benchleaf.graph.places import best_places
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Leaf:
    """A page with the file it stands in, and a warning where it is from an older edition."""

    page: ManualPage
    file: str
    warnings: tuple[str, ...] = ()


def book(store: Shelf, number: str) -> Manual:
    """The newest held edition of a publication, its files joined; `NotHeld` with the nearest numbers."""
    found = store.publications_like(number)
    if not found:
        near = store.near_numbers("publication", number)
        hint = f"did you mean {', '.join(near)}?" if near else "see `benchleaf publications` for what is held"
        raise NotHeld(f"publication {number} is not held", near, hint)
    return _joined(found)


def books(store: Shelf) -> list[Manual]:
    """Every publication held, each in its newest edition."""
    return _by_number(store.publications())


def _by_number(held: Iterable[Manual]) -> list[Manual]:
    by_number: dict[str, list[Manual]] = {}
    for manual in held:
        by_number.setdefault(key(manual.number), []).append(manual)
    return sorted((_joined(m) for m in by_number.values()), key=lambda m: natural(m.number))


def book_at(store: Shelf, number: str, page: str) -> Manual:
    """The same as `book`, but of a store no more of it than that page: its number, its models and the page
    are what the whole book would give."""
    if not isinstance(store, Lean):
        return book(store, number)
    found = store.leaves_like(number, page)
    return _joined(found) if found else book(store, number)


def books_where(store: Shelf, wanted: Callable[[Manual], bool]) -> list[Manual]:
    """The books of which the cover (number and models) is wanted, whole, in the order of `books`."""
    return list(books_one_by_one(store, wanted))


def books_one_by_one(store: Shelf, wanted: Callable[[Manual], bool]) -> Iterator[Manual]:
    """The same, each read when it is its turn."""
    if not isinstance(store, Lean):
        return (m for m in books(store) if wanted(m))
    return (book(store, m.number) for m in _by_number(store.covers()) if wanted(m))


def pack_books(store: Shelf, wanted: Callable[[Manual], bool]) -> Iterator[Manual]:
    """The same; of a store no more of each than its steps that speak of stacking a pack, with their pages."""
    if not isinstance(store, Lean):
        return books_one_by_one(store, wanted)
    return (_joined(store.packs_like(m.number)) for m in _by_number(store.covers()) if wanted(m))


def covers_model(manual: Manual, model: str) -> bool:
    """Whether a book names a model among those that it covers."""
    return key(model) in {key(m) for m in manual.models}


def covering(store: Shelf, model: str) -> list[Manual]:
    """The books that cover a model, in the order of `books`."""
    return books_where(store, lambda m: covers_model(m, model))


def covers(store: Shelf) -> list[Manual]:
    """Every book by its cover, in the order of `books`: number and models; its pages are left open."""
    return _by_number(store.covers()) if isinstance(store, Lean) else books(store)


def leaf(store: Shelf, manual: Manual, page: str) -> Leaf:
    """One page by its printed number, from the newest edition that has it; `NotHeld` with the nearest."""
    like = store.leaves_like if isinstance(store, Lean) else _whole(store)
    held = [m for edition in editions(like(manual.number, page)) for m in edition]
    for edition in (manual, *held):
        found = best_places(page, edition.pages, lambda p: p.page)
        if len({natural(p.page) for p in found}) > 1:
            both = tuple(dict.fromkeys(p.page for p in found))
            raise NotHeld(f"{page} may be page {' or '.join(both)}", both, "write it with its separators")
        if found:
            file = next((m.file for m in held if found[0] in m.pages), edition.file)
            return Leaf(_one_page(found), file, _older(edition, manual))
    near = store.near_numbers("page", page, manual.number)
    hint = (
        f"near: {', '.join(near)}"
        if near
        else f"see `benchleaf publications` for the pages of {manual.number}"
    )
    raise NotHeld(f"{manual.number} has no page {page} here", near, hint)


def _whole(store: Shelf) -> Callable[[str, str], tuple[Manual, ...]]:
    return lambda number, page: store.publications_like(number)


def edition_warnings(store: Shelf, manual: Manual) -> tuple[str, ...]:
    """A warning if another edition of the publication is held too."""
    like = store.leaves_like if isinstance(store, Lean) else _whole(store)
    count = len({_edition(m) for m in like(manual.number, "")})
    return (f"{count} editions of {manual.number} are held; this is {_name(manual)}",) if count > 1 else ()


def items_of(manual: Manual) -> tuple[Item, ...]:
    """Every item of a book, in the order of its pages."""
    return tuple(item for page in manual.pages for item in page.items)


def _older(edition: Manual, manual: Manual) -> tuple[str, ...]:
    if _edition(edition) == _edition(manual):
        return ()
    return (f"this page is from an older edition, {_name(edition)}; {_name(manual)} does not have it",)


def _joined(files: Iterable[Manual]) -> Manual:
    """The files of the newest edition as one, in the order of their page numbers."""
    newest = list(editions(tuple(files))[0])
    newest.sort(key=lambda m: (natural(m.pages[0].page) if m.pages else (), m.file))
    models = tuple(dict.fromkeys(model for m in newest for model in m.models))
    pages = tuple(dict.fromkeys(p for m in newest for p in m.pages))
    return replace(newest[0], models=models, pages=pages)


def _edition(manual: Manual) -> tuple[str, dt.date | None]:
    return key(manual.edition or ""), manual.date


def _one_page(found: Sequence[ManualPage]) -> ManualPage:
    items = tuple(dict.fromkeys(item for page in found for item in page.items))
    return replace(found[0], items=items)
