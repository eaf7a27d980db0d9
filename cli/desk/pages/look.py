"""Search and manual pages."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.desk.meaning import Meaning, Near, meanings, near
from benchleaf.cli.desk.pages.jobs import jobs_now
from benchleaf.cli.desk.show import asked, desk, download, holds, store
from benchleaf.cli.sheets.files import file_name
from benchleaf.cli.sheets.pageview import page_view
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.cli.show_job import news_words
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.keys import natural
from benchleaf.graph.page import page_answer
from flask import Blueprint, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from benchleaf.graph.store import Hit

blueprint = Blueprint("pages", __name__)
MOST_HITS = 60
MOST_NOTES = 8
MOST_BOOKS = 40
MOST_JOBS = 12
_GROUPS = (("part", "Part numbers"), ("item", "Steps"), ("note", "Notes"), ("sheet", "Other words on sheets"))


@dataclass(frozen=True, slots=True)
class HitGroup:
    """Hits of one kind, under their heading."""

    kind: str
    title: str
    hits: "tuple[Hit, ...]"


@dataclass(frozen=True, slots=True)
class Found:
    """What a search gave: things of just that number, hits by kind, and, where there is nothing, near
    numbers."""

    asked: str
    meanings: tuple[Meaning, ...]
    groups: tuple[HitGroup, ...]
    near: tuple[Near, ...]
    more: bool

    @property
    def count(self) -> int:
        """How many hits there are."""
        return sum(len(g.hits) for g in self.groups)


@blueprint.get("/")
def home() -> str | AnyResponse:
    """The search box, and what the store holds; straight to the one thing that was meant."""
    words = asked("q")
    if words is None:
        return _start()
    meant = meanings(store(), words)
    if len(meant) == 1 and "all" not in request.args:
        return redirect(meant[0].address)
    hits = store().search(words, limit=MOST_HITS)
    close = () if hits or meant else near(store(), words)
    found = Found(words, meant, _grouped(hits), close, len(hits) == MOST_HITS)
    return render_template("hits.html", found=found)


def _start() -> str:
    held = store()
    return render_template(
        "home.html",
        books=held.book_heads(),
        most_books=MOST_BOOKS,
        notes=held.newest_notes(MOST_NOTES),
        note_count=held.note_count(),
        waiting=held.waiting(),
        holds=holds(),
        jobs=jobs_now(held),
        most_jobs=MOST_JOBS,
        news_words=news_words,
    )


def _grouped(hits: "Sequence[Hit]") -> tuple[HitGroup, ...]:
    groups = (HitGroup(kind, title, tuple(h for h in hits if h.kind == kind)) for kind, title in _GROUPS)
    return tuple(g for g in groups if g.hits)


@blueprint.get("/page/<publication>/<page>")
def page(publication: str, page: str) -> str:
    """A manual page with every note that overrides it, as printed, with what stands beside it."""
    answer = page_answer(store(), publication, page)
    before, after = _beside(answer.publication, answer.page)
    return render_template("look.html", page=page_view(store(), answer), before=before, after=after)


@blueprint.get("/page")
def page_asked() -> str:
    """The same, for numbers that do not go into an address."""
    publication, number = asked("publication"), asked("page")
    if publication is None or number is None:
        raise WrongUse("a page is asked for by its publication and its number", "Use the search box.")
    return page(publication, number)


@blueprint.get("/sheet/page")
def page_sheet() -> AnyResponse:
    """The page as a sheet: one file, whole in itself."""
    answer = page_answer(store(), asked("publication") or "", asked("page") or "")
    made = stamp(store(), answer.notes, desk().today())
    words = sheet("page.html", stamp=made, page=page_view(store(), answer))
    return download(words, file_name(f"page {answer.publication} {answer.page}"))


def _beside(publication: str, page: str) -> tuple[str | None, str | None]:
    """The pages before and after this one, of those held, by their printed numbers."""
    held = store().publications_like(publication)
    numbers = {natural(p.page): p.page for manual in reversed(held) for p in manual.pages}
    order = [numbers[place] for place in sorted(numbers)]
    at = next((i for i, n in enumerate(order) if natural(n) == natural(page)), None)
    if at is None:
        return None, None
    return (order[at - 1] if at else None), (order[at + 1] if at + 1 < len(order) else None)
