"""`benchleaf backup`: a copy of the store."""

from pathlib import Path

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

EXAMPLES = examples("backup /media/stick/benchleaf", "backup copies --json")


@click.command("backup", epilog=EXAMPLES)
@click.argument("dest", type=click.Path(file_okay=False, path_type=Path))
@as_json
@click.pass_obj
def command(session: Session, dest: Path, as_json: bool) -> int:
    """Make a copy of the store in the folder DEST.

    The copy is whole even while the store is in use, and is a store itself: `benchleaf --store DEST check`.
    """
    from benchleaf.graph.db.upkeep import backup

    with session.read() as store:
        made = backup(store, dest)
    if as_json:
        from benchleaf.cli.shapes import show

        show({"backup": str(made)})
    else:
        click.echo(f"The copy is in {made}. Try it: benchleaf --store {made} check")
    return 0
