"""`benchleaf missing`: what is cited but not held."""

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

EXAMPLES = examples("missing", "missing --json")


@click.command("missing", epilog=EXAMPLES)
@as_json
@click.pass_obj
def command(session: Session, as_json: bool) -> int:
    """Publications, pages and notes that are cited but not held."""
    from benchleaf.graph.missing import missing_answer

    with session.read() as store:
        missing = missing_answer(store)
