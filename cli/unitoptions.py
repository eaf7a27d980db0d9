"""The unit that a question is about, with the kits at hand and the day: the options that commands share."""

import datetime as dt
import functools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import click
from benchleaf.cli.options import DAY


@dataclass(frozen=True, slots=True)
class AskedUnit:
    """The unit as it was named, the kits at hand, and the day as of which the papers count."""

    model: str | None
    serial: str | None
    built: dt.date | None
    kits: tuple[str, ...]
    on: dt.date


_OPTIONS = (
    click.option("--model", metavar="M", help="The unit's model."),
    click.option("--serial", metavar="S", help="The unit's serial number."),
    click.option("--built", metavar="DATE", type=DAY, help="The unit's date of build."),
    click.option("--kit", "kits", metavar="NUMBER", multiple=True, help="A kit at hand; may be repeated."),
    click.option("--on", "on", metavar="DATE", type=DAY, help="As the papers stood then; else today."),
)


def of_unit(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add `--model`, `--serial`, `--built`, `--kit` and `--on`; the function takes them as one, `asked`."""

    @functools.wraps(function)
    def together(
        *given: Any,
        model: str | None,
        serial: str | None,
        built: dt.date | None,
        kits: tuple[str, ...],
        on: dt.date | None,
        **rest: Any,
    ) -> Any:
        asked = AskedUnit(model, serial, built, kits, on or dt.date.today())
        return function(*given, asked=asked, **rest)

    return functools.reduce(lambda made, option: option(made), reversed(_OPTIONS), together)
