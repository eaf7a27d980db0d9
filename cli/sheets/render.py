"""From an answer to HTML: one set of templates for the sheets on paper and the pages of the desk.

Every word goes through Jinja2's autoescape, and control and bidi signs are taken out before: text from a
document never becomes markup.
"""

import base64
import functools
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from benchleaf.cli.changes import Stretch, changed_words
from benchleaf.cli.clean import clean
from benchleaf.cli.say import amount, dated, does, lines_words, listed, many, place, units
from jinja2 import Environment, FileSystemLoader, StrictUndefined

HERE = Path(__file__).parent
PictureUrl = Callable[[Path], str]
"""Where a page finds a picture: an address, or the picture itself."""


def inline(path: Path) -> str:
    """A picture as part of the page that shows it, so that the page is whole without anything else."""
    return f"data:image/png;base64,{base64.b64encode(path.read_bytes()).decode('ascii')}"


def style() -> str:
    """The style sheet of every sheet."""
    return (HERE / "sheet.css").read_text(encoding="utf-8")


@functools.cache
def templates() -> Environment:
    """The environment of all templates; an unknown name in one is an error."""
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_finalize,
    )
    made.filters |= {
        "does": does,
        "listed": listed,
        "many": many,
        "lines": lines_words,
        "amount": amount,
        "units": units,
        "place": place,
    }
    made.globals |= {"changes": changes, "dated": dated}
    return made


def changes(was: str | None, now: str | None) -> Sequence[Stretch]:
    """The words of both texts in one run; a missing one stands for no words."""
    return changed_words(was or "", now or "")


def sheet(template: str, *, paper: str = "", **views: Any) -> str:
    """A whole sheet: the template with its views, the style inside it and every picture in it."""
    return templates().get_template(template).render(style=style(), paper=paper, url=inline, **views)


def _finalize(value: Any) -> Any:
    """What every printed value goes through: no control, bidi or invisible signs; nothing for None."""
    if value is None:
        return ""
    return clean(value) if type(value) is str else value
