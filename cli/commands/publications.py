"""`benchleaf publications`: the manuals that the store holds."""

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session
from benchleaf.graph.model import Manual

EXAMPLES = examples("publications", "publications --pages", "publications --json")


@click.command("publications", epilog=EXAMPLES)
@click.option("--pages", is_flag=True, help="List the pages that hold numbered steps, too.")
@as_json
@click.pass_obj
def command(session: Session, pages: bool, as_json: bool) -> int:
    """The manuals that the store holds.

    Number, title, edition, date, models, and how many pages and steps were read.
    """
    with session.read() as store:
        manuals = store.publications()
    if as_json:
        from benchleaf.cli.shapes import manual_shape, show

        show({"publications": [manual_shape(m) for m in manuals]})
    else:
        _print(manuals, pages)
    return 0


def _print(manuals: tuple[Manual, ...], pages: bool) -> None:
    from benchleaf.cli.screen import Column, Screen

    screen = Screen()
    if not manuals:
        screen.line("No publications are held.")
        return
    columns = [
        Column("Number", whole=True),
        Column("Title"),
        Column("Edition"),
        Column("Models"),
        Column("Pages", right=True, whole=True),
        Column("Steps", right=True, whole=True),
    ]
    screen.table(columns, [_row(m) for m in manuals])
    for manual in manuals if pages else ():
        screen.blank()
        screen.line(f"{manual.number}: pages with steps")
        screen.line(
            ", ".join(f"{p.page} ({len(p.items)})" for p in manual.pages if p.items) or "none", indent=2
        )


def _row(manual: Manual) -> list[str]:
    date = manual.date.isoformat() if manual.date else ""
    edition = ", ".join(word for word in (manual.edition or "", date) if word)
    steps = sum(len(p.items) for p in manual.pages)
    title = ", ".join(word for word in (manual.title, manual.issuer) if word)
    return [manual.number, title, edition, ", ".join(manual.models), str(len(manual.pages)), str(steps)]
