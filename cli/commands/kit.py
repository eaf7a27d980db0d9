"""`benchleaf kit`: an arrived kit against what the notes and the manual say."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import as_json, examples, initials_of, signed
from benchleaf.cli.session import Session
from benchleaf.graph.errors import BenchleafError, WrongUse

if TYPE_CHECKING:
    from benchleaf.cli.show_kit import KitShown
    from benchleaf.graph.kits.holding import StandingHold
    from benchleaf.graph.kits.kit import KitAnswer
    from benchleaf.graph.kits.received import Received
    from benchleaf.ingest.lists.slips import Slip

EXAMPLES = examples(
    'kit 4471-208 --got "10 friction disc, 11 steel disc"',
    "kit 4471-208 --slip slip.jpg --model G8 --serial 10233",
    'kit 4471-208 --found "9 friction disc, 9 steel disc"',
    'kit 4471-208 --lift --initials AB --reason "discs came by post"',
)


@click.command("kit", epilog=EXAMPLES)
@click.argument("number", metavar="NUMBER...", nargs=-1, required=True)
@click.option("--got", metavar="WORDS", help="What came, counted by hand.")
@click.option(
    "--slip",
    metavar="FILE",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="What came, by the packing slip: CSV, PDF, photo or scan, .xlsx, .docx, web page, e-mail or text.",
)
@click.option("--found", metavar="WORDS", help="What was in the unit at teardown: evidence, never authority.")
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
    found: str | None,
    model: str | None,
    serial: str | None,
    lift: bool,
    reason: str | None,
    initials: str | None,
    as_json: bool,
) -> int:
    """An arrived kit against what the notes and the manual say.

    The verdict comes first: as listed, explained by settled notes, or unexplained and on HOLD. The plates'
    arithmetic is compared with the step in force, and what note seems to be missing is named. A hold is
    written down, shows on every procedure that would use the kit, and stays until a note explains what came
    or a person lifts it. Exit status 1 on a hold.
    """
    kit = " ".join(number)
    if lift:
        return _lift(session, kit, initials, reason, as_json)
    if got is not None and slip is not None:
        raise WrongUse("--got and --slip both say what came", "Give one of them: counting beats the slip.")
    from benchleaf.cli.arrivals import to_write
    from benchleaf.cli.show_kit import KitShown
    from benchleaf.graph.kits.asfound import found_answer
    from benchleaf.graph.kits.holding import standing_holds
    from benchleaf.graph.kits.kit import kit_answer, parse_got

    paper = _slip(slip, kit) if slip else None
    came = paper.lines if paper else parse_got(got) if got is not None else ()
    inside = parse_got(found) if found is not None else ()
    with session.read() as store:
        answer = kit_answer(store, kit, came, model, serial)
        evidence = found_answer(store, answer.kit, model, inside) if inside else None
        write = to_write(store, answer, came)
    if write:
        holds = _held(session, answer, came, model, serial)
    else:
        with session.read() as store:
            holds = standing_holds(store, answer.kit)
    _print(KitShown(answer, holds, paper, evidence, counted=bool(came)), as_json, session.words)
    return 1 if answer.hold or holds else 0


def _slip(file: Path, kit: str) -> "Slip":
    """What a packing slip tells; reading papers is imported for that alone."""
    from benchleaf.ingest.workers.apart import slip_apart

    return slip_apart(file, kit)


def _print(shown: "KitShown", as_json: bool, start: tuple[str, ...]) -> None:
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_kit import kit_shape

        show(kit_shape(shown))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_kit import show_kit

        show_kit(Screen(), shown, start)


def _held(
    session: Session, answer: "KitAnswer", came: "Sequence[Received]", model: str | None, serial: str | None
) -> "tuple[StandingHold, ...]":
    """Write the hold down, and what notes explain by now; the answer stands even where that cannot be done,
    and says so."""
    from benchleaf.cli.arrivals import write_arrival

    now = dt.datetime.now().astimezone()
    try:
        with session.write() as store:
            done = write_arrival(store, answer, came, model, serial, now)
    except BenchleafError as problem:
        click.echo(f"The hold could not be written down: {problem.sentence}", err=True)
        return ()
    if done.told:
        click.echo(done.told, err=True)
    return done.holds


def _lift(session: Session, kit: str, initials: str | None, reason: str | None, as_json: bool) -> int:
    from benchleaf.cli.arrivals import lift as lifted_holds

    by = initials_of(initials)
    if not (reason or "").strip():
        raise WrongUse("lifting a hold needs a reason", 'Add --reason "…".')
    now = dt.datetime.now().astimezone()
    with session.write() as store:
        lifted = lifted_holds(store, kit, by, reason or "", now)
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
