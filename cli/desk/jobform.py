"""The forms of a job: what is said of it at opening or later, as typed, and problems in a page's words."""

import datetime as dt
import re
from dataclasses import dataclass, fields

from benchleaf.cli.desk.show import MOST_SIGNS
from benchleaf.graph.errors import BenchleafError, NotHeld, WrongUse
from benchleaf.graph.jobs.job import About
from benchleaf.graph.jobs.work import Told, plate_line
from benchleaf.graph.kits.received import parse_got
from flask import request

_BETWEEN = re.compile(r"[,;\n]")
_IN_FIELDS = (
    (re.compile(r"See benchleaf job change --help\."), "Fill in a field first."),
    (re.compile(r"First: benchleaf job build .{0,200}", re.DOTALL), "Set it built first."),
    (re.compile(r"`benchleaf job list` lists them\."), "The list of jobs has them all."),
    (re.compile(r"See `benchleaf publications`"), "See “Publications”"),
    (re.compile(r"\(--which WORDS\)"), "(“Which, if several”)"),
    (re.compile(r"(?:in )?--(?:plate|got) (?=\")"), ""),
    (re.compile(r"--pub\b"), "“Publication”"),
)
"""The commands' options, and what a page has in place of them."""


@dataclass(frozen=True, slots=True)
class Filled:
    """The form as filled in so far, a field with empty words for what is not."""

    number: str = ""
    model: str = ""
    serial: str = ""
    built: str = ""
    kits: str = ""
    without: str = ""
    publication: str = ""
    page: str = ""
    section: str = ""
    plate: str = ""
    found: str = ""
    found_remark: str = ""
    doubt: str = ""
    remark: str = ""

    @property
    def empty(self) -> bool:
        """True before anything was filled in."""
        return self == Filled(number=self.number)

    def told(self) -> Told:
        """What the form says. Raises WrongUse for words that cannot be read."""
        return Told(
            model=self.model or None,
            serial=self.serial or None,
            date_of_build=_day(self.built),
            plate=tuple(plate_line(line) for line in self.plate.splitlines() if line.strip()),
            doubts=_line(self.doubt),
            kits=_several(self.kits),
            without=_line(self.without),
            about=self._about(),
            found=parse_got(self.found) if self.found else (),
            found_remarks=_line(self.found_remark),
            remarks=_line(self.remark),
        )

    def _about(self) -> tuple[About, ...]:
        """The procedure as the desk's form for procedures means it: the section on the page, where both are
        given."""
        book, section = self.publication or None, self.section or None
        pages = _several(self.page) or ((None,) if book or section else ())
        return tuple(About(book, page, section) for page in pages)


def filled() -> Filled:
    """The form that was sent, or the one that the address fills in."""
    return Filled(**{f.name: words for f in fields(Filled) if (words := said(f.name))})


def said(name: str) -> str:
    """What was typed into a field. Raises WrongUse for more than is kept: nothing is cut off unseen."""
    words = request.values.get(name, "").replace("\r\n", "\n").strip()
    if len(words) > MOST_SIGNS:
        raise WrongUse(f"that is more than {MOST_SIGNS} signs in one field", "Write it in several parts.")
    return words


def plain(error: BenchleafError) -> str:
    """A problem in the words of a page."""
    near = f" Near it: {', '.join(error.near)}." if isinstance(error, NotHeld) and error.near else ""
    remedy = f"{error.remedy[:1].upper()}{error.remedy[1:]}"
    words = f"{error.message.rstrip('.')}.{near} {remedy}".strip()
    for option, words_here in _IN_FIELDS:
        words = option.sub(words_here, words)
    return words[:1].upper() + words[1:]


def _day(words: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(words) if words else None
    except ValueError as error:
        raise WrongUse(f"“{words}” is no date", "Write it as 2026-11-24.") from error


def _several(words: str) -> tuple[str, ...]:
    return tuple(one for part in _BETWEEN.split(words) if (one := " ".join(part.split())))


def _line(words: str) -> tuple[str, ...]:
    plain_words = " ".join(words.split())
    return (plain_words,) if plain_words else ()
