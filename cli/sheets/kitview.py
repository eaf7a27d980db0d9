"""An arrived kit as a sheet and on the desk: verdict, lines, pack, the missing note, holds, steps."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from benchleaf.cli.say import dated, listed
from benchleaf.cli.sheets.wording import KIT_VERDICTS, kit_hold_words
from benchleaf.cli.show_kit import KitShown, in_order, why_words

if TYPE_CHECKING:
    from benchleaf.graph.kits.kit import KitAnswer
    from benchleaf.graph.kits.missingnote import MissingNote
    from benchleaf.graph.kits.packcheck import PackAnswer
    from benchleaf.graph.kits.verdict import KitLineAnswer

Mood = Literal["hold", "good", "open"]


@dataclass(frozen=True, slots=True)
class LineRow:
    """A line of the kit as the table shows it."""

    line: "KitLineAnswer"
    expected: str
    came: str
    difference: str
    because: str


@dataclass(frozen=True, slots=True)
class PackWords:
    """What the plates can do, what the step asks for, and whether that fits (None: not said)."""

    can: str
    asked: str
    fits: bool | None


@dataclass(frozen=True, slots=True)
class Listed:
    """A heading with the sentences under it."""

    title: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MissingBlock:
    """The note that seems to be missing: its heading, the figures, lists, and the words to ask with."""

    title: str
    arithmetic: tuple[str, ...]
    lists: tuple[Listed, ...]
    ask: str
    hold: bool


@dataclass(frozen=True, slots=True)
class HoldWords:
    """A hold in effect: since when, and why."""

    since: str
    why: str


@dataclass(frozen=True, slots=True)
class KitView:
    """Everything that is shown of an arrived kit. `mood` says how the verdict is set, `unit` what it came
    for."""

    shown: KitShown
    mood: Mood
    headline: str
    reasons: tuple[str, ...]
    lines: tuple[LineRow, ...]
    pack: PackWords | None
    missing: MissingBlock | None
    holds: tuple[HoldWords, ...]
    unit: str = ""

    @property
    def answer(self) -> "KitAnswer":
        """The answer that is shown."""
        return self.shown.answer

    @property
    def considered(self) -> tuple[str, ...]:
        """The notes that the verdict rests on or that are named to look at."""
        answer = self.answer
        told = [n for line in answer.lines for n in line.because]
        told += [s.note for s in answer.steps if s.note]
        told += [h.number for h in answer.missing.held] if answer.missing else []
        return tuple(dict.fromkeys(told))


def kit_view(shown: KitShown, model: str | None = None, serial: str | None = None) -> KitView:
    """The answer in the words of the command line; the unit is the one that the kit came for."""
    answer = shown.answer
    mood, headline = _headline(answer, shown.counted)
    listed_somewhere = any(line.source for line in answer.lines)
    holds = (
        HoldWords(
            h.since.isoformat(),
            "as said above" if h.hold.reason == why_words(answer) and shown.counted else h.hold.reason,
        )
        for h in shown.holds
    )
    return KitView(
        shown=shown,
        mood=mood,
        headline=headline,
        reasons=tuple(in_order(answer)),
        lines=tuple(map(_row, answer.lines)),
        pack=None if answer.pack is None else _pack(answer.pack, shown.counted),
        missing=None if answer.missing is None else _missing(answer.missing, listed_somewhere),
        holds=tuple(holds),
        unit=", ".join(w for w in (f"model {model}" * bool(model), f"serial {serial}" * bool(serial)) if w),
    )


def _headline(answer: "KitAnswer", counted: bool) -> tuple[Mood, str]:
    if not counted and answer.verdict != "not-known":
        return "open", f"Kit {answer.kit}: NOT COUNTED. Say what came."
    if answer.hold:
        return "hold", f"HOLD — kit {answer.kit}: {kit_hold_words(answer)}"
    return "good", f"Kit {answer.kit}: {KIT_VERDICTS[answer.verdict]}"


def _row(line: "KitLineAnswer") -> LineRow:
    return LineRow(
        line,
        "as req." if line.expected is None else str(line.expected),
        "" if line.received is None else str(line.received),
        "" if line.difference is None else f"{line.difference:+d}" if line.difference else "0",
        listed(line.because),
    )


def _pack(pack: "PackAnswer", counted: bool) -> PackWords:
    ways = [f"{o.first} first and {o.last} last" for o in pack.orders]
    allowed = f"can stack {listed(ways, 'or')}" if ways else "cannot alternate"
    whose = "" if counted else "as listed, "
    can = f"{whose}{pack.friction} friction and {pack.steel} steel plates {allowed}."
    order = pack.procedure_order
    if order is None:
        return PackWords(can, "", pack.fits)
    ends = [f"{order.first} first" if order.first else "", f"{order.last} last" if order.last else ""]
    asked = " and ".join(end for end in ends if end)
    step = f"step {order.item} on page {order.page} of {order.publication}"
    return PackWords(can, f"The step in force asks for {asked} ({step}).", pack.fits)


def _missing(missing: "MissingNote", listed_somewhere: bool) -> MissingBlock:
    open_title = (
        "If the count is right, a note is missing" if listed_somewhere else "A note seems to be missing"
    )
    held = [f"{dated(h.number, h.date)}, {h.standing}: {'; '.join(h.reasons)}" for h in missing.held]
    more = [f"and {missing.more_held} more"] if missing.more_held else []
    gone = [f"{m.kind} {m.number}, cited by {listed(m.cited_by)}" for m in missing.cited_missing]
    lists: Sequence[tuple[str, Sequence[str]]] = (
        ("First", missing.first_look),
        ("It would be explained by", missing.would_explain),
        ("Held notes to look at", [*held, *more]),
        ("Cited there but not held", gone),
        ("Assumed", missing.assumed),
    )
    return MissingBlock(
        open_title if missing.hold else "Worth a look",
        missing.arithmetic,
        tuple(Listed(title, tuple(words)) for title, words in lists if words),
        missing.ask,
        missing.hold,
    )
