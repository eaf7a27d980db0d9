"""`benchleaf add`: files and folders into the store."""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click
from benchleaf.cli.adding import cluster_options, readers, workers_option
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

if TYPE_CHECKING:
    from benchleaf.graph.store import Store
    from benchleaf.ingest.add import AddReport
    from benchleaf.ingest.workers.readers import Readers

EXAMPLES = examples("add manual.pdf", "add papers/", "add --json bulletin-17.pdf prices.csv")


@click.command("add", epilog=EXAMPLES)
@click.argument(
    "paths", metavar="PATH...", nargs=-1, required=True, type=click.Path(exists=True, path_type=Path)
)
@workers_option
@cluster_options
@as_json
@click.pass_obj
def command(
    session: Session,
    paths: tuple[Path, ...],
    workers: int | None,
    cluster: str | None,
    shared_paths: bool,
    as_json: bool,
) -> int:
    """Take files and folders into the store: manuals, bulletins, part lists, packing slips.

    PDF, scans and photos, plain text, e-mails with what they enclose, saved web pages, .docx, .xlsx and CSV
    are read. The originals are kept. Adding the same file twice changes nothing, and a file that is refused
    does not stop the others.
    """
    with readers(workers, cluster, shared_paths) as reading, session.write(create=True) as store:
        report = _add(store, paths, reading)
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_papers import add_shape

        show(add_shape(report))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_add import show_add

        show_add(Screen(), report)
    return 0 if report.files and not report.count("refused") else 1


def _add(store: "Store", paths: tuple[Path, ...], reading: "Readers") -> "AddReport":
    from benchleaf.cli.ended import end_holds
    from benchleaf.cli.progress import progress
    from benchleaf.ingest.add import add_paths

    now = dt.datetime.now().astimezone()  # the shop's own day decides the week in which a paper arrived
    with progress("Reading") as step:
        report = add_paths(
            store,
            paths,
            now,
            lambda file, total: step(file.path, total),
            reading,
            lambda path, count: step(f"{path}: {count} rows", None),
        )
    end_holds(store, now)
    return report
