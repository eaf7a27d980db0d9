"""`benchleaf find`: search the words and the part numbers."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

if TYPE_CHECKING:
    from benchleaf.cli.shapes import Json
    from benchleaf.graph.store import Hit

EXAMPLES = examples("find return spring", "find '\"return spring\" shim'", "find 4471 --limit 10 --json")


@click.command("find", epilog=EXAMPLES)
@click.argument("words", nargs=-1, required=True)
@click.option(
    "--limit", default=50, show_default=True, type=click.IntRange(1, 1000), help="Most hits to show."
)
@as_json
@click.pass_obj
def command(session: Session, words: tuple[str, ...], limit: int, as_json: bool) -> int:
    """Search the words of manuals and notes, and the part numbers.

    All words must be there; words in quotation marks must stand side by side. A piece of a part number will
    do, from three characters on.
    """
    asked = " ".join(words)
    with session.read() as store:
        hits = store.search(asked, limit=limit)
    if as_json:
        from benchleaf.cli.shapes import show

        show({"asked": asked, "hits": [_shape(h) for h in hits]})
    else:
        _print(asked, hits, limit)
    return 0 if hits else 1


def _shape(hit: "Hit") -> "Json":
    names = ("kind", "publication", "note", "page", "item", "part", "file", "sheet", "snippet")
    return {name: getattr(hit, name) for name in names}


def _print(asked: str, hits: Sequence["Hit"], limit: int) -> None:
    from benchleaf.cli.clean import one_line
    from benchleaf.cli.say import many
    from benchleaf.cli.screen import Piece, Screen

    screen = Screen()
    if not hits:
        screen.line(f"Nothing that is held has {one_line(asked)}.")
        return
    for hit in hits:
        screen.line(Piece(_where(hit), "strong"))
        if hit.kind != "part":
            screen.line(one_line(hit.snippet), indent=4)
    more = "; there may be more, see --limit" if len(hits) == limit else ""
    screen.line(f"{many(len(hits), 'hit')}{more}.")


def _where(hit: "Hit") -> str:
    if hit.kind == "part":
        return f"part {hit.part}"
    place = f"note {hit.note}" if hit.kind == "note" else hit.publication or hit.file or ""
    place += f", page {hit.page}" if hit.page else f", sheet {hit.sheet}" if hit.sheet else ""
    return place + (f", item {hit.item}" if hit.item else "")
