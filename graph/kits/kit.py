"""An arrived kit against what the notes and the manual say: verdict, pack order, hold."""

import datetime as dt
import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph import supersession
from benchleaf.graph.applicability import Unit, covers, words
from benchleaf.graph.binding import Family, bindings, plate_counts
from benchleaf.graph.cancelled import cancelled_notes
from benchleaf.graph.keys import key
from benchleaf.graph.kits.expected import expected_contents
from benchleaf.graph.kits.matching import Linked, Pair, pair_up
from benchleaf.graph.kits.packcheck import PackAnswer, PackVerdict, check_pack
from benchleaf.graph.kits.packstep import Links, PackStep, lines_of
from benchleaf.graph.kits.received import Received, parse_got
from benchleaf.graph.kits.verdict import KitLineAnswer, LinesVerdict, Verdict, judge_lines
from benchleaf.graph.model import KitLine, Supersession
from benchleaf.graph.overrides import Case
from benchleaf.graph.shelf import Shelf

__all__ = ["KitAnswer", "KitStep", "Received", "kit_answer", "parse_got"]


@dataclass(frozen=True, slots=True)
class KitStep:
    """A step that the kit concerns, and the note that ties it to the kit (None: the manual itself does)."""

    publication: str
    page: str
    item: str
    note: str | None


@dataclass(frozen=True, slots=True)
class KitAnswer:
    """`verdict` as in the interface; with `hold` the kit must not be built in before the `reasons` are
    answered.

    `kit` is the number as written in the sources, else as asked; `near` are likely numbers when it is
    unknown.
    """

    kit: str
    verdict: Verdict
    hold: bool
    lines: tuple[KitLineAnswer, ...]
    pack: PackAnswer | None
    steps: tuple[KitStep, ...]
    reasons: tuple[str, ...]
    near: tuple[str, ...] = ()


def kit_answer(
    store: Shelf,
    kit: str,
    got: Sequence[Received],
    model: str | None = None,
    serial: str | None = None,
    on: dt.date | None = None,
) -> KitAnswer:
    """Compare what came with the newest settled word on the kit, and its plates with the step in force."""
    printed = store.printed(key(kit))
    if printed is None and not store.contents(kit):
        return _unknown(store, kit)
    return _Desk(store, printed or kit, Unit(model, serial), on).answer(got)


def _unknown(store: Shelf, kit: str) -> KitAnswer:
    near = store.near_parts(kit)
    hint = f"; near: {', '.join(near)}" if near else ""
    return KitAnswer(kit, "not-known", True, (), None, (), (f"no paper held names kit {kit}{hint}",), near)


class _Desk:
    """One kit at the parts counter."""

    def __init__(self, store: Shelf, kit: str, unit: Unit, on: dt.date | None) -> None:
        self.store, self.kit, self.unit, self.on = store, kit, unit, on
        self.family = Family(store, [kit])
        self.expected = expected_contents(store, kit, self.family, on)
        self.links = Links(store, kit, self.family, Case(unit, on=on), self.expected)

    def answer(self, got: Sequence[Received]) -> KitAnswer:
        """The whole answer for what came."""
        packs = self.links.find()
        self._from_step(packs)
        pairs = pair_up(self.expected.lines, got, self._linked())
        lines = judge_lines(pairs, self.expected)
        pack = check_pack(_counts(pairs), packs)
        verdict = self._verdict(lines, packs)
        return KitAnswer(
            kit=self.kit,
            verdict=verdict,
            hold=verdict == "unexplained" or pack.hold,
            lines=lines.lines,
            pack=pack.answer,
            steps=self._steps(packs),
            reasons=self._reasons(lines, pack, got),
        )

    def _from_step(self, packs: Sequence[PackStep]) -> None:
        """Nothing settled on contents: the linked pack step's own counts are what is expected."""
        counted = [p for p in packs if p.words.counted and p.link != "counts"]
        if (
            self.expected.basis == "nothing"
            and len({(p.words.friction, p.words.steel) for p in counted}) == 1
        ):
            step = counted[0].step
            where = f"step {step.label} on page {step.page} of {step.publication}"
            said = f"no settled word on the contents of {self.kit}; compared with {where}"
            self.expected = replace(
                self.expected,
                basis="step",
                lines=lines_of(counted[0].words),
                reasons=(said,),
            )

    def _verdict(self, lines: LinesVerdict, packs: Sequence[PackStep]) -> Verdict:
        if (
            lines.unexplained
            or not self.expected.sure
            or self.expected.basis == "nothing"
            or self._only_doubt()
        ):
            return "unexplained"
        return "explained" if lines.changed or self._unlike_manual(packs) else "as-listed"

    def _only_doubt(self) -> bool:
        return self.expected.basis != "contents" and bool(self.expected.doubtful)

    def _unlike_manual(self, packs: Iterable[PackStep]) -> bool:
        """The manual's printed step counts otherwise than the kit, and a note accounts for it."""
        counts = plate_counts(self.expected.lines)
        printed = [p.printed for p in packs if p.printed is not None and p.printed.counted]
        return any((w.friction, w.steel) != counts for w in printed)

    def _linked(self) -> Linked:
        numbers = {key(line.part) for line in self.expected.lines if line.part}
        told = supersession.settled(self.store.supersessions(sorted(numbers)), self.on) if numbers else ()
        return lambda listed, came: _chain(told, listed, came)

    def _steps(self, packs: Sequence[PackStep]) -> tuple[KitStep, ...]:
        overrides = self.links.overrides(self.kit)
        bound = bindings(self.store, overrides)
        steps = [
            KitStep(o.target.publication or "", o.target.page or "", o.target.item or "", o.note)
            for o in overrides
            if o in bound
        ]
        steps += [
            KitStep(m.publication, m.page, m.item, None)
            for m in self.store.mentions(self.kit)
            if m.page and m.item
        ]
        known = {(key(s.publication), key(s.page), key(s.item)) for s in steps}
        for p in packs:
            if (key(p.step.publication), key(p.step.page), key(p.step.label)) not in known:
                note = None if p.step.origin == "manual" else p.step.origin
                steps.append(KitStep(p.step.publication, p.step.page, p.step.label, note))
        return tuple(dict.fromkeys(steps))

    def _reasons(self, lines: LinesVerdict, pack: PackVerdict, got: Sequence[Received]) -> tuple[str, ...]:
        said = [*self.expected.reasons]
        if self.expected.basis == "nothing":
            said.append(f"nothing settled says what kit {self.kit} contains")
        said += self._doubts() + self._word()
        said += [*lines.unexplained, *self._look_alike(lines, got), *lines.remarks, *pack.reasons]
        said += self._units() + self._later()
        return tuple(dict.fromkeys(said))

    def _doubts(self) -> list[str]:
        return [
            f"{c.note} lists the kit in a doubtful reading ({c.id}: {'; '.join(c.why) or 'not settled'}):"
            " settle it first"
            for c in self.expected.doubtful
        ]

    def _word(self) -> list[str]:
        """Whose word the expected lines are; a cancelled note still tells what is in the box."""
        e = self.expected
        if e.note is None:
            return []
        before = _told(e.before)
        changed = f" (before: {before})" if before and e.basis == "contents" else ""
        said = [f"{e.note} lists: {_told(e.lines)}{changed}"]
        gone = cancelled_notes(self.store, self.on).get(key(e.note))
        if gone:
            said.append(
                f"{e.note} was cancelled by {gone.by}, but its word on what is in the box is the newest held"
            )
        return said

    def _look_alike(self, lines: LinesVerdict, got: Sequence[Received]) -> list[str]:
        """What came may be just what another word lists: the earlier kit, or a doubtful reading."""
        came = plate_counts(KitLine(r.part, r.description, r.quantity) for r in got)
        if not lines.unexplained or None in came or came == plate_counts(self.expected.lines):
            return []
        said = []
        if self.expected.before and came == plate_counts(self.expected.before):
            said.append("the plates that came are those of before: old stock, or the older kit in this box?")
        said += [
            f"the plates that came are those of the doubtful reading {c.id} ({c.note})"
            for c in self.expected.doubtful
            if came == plate_counts(c.lines)
        ]
        return said

    def _units(self) -> list[str]:
        note = self.store.note(self.expected.note) if self.expected.note else None
        if note is None or (self.unit.model is None and self.unit.serial is None):
            return []
        if covers(note.applies, self.unit).answer != "no":
            return []
        return [f"{note.number} is headed for {words(note.applies)}, not for this unit: is it the right kit?"]

    def _later(self) -> list[str]:
        found = supersession.current(self.kit, self.store.supersessions([key(self.kit)]), self.on)
        if [key(n) for n in found.numbers] == [key(self.kit)]:
            return []
        notes = ", ".join(dict.fromkeys(s.note for s in found.path))
        return [f"kit {self.kit} has been replaced by {' and '.join(found.numbers)} ({notes})"]


def _counts(pairs: Iterable[Pair]) -> tuple[int | None, int | None]:
    """Plates in hand; where a kind was not counted, as listed."""
    lines = []
    for pair in pairs:
        counted = pair.received is not None and pair.received.quantity is not None
        if counted and pair.received is not None:
            name = pair.expected.description if pair.expected else pair.received.description
            lines.append(KitLine(None, name, pair.received.quantity))
        elif pair.expected is not None:
            lines.append(pair.expected)
    return plate_counts(lines)


def _told(lines: Iterable[KitLine]) -> str:
    return ", ".join(f"{'as required' if x.quantity is None else x.quantity} {x.description}" for x in lines)


def _chain(told: Sequence[Supersession], listed: str, came: str) -> tuple[str, ...] | None:
    """The notes by which the number that came stands for the one listed; old stock counts where both ways
    fit."""
    newer = _path(told, listed, came)
    if newer is not None:
        return newer
    back = [s for s in told if s.interchange == "both ways"]
    return _path(back, came, listed)


def _path(told: Sequence[Supersession], old: str, new: str) -> tuple[str, ...] | None:
    import networkx as nx

    graph = supersession.graph_of(told)
    if key(old) not in graph or key(new) not in graph or not nx.has_path(graph, key(old), key(new)):
        return None
    way = nx.shortest_path(graph, key(old), key(new))
    steps = [next(iter(graph[a][b].values()))["statement"] for a, b in itertools.pairwise(way)]
    return tuple(dict.fromkeys(s.note for s in steps))
