"""Search and manual pages."""

from benchleaf.cli.desk.show import store
from benchleaf.cli.sheets.pageview import page_view
from benchleaf.graph.page import page_answer
from flask import Blueprint, render_template, request

blueprint = Blueprint("pages", __name__)
MOST_HITS = 60


@blueprint.get("/")
def home() -> str:
    """The search box, and what the store holds."""
    asked = request.args.get("q", "").strip()
    hits = store().search(asked, limit=MOST_HITS) if asked else ()
    return render_template("home.html", asked=asked, hits=hits, books=store().publications())


@blueprint.get("/page/<publication>/<page>")
def page(publication: str, page: str) -> str:
    """A manual page with every note that overrides it."""
    answer = page_answer(store(), publication, page)
    return render_template("look.html", page=page_view(store(), answer))
