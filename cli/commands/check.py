"""`benchleaf check`: is the store whole?"""

from dataclasses import asdict
from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

if TYPE_CHECKING:
    from benchleaf.graph.db.upkeep import Condition

EXAMPLES = examples("check", "check --json")


@click.command("check", epilog=EXAMPLES)
@as_json
@click.pass_obj
def command(session: Session, as_json: bool) -> int:
    """Is the store whole?

    Reads every kept file again and compares it with its fingerprint, tests the tables, their links and the
    search, and looks for part numbers that replace each other in a circle. It names what a run left behind
    when it was cut off. It changes nothing.
    """
    from benchleaf.graph.db.upkeep import check

    with session.read() as store:
        found = check(store)
    if as_json:
        from benchleaf.cli.shapes import show

        problems, leftovers = ([asdict(x) for x in xs] for xs in (found.problems, found.leftovers))
        counts = asdict(found.counts)
        show({"whole": found.whole, "problems": problems, "counts": counts, "leftovers": leftovers})
    else:
        _print(found)
    return 0 if found.whole else 1


def _print(found: "Condition") -> None:
    from benchleaf.cli.say import many
    from benchleaf.cli.screen import Piece, Screen

    screen = Screen()
    if found.whole:
        screen.line(Piece("The store is whole.", "good"))
    else:
        screen.line(Piece(f"{many(len(found.problems), 'problem')}.", "bad"))
    for problem in found.problems:
        screen.labelled(problem.kind, problem.message, width=10)
        screen.line(problem.remedy, indent=10)
    for leftover in found.leftovers:
        screen.labelled("left over", f"{leftover.name}: {leftover.message}", width=10)
        screen.line(leftover.remedy, indent=10)
    counts = asdict(found.counts)
    screen.line(f"Looked at: {', '.join(f'{count} {name}' for name, count in counts.items())}.")
