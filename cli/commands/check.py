"""`benchleaf check`: is the store whole?"""

from typing import TYPE_CHECKING

import click

from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

if TYPE_CHECKING:
    from benchleaf.graph.upkeep import Condition

EXAMPLES = examples("check", "check --json")


@click.command("check", epilog=EXAMPLES)
@as_json
@click.pass_obj
def command(session: Session, as_json: bool) -> int:
    """Is the store whole?

    Reads every kept file again and compares it with its fingerprint, tests the tables and their links, the
    search index, and the part numbers for circles.
    """
    from benchleaf.graph.upkeep import check

    with session.read() as store:
        found = check(store)
