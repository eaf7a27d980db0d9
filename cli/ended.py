"""Holds that papers or readings have just explained: written down, and told."""

import datetime as dt
from collections.abc import Iterable
from typing import TYPE_CHECKING

import click
from benchleaf.cli.clean import one_line

if TYPE_CHECKING:
    from benchleaf.graph.store import Store


def end_holds(store: "Store", at: dt.datetime) -> None:
    """Judge every hold anew after papers or readings changed; on standard error, those that ended or came
    back."""
    tell(ended_holds(store, at))


def tell(sentences: Iterable[str]) -> None:
    """On standard error, a sentence a line."""
    for sentence in sentences:
        click.echo(sentence, err=True)


def ended_holds(store: "Store", at: dt.datetime) -> tuple[str, ...]:
    """Judge every hold anew after papers or readings changed; a sentence for each that ended or came back."""
    if not store.holds(lifted=True):
        return ()
    from benchleaf.graph.kits.holding import settle_holds

    with store.transaction():
        changed = settle_holds(store, at)
    return tuple(
        one_line(hold.sentence if hold.back else f"kit {hold.kit}: the hold is over, {hold.ending}")
        for hold in changed
    )
