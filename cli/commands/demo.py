"""`benchleaf demo`: build a demo store and walk the main job."""

from pathlib import Path

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

EXAMPLES = examples("demo", "demo try-it", "demo --json")


@click.command("demo", epilog=EXAMPLES)
@click.argument("folder", required=False, type=click.Path(file_okay=False, path_type=Path))
@as_json
@click.pass_obj
def command(session: Session, folder: Path | None, as_json: bool) -> int:
    """Build a demo store from an invented maker's papers and walk the main job on it.

    The papers and the store go into FOLDER (./benchleaf-demo if none is given). Every answer is that of the
    command itself; the line that was typed stands before it. Your own store is not touched.
    """
    from benchleaf.cli.tour import read_tour, settled_folder, take_tour, walk

    place = settled_folder(folder)
    stops = read_tour()
    if as_json:
        from benchleaf.cli.shapes import show

        show(take_tour(place, stops))
        return 0
    return walk(place, stops)
