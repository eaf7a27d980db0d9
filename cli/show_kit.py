"""An arrived kit for people: the verdict first, then why, then the lines, the pack and the steps."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.say import command, dated
from benchleaf.cli.say import listed as in_a_row
from benchleaf.cli.screen import Column, Piece, Screen, Words
from benchleaf.cli.show_doubts import BLANK

if TYPE_CHECKING:
    from benchleaf.graph.kits.asfound import FoundAnswer
    from benchleaf.graph.kits.holding import StandingHold
    from benchleaf.graph.kits.kit import KitAnswer
    from benchleaf.graph.kits.missingnote import MissingNote
    from benchleaf.graph.kits.packcheck import PackAnswer
    from benchleaf.ingest.lists.slips import Slip

VERDICTS = {
    "as-listed": "as listed",
    "explained": "explained: settled notes account for every difference",
    "unexplained": "unexplained",
    "not-known": "not known",
}


@dataclass(frozen=True, slots=True)
class KitShown:
    """What is shown of a kit: the answer, the holds in effect, the packing slip, what was found in the unit.
    `counted` is False if nobody said what came."""

    answer: "KitAnswer"
    holds: "tuple[StandingHold, ...]" = ()
    paper: "Slip | None" = None
    found: "FoundAnswer | None" = None
    counted: bool = True


def show_kit(screen: Screen, shown: KitShown, start: Sequence[str]) -> None:
    """Print the answer; `start` begins a line to type."""
    answer = shown.answer
    _show_verdict(screen, answer, shown.counted)
    for reason in in_order(answer):
        screen.line(reason, indent=2, hang=4)
    if shown.paper is not None:
        _show_slip(screen, shown.paper)
    if answer.lines:
        screen.blank()
        _show_lines(screen, answer)
    if answer.pack is not None:
        screen.blank()
        _show_pack(screen, answer.pack, shown.counted)
    if answer.missing is not None:
        _show_missing(screen, answer.missing, listed=any(line.source for line in answer.lines))
    _show_steps(screen, answer)
    if shown.found is not None:
        _show_found(screen, shown.found)
    if shown.holds:
        _show_holds(screen, shown, start)


def _show_slip(screen: Screen, paper: "Slip") -> None:
    if paper.by_ocr:
        words = "The slip was read by OCR: compare the quantities with the paper."
        screen.line(Piece(words, "doubt"), indent=2, hang=4)
    for row in paper.unread:
        screen.line(Piece(f"Not read on the slip: {row}", "doubt"), indent=2, hang=4)


def in_order(answer: "KitAnswer") -> list[str]:
    """The reasons, those that make the hold first."""
    return sorted(answer.reasons, key=lambda reason: not _makes_hold(reason, answer))


def why_words(answer: "KitAnswer") -> str:
    """Why the kit is on hold, in one line: what is written down with the hold."""
    deciding = [reason for reason in answer.reasons if _makes_hold(reason, answer)]
    return "; ".join(deciding or answer.reasons) or VERDICTS[answer.verdict]


def _makes_hold(reason: str, answer: "KitAnswer") -> bool:
    """True of a reason that speaks of a line that is wrong, or of a pack that does not stack."""
    wrong = {line.reason for line in answer.lines if line.wrong}
    unfit = answer.pack is not None and answer.pack.fits is False
    return reason in wrong or (unfit and "asks for" in reason)


def _show_verdict(screen: Screen, answer: "KitAnswer", counted: bool) -> None:
    if not counted and answer.verdict != "not-known":
        screen.line(Piece(f"Kit {answer.kit}: NOT COUNTED. Say what came with --got or --slip.", "strong"))
    elif answer.hold:
        screen.line(Piece(f"HOLD — kit {answer.kit}: {on_hold(answer)}", "bad"))
    else:
        screen.line(Piece(f"Kit {answer.kit}: {VERDICTS[answer.verdict]}", "good"))


def on_hold(answer: "KitAnswer") -> str:
    """Why the kit waits: its verdict, or, where the lines are in order, the pack that does not stack."""
    if answer.verdict in ("as-listed", "explained"):
        return f"{answer.verdict}, but its plates cannot be stacked as the step asks"
    return VERDICTS[answer.verdict]


def _show_lines(screen: Screen, answer: "KitAnswer") -> None:
    columns = [
        Column("Part", whole=True),
        Column("Description"),
        Column("Expected", right=True, whole=True),
        Column("Came", right=True, whole=True),
        Column("Diff.", right=True, whole=True),
        Column("State", whole=True),
        Column("Because of"),
    ]
    rows: list[list[Words]] = []
    for line in answer.lines:
        difference = "" if line.difference is None else f"{line.difference:+d}" if line.difference else "0"
        style = Piece(difference, "bad" if line.difference else "")
        expected = "as req." if line.expected is None else str(line.expected)
        came = "" if line.received is None else str(line.received)
        why = in_a_row(line.because)
        rows.append([line.part or "", line.description, expected, came, style, line.state, why])
    screen.table(columns, rows)


def _show_pack(screen: Screen, pack: "PackAnswer", counted: bool) -> None:
    ways = [f"{o.first} first and {o.last} last" for o in pack.orders]
    allowed = f"can stack {in_a_row(ways, 'or')}" if ways else "cannot alternate"
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


def _show_missing(screen: Screen, missing: "MissingNote", *, listed: bool) -> None:
    screen.blank()
    open_title = "If the count is right, a note is missing" if listed else "A note seems to be missing"
    title = open_title if missing.hold else "Worth a look"
    screen.line(Piece(title, "head"))
    for words in missing.arithmetic:
        screen.line(words, indent=2, hang=4)
    _show_listed(screen, "First", missing.first_look)
    _show_listed(screen, "It would be explained by", missing.would_explain)
    more = [f"and {missing.more_held} more"] if missing.more_held else []
    held = [f"{dated(h.number, h.date)}, {h.standing}: {'; '.join(h.reasons)}" for h in missing.held]
    _show_listed(screen, "Held notes to look at", [*held, *more])
    gone = [f"{m.kind} {m.number}, cited by {in_a_row(m.cited_by)}" for m in missing.cited_missing]
    _show_listed(screen, "Cited there but not held", gone)
    _show_listed(screen, "Assumed", missing.assumed)
    screen.line(Piece(f"Ask the maker: “{missing.ask}”", "strong"), indent=2, hang=4)


def _show_listed(screen: Screen, title: str, words: Sequence[str]) -> None:
    if words:
        screen.line(f"{title}:", indent=2)
    for one in words:
        screen.line(f"- {one}", indent=4, hang=6)


def _show_found(screen: Screen, found: "FoundAnswer") -> None:
    screen.blank()
    screen.line(Piece("What was found in the unit", "head"))
    for match in found.matches:
        screen.line(f"{match.what} (“{match.source}”)", indent=2, hang=4)
        for words in (*match.differences, *match.remarks):
            screen.line(words, indent=6, hang=8)
    for part in found.parts:
        for words in part.sentences:
            screen.line(words, indent=2, hang=4)
    for words in found.sentences:
        screen.line(Piece(words, "strong"), indent=2, hang=4)


def _show_holds(screen: Screen, shown: KitShown, start: Sequence[str]) -> None:
    screen.blank()
    for hold in shown.holds:
        said = hold.hold.reason == why_words(shown.answer)
        why = "as said above" if said else hold.hold.reason
        screen.line(Piece(f"On hold since {hold.since.isoformat()}: {why}.", "bad"), hang=2)
    screen.line("A note that explains what came ends it, or a person lifts it, with a reason:")
    line = command(*start, "kit", shown.answer.kit, "--lift", "--initials", BLANK, "--reason", BLANK)
    screen.typed(line)
