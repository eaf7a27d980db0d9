"""`benchleaf missing`: what is cited but not held."""

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

EXAMPLES = examples("missing", "missing --json")


@click.command("missing", epilog=EXAMPLES)
@as_json
@click.pass_obj
def command(session: Session, as_json: bool) -> int:
    """Publications, pages and notes that are cited but not held: the papers to ask the maker for."""
    from benchleaf.graph.missing import missing_answer

    with session.read() as store:
        missing = missing_answer(store)
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_week import missing_shape

        show({"missing": [missing_shape(m) for m in missing]})
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_week import show_missing

        screen = Screen()
        show_missing(screen, missing)
        if not missing:
            screen.line("Nothing is missing: whatever the notes cite is held.")
    return 0
