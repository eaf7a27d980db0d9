"""An arrived kit for people: the verdict first, then why, then the lines, the pack and the steps."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchleaf.cli.say import command, listed
from benchleaf.cli.screen import Column, Piece, Screen, Words
from benchleaf.cli.show_doubts import BLANK

if TYPE_CHECKING:
    from benchleaf.graph.kits.kit import KitAnswer
    from benchleaf.graph.kits.packcheck import PackAnswer
    from benchleaf.graph.store import Hold
    from benchleaf.ingest.lists.slips import Slip

_VERDICTS = {
    "as-listed": "as listed",
    "explained": "explained: settled notes account for every difference",
    "unexplained": "unexplained",
    "not-known": "not known",
}


def show_kit(
    screen: Screen,
    answer: "KitAnswer",
    holds: "Sequence[Hold]",
    paper: "Slip | None",
    *,
    counted: bool,
    start: Sequence[str],
) -> None:
    """Print the answer. `counted` is False if nobody said what came; `start` begins a line to type."""
    _show_verdict(screen, answer, counted)
    for reason in in_order(answer):
        screen.line(reason, indent=2, hang=4)
    if paper is not None:
        for row in paper.unread:
            screen.line(Piece(f"Not read on the slip: {row}", "doubt"), indent=2, hang=4)
    if answer.lines:
        screen.blank()
        _show_lines(screen, answer)
    if answer.pack is not None:
        screen.blank()
        _show_pack(screen, answer.pack, counted)
    _show_steps(screen, answer)
    if holds:
        _show_holds(screen, answer, holds, start)


def in_order(answer: "KitAnswer") -> list[str]:
    """The reasons, those that make the hold first."""
    return sorted(answer.reasons, key=lambda reason: not _makes_hold(reason, answer))


def why_words(answer: "KitAnswer") -> str:
    """Why the kit is on hold, in one line: what is written down with the hold."""
    deciding = [reason for reason in answer.reasons if _makes_hold(reason, answer)]
    return "; ".join(deciding or answer.reasons) or _VERDICTS[answer.verdict]


def _makes_hold(reason: str, answer: "KitAnswer") -> bool:
    """True of a reason that speaks of a line with a difference, or of a pack that does not stack."""
    lines = [line.description for line in answer.lines if line.difference]
    unfit = answer.pack is not None and answer.pack.fits is False
    return any(reason.startswith(f"{name}: ") for name in lines) or (unfit and "asks for" in reason)


def _show_verdict(screen: Screen, answer: "KitAnswer", counted: bool) -> None:
    if not counted and answer.verdict != "not-known":
        screen.line(Piece(f"Kit {answer.kit}: NOT COUNTED. Say what came with --got or --slip.", "strong"))
    elif answer.hold:
        screen.line(Piece(f"HOLD — kit {answer.kit}: {_on_hold(answer)}", "bad"))
    else:
        screen.line(Piece(f"Kit {answer.kit}: {_VERDICTS[answer.verdict]}", "good"))


def _on_hold(answer: "KitAnswer") -> str:
    """Why the kit waits: its verdict, or, where the lines are in order, the pack that does not stack."""
    if answer.verdict in ("as-listed", "explained"):
        return f"{answer.verdict}, but its plates cannot be stacked as the step asks"
    return _VERDICTS[answer.verdict]


def _show_lines(screen: Screen, answer: "KitAnswer") -> None:
    columns = [
        Column("Part", whole=True),
        Column("Description"),
        Column("Expected", right=True, whole=True),
        Column("Came", right=True, whole=True),
        Column("Diff.", right=True, whole=True),
        Column("Because of"),
    ]
    rows: list[list[Words]] = []
    for line in answer.lines:
        difference = "" if line.difference is None else f"{line.difference:+d}" if line.difference else "0"
        style = Piece(difference, "bad" if line.difference else "")
        expected = "as req." if line.expected is None else str(line.expected)
        came = "not counted" if line.received is None else str(line.received)
        rows.append([line.part or "", line.description, expected, came, style, listed(line.because)])
    screen.table(columns, rows)


def _show_pack(screen: Screen, pack: "PackAnswer", counted: bool) -> None:
    ways = [f"{o.first} first and {o.last} last" for o in pack.orders]
    allowed = f"can stack {listed(ways, 'or')}" if ways else "cannot alternate"
    whose = "" if counted else "as listed, "
    screen.labelled("Pack", f"{whose}{pack.friction} friction and {pack.steel} steel plates {allowed}.")
    order = pack.procedure_order
    if order is not None:
        ends = [f"{order.first} first" if order.first else "", f"{order.last} last" if order.last else ""]
        asked = " and ".join(end for end in ends if end)
        step = f"step {order.item} on page {order.page} of {order.publication}"
        screen.line(f"The step in force asks for {asked} ({step}).", indent=6)
    if pack.fits is None:
        screen.line("No step in force says which order is meant.", indent=6)
    else:
        fits = Piece("It fits.", "good") if pack.fits else Piece("It does NOT fit.", "bad")
        screen.line(fits, indent=6)


def _show_steps(screen: Screen, answer: "KitAnswer") -> None:
    if not answer.steps:
        return
    screen.blank()
    screen.line(Piece("Steps that this kit concerns", "head"))
    for step in answer.steps:
        by = f" ({step.note})" if step.note else ""
        place = f"page {step.page}, item {step.item}" if step.item else f"page {step.page}"
        screen.line(f"{step.publication}, {place}{by}", indent=2, hang=4)


def _show_holds(screen: Screen, answer: "KitAnswer", holds: "Sequence[Hold]", start: Sequence[str]) -> None:
    screen.blank()
    for hold in holds:
        why = "as said above" if hold.reason == why_words(answer) else hold.reason
        since = hold.set_at.date().isoformat()
        screen.line(Piece(f"On hold since {since}: {why}.", "bad"), hang=2)
    screen.line("A person lifts it, with a reason:")
    screen.typed(command(*start, "kit", answer.kit, "--lift", "--initials", BLANK, "--reason", BLANK))
