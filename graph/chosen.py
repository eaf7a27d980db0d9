"""Which pages and sections a question about a procedure means."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.book import (
    book,
    book_at,
    books,
    books_where,
    covering,
    covers,
    edition_warnings,
    items_of,
    leaf,
)
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.model import Item, Manual
from benchleaf.graph.places import same_place
from benchleaf.graph.shelf import Shelf

CLOSE_ENOUGH = 80.0
"""Per cent of likeness (rapidfuzz partial ratio of words) at which section words count as found."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """Items of one publication in page order, and what should be said about the choice."""

    manual: Manual
    items: tuple[Item, ...]
    warnings: tuple[str, ...] = ()


def choose(
    store: Shelf, publication: str | None, page: str | None, section: str | None, model: str | None
) -> tuple[Chosen, ...]:
    """The items asked for. Raises `NotHeld` with the nearest for what is unknown, `WrongUse` for too many."""
    if publication is None and model is None and page is None and section is None:
        raise WrongUse(
            "nothing says which procedure is meant", "name a publication, a page, a section or a model"
        )
    manuals = _manuals(store, publication, page, model)
    if page is not None:
        manuals = _with_page(store, manuals, page, publication)
    chosen = [_of(store, m, page) for m in manuals]
    if section is not None:
        chosen = _in_section(chosen, section)
    return tuple(c for c in chosen if c.items) or tuple(chosen)


def _manuals(store: Shelf, publication: str | None, page: str | None, model: str | None) -> list[Manual]:
    if publication is not None:
        return [book(store, publication) if page is None else book_at(store, publication, page)]
    if model is None:
        return books(store) if page is None else _at_page(store, page)
    if named := covering(store, model):
        return named
    near = store.near_numbers("model", model)
    if not near and any(not m.models for m in covers(store)):
        return books_where(store, lambda m: not m.models)
    hint = (
        f"did you mean {', '.join(near)}?" if near else "see `benchleaf publications` for the models covered"
    )
    raise NotHeld(f"no publication held covers model {model}", near, hint)


def _at_page(store: Shelf, page: str) -> list[Manual]:
    """Every book, of a store no more of it than that page."""
    return [book_at(store, m.number, page) for m in covers(store)]


def _with_page(store: Shelf, manuals: list[Manual], page: str, publication: str | None) -> list[Manual]:
    if publication is not None:
        return manuals
    found = [m for m in manuals if any(same_place(page, p.page) for p in m.pages)]
    if len(found) > 1:
        numbers = ", ".join(m.number for m in found)
        raise WrongUse(f"page {page} stands in {numbers}", "name the publication with --pub")
    if not found:
        near = tuple(dict.fromkeys(n for m in manuals for n in store.near_numbers("page", page, m.number)))
        raise NotHeld(
            f"no publication held has a page {page}", near, f"near: {', '.join(near)}" if near else ""
        )
    return found


def _of(store: Shelf, manual: Manual, page: str | None) -> Chosen:
    warnings = edition_warnings(store, manual)
    if page is None:
        return Chosen(manual, items_of(manual), warnings)
    found = leaf(store, manual, page)
    return Chosen(manual, found.page.items, (*warnings, *found.warnings))


def _in_section(chosen: Sequence[Chosen], asked: str) -> list[Chosen]:
    """Items under the headings that fit the words best."""
    headings = {s for c in chosen for s in sections(c.items)}
    fit = {heading: _likeness(asked, heading) for heading in headings}
    best = max(fit.values(), default=0.0)
    if best < CLOSE_ENOUGH:
        near = tuple(sorted(fit, key=lambda h: (-fit[h], h))[:5])
        hint = f"sections here: {'; '.join(near)}" if near else "the pages asked for bear no section headings"
        raise NotHeld(f"no section is headed like “{asked}”", near, hint)
    wanted = {heading for heading, score in fit.items() if score >= best - 2}
    kept = [Chosen(c.manual, _under(c.items, wanted), c.warnings) for c in chosen]
    kept = [c for c in kept if c.items]
    if len(wanted) > 1:
        said = f"the words fit {len(wanted)} sections: {'; '.join(sorted(wanted))}"
        kept = [Chosen(c.manual, c.items, (*c.warnings, said)) for c in kept]
    return kept


def sections(items: Iterable[Item]) -> tuple[str, ...]:
    """The section headings of these items, in order, each once."""
    return tuple(dict.fromkeys(i.section for i in items if i.section))


def _under(items: Iterable[Item], headings: set[str]) -> tuple[Item, ...]:
    return tuple(i for i in items if i.section in headings)


def _likeness(asked: str, heading: str) -> float:
    from rapidfuzz import fuzz, utils

    plain: Callable[[str], str] = utils.default_process
    return max(
        fuzz.partial_ratio(plain(asked), plain(heading)) if len(plain(asked)) <= len(plain(heading)) else 0.0,
        fuzz.token_set_ratio(plain(asked), plain(heading)),
        fuzz.partial_token_sort_ratio(plain(asked), plain(heading)),
    )
