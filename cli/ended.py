"""Holds that papers or readings have just explained: written down, and told."""

import datetime as dt
from typing import TYPE_CHECKING

import click
from benchleaf.cli.clean import one_line

if TYPE_CHECKING:
    from benchleaf.graph.store import Store


def end_holds(store: "Store", at: dt.datetime) -> None:
    """Judge every hold anew after papers or readings changed; on standard error, those that ended or came
    back."""
    if not store.holds(lifted=True):
        return
    from benchleaf.graph.kits.holding import settle_holds

    with store.transaction():
        changed = settle_holds(store, at)
    for hold in changed:
        over = f"kit {hold.kit}: the hold is over, {hold.ending}"
        click.echo(one_line(hold.sentence if hold.back else over), err=True)
