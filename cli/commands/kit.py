"""`benchleaf kit`: an arrived kit against what the notes and the manual say."""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import as_json, examples, initials_of, signed
from benchleaf.cli.session import Session
from benchleaf.graph.errors import BenchleafError, WrongUse

if TYPE_CHECKING:
    from benchleaf.graph.kits.kit import KitAnswer
    from benchleaf.graph.store import Hold
    from benchleaf.ingest.lists.slips import Slip

EXAMPLES = examples(
    'kit 4471-208 --got "10 friction disc, 11 steel disc"',
    "kit 4471-208 --slip slip.csv --model G8 --serial 10233",
    'kit 4471-208 --lift --initials AB --reason "discs came by post"',
)


@click.command("kit", epilog=EXAMPLES)
@click.argument("number", metavar="NUMBER...", nargs=-1, required=True)
@click.option("--got", metavar="WORDS", help="What came, counted by hand.")
@click.option(
    "--slip",
    metavar="FILE",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="What came, by the packing slip: CSV, PDF, .xlsx, .docx, web page, e-mail or text with a table.",
)
@click.option("--model", metavar="M", help="The unit's model.")
@click.option("--serial", metavar="S", help="The unit's serial number.")
@click.option("--lift", is_flag=True, help="Lift the kit's hold; needs --initials and --reason.")
@click.option("--reason", metavar="WORDS", help="Why the hold is lifted; kept for ever.")
@signed
@as_json
@click.pass_obj
def command(
    session: Session,
    number: tuple[str, ...],
    got: str | None,
    slip: Path | None,
    model: str | None,
    serial: str | None,
    lift: bool,
    reason: str | None,
    initials: str | None,
    as_json: bool,
) -> int:
    """An arrived kit against what the notes and the manual say.

    The verdict comes first: as listed, explained by settled notes, or unexplained and on HOLD. The plates'
    arithmetic is compared with the step in force. A hold is written down and stays until a person lifts it.
    Exit status 1 on a hold.
    """
    kit = " ".join(number)
    if lift:
        return _lift(session, kit, initials, reason, as_json)
    if got is not None and slip is not None:
        raise WrongUse("--got and --slip both say what came", "Give one of them: counting beats the slip.")
    from benchleaf.graph.kits.kit import kit_answer, parse_got
    from benchleaf.ingest.lists.slips import read_slip

    paper = read_slip(slip, kit) if slip else None
    came = paper.lines if paper else parse_got(got) if got is not None else ()
    with session.read() as store:
        answer = kit_answer(store, kit, came, model, serial)
        holds = store.holds(kit)
    if came and answer.hold and answer.verdict != "not-known":
        holds = _held(session, answer) or holds
    _print(answer, holds, paper, counted=bool(came), as_json=as_json, start=session.words)
    return 1 if answer.hold else 0


def _print(
    answer: "KitAnswer",
    holds: "tuple[Hold, ...]",
    paper: "Slip | None",
    *,
    counted: bool,
    as_json: bool,
    start: tuple[str, ...],
) -> None:
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_kit import kit_shape

        show(kit_shape(answer, holds, paper))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_kit import show_kit

        show_kit(Screen(), answer, holds, paper, counted=counted, start=start)


def _held(session: Session, answer: "KitAnswer") -> "tuple[Hold, ...]":
    """Write the hold down; the answer stands even where that cannot be done, and says so."""
    from benchleaf.cli.show_kit import why_words

    now = dt.datetime.now().astimezone()
    try:
        with session.write() as store:
            with store.transaction():
                store.set_hold(answer.kit, why_words(answer), now)
            return store.holds(answer.kit)
    except BenchleafError as problem:
        click.echo(f"The hold could not be written down: {problem.message} {problem.remedy}", err=True)
        return ()


def _lift(session: Session, kit: str, initials: str | None, reason: str | None, as_json: bool) -> int:
    by = initials_of(initials)
    if not (reason or "").strip():
        raise WrongUse("lifting a hold needs a reason", 'Add --reason "…".')
    with session.write() as store, store.transaction():
        lifted = store.lift_hold(kit, by, reason or "", dt.datetime.now().astimezone())
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_kit import hold_shape

        show({"kit": kit, "lifted": [hold_shape(h) for h in lifted]})
    else:
        from benchleaf.cli.screen import Screen

        for hold in lifted:
            day = hold.set_at.date().isoformat()
            Screen().line(f"Kit {hold.kit}: the hold of {day} is lifted by {by}: {hold.lifted_reason}")
    return 0
