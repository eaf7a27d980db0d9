"""Options and argument types that several commands share."""

import datetime as dt
from collections.abc import Callable
from typing import Any, TypeVar

import click
from benchleaf.graph.errors import WrongUse

F = TypeVar("F", bound=Callable[..., Any])


class Day(click.ParamType):  # type: ignore[type-arg]  # generic only in newer versions of click
    """A date as ISO 8601 writes it; other ways of writing one are ambiguous and are not guessed at."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> dt.date:
        """The date, or a usage error that shows how to write one."""
        if isinstance(value, dt.date):
            return value
        try:
            return dt.date.fromisoformat(str(value))
        except ValueError:
            self.fail(f"{value!r} is no date; write it as year-month-day, such as 2026-11-24", param, ctx)


DAY = Day()


def as_json(function: F) -> F:
    """Add `--json`."""
    option = click.option(
        "--json", "as_json", is_flag=True, help="Print one JSON object on standard output, nothing else."
    )
    return option(function)


def signed(function: F) -> F:
    """Add `--initials`, which may also come from the environment."""
    option = click.option(
        "--initials",
        metavar="AB",
        envvar="BENCHLEAF_INITIALS",
        show_envvar=True,
        help="Who says so; kept for ever.",
    )
    return option(function)


def initials_of(given: str | None) -> str:
    """The initials, one to eight letters. Raises WrongUse without them: nobody settles a thing unsigned."""
    plain = (given or "").strip()
    if not plain:
        raise WrongUse("whose word is this?", "Give --initials AB, or set BENCHLEAF_INITIALS.")
    letters = sum(sign.isalpha() for sign in plain)
    if not letters or len(plain) > 8 or not all(sign.isalpha() or sign in ".-" for sign in plain):
        raise WrongUse(f"{plain!r} are no initials", "Give one to eight letters, such as --initials AB.")
    if plain.lower() == "rule":
        raise WrongUse("'rule' is how benchleaf signs its own readings", "Give a person's initials.")
    return plain


def examples(*lines: str) -> str:
    r"""The end of a help page: lines to type, kept as they are; a long one goes on after a backslash."""
    return "\b\nExamples:\n" + "\n".join(f"  benchleaf {line}" for line in lines)
