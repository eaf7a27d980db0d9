"""`benchleaf find`: search the words and the part numbers."""

from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

if TYPE_CHECKING:
    pass

EXAMPLES = examples('find "return spring"', "find 4471", "find shim --limit 10 --json")


@click.command("find", epilog=EXAMPLES)
@click.argument("words", nargs=-1, required=True)
@click.option(
    "--limit", default=50, show_default=True, type=click.IntRange(1, 1000), help="Most hits to show."
)
@as_json
@click.pass_obj
def command(session: Session, words: tuple[str, ...], limit: int, as_json: bool) -> int:
    """Search the words of manuals and notes, and the part numbers.

    Words in quotation marks must stand side by side. Part of a part number will do, from three characters on.
    """
    asked = " ".join(words)
    with session.read() as store:
        hits = store.search(asked, limit=limit)
    if as_json:
        from benchleaf.cli.shapes import show

        show({"asked": asked, "hits": [_shape(h) for h in hits]})
    else:
        _print(asked, hits)
    return 0 if hits else 1
