"""`benchleaf reread`: held originals read again with the present phrase book."""

import datetime as dt
from typing import TYPE_CHECKING

import click
from benchleaf.cli.adding import readers, workers_option
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session
from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from benchleaf.ingest.reread import RereadReport

EXAMPLES = examples(
    "reread --all --dry-run", "reread bulletin-17.pdf", 'reread "SB 14-2"', "reread --all --json"
)


@click.command("reread", epilog=EXAMPLES)
@click.argument("asked", metavar="[PATH | NUMBER]...", nargs=-1)
@click.option("--all", "whole", is_flag=True, help="Every original that the store holds.")
@click.option("--dry-run", is_flag=True, help="Only tell what would change.")
@workers_option
@as_json
@click.pass_obj
def command(
    session: Session, asked: tuple[str, ...], whole: bool, dry_run: bool, workers: int | None, as_json: bool
) -> int:
    """Read held originals again, with the wordings known now, and tell what that changes.

    A paper is named by its file, or by the number of its note or publication. What a person settled stays as
    he settled it, also where the present reading no longer finds it; days of receipt stay. A paper that
    cannot be read now is left as it was read before. Pages that OCR has read are not read by it again.
    """
    if bool(asked) == whole:
        raise WrongUse("which papers?", "Name them by file or number, or give --all.")
    report = _reread(session, asked, dry_run, workers)
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_papers import reread_shape

        show(reread_shape(report))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_reread import show_reread

        show_reread(Screen(), report)
    return 1 if report.count("refused") else 0


def _reread(session: Session, asked: tuple[str, ...], dry_run: bool, workers: int | None) -> "RereadReport":
    from benchleaf.cli.ended import end_holds
    from benchleaf.cli.progress import progress
    from benchleaf.ingest.reread import chosen, reread

    with session.write() as store:
        papers = chosen(store, asked)
        with readers(workers) as reading, progress("Reading") as step:
            report = reread(
                store,
                papers,
                dry_run=dry_run,
                progress=lambda file, total: step(file.file, total),
                readers=reading,
            )
        if not dry_run:
            end_holds(store, dt.datetime.now().astimezone())
        return report
