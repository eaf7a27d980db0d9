"""One kit at the parts counter: what should be in it, what came, and what follows."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace

from benchleaf.graph import supersession
from benchleaf.graph.applicability import Unit
from benchleaf.graph.binding import Family, plate_counts
from benchleaf.graph.cancelled import cancelled_notes
from benchleaf.graph.keys import key
from benchleaf.graph.kits.consumption import Consumption, concerned_steps, consumption
from benchleaf.graph.kits.expected import expected_contents
from benchleaf.graph.kits.matching import Pair, pair_up
from benchleaf.graph.kits.missingnote import missing_note
from benchleaf.graph.kits.named import named
from benchleaf.graph.kits.otherkits import other_kits
from benchleaf.graph.kits.packcheck import check_pack
from benchleaf.graph.kits.packstep import Links, lines_of
from benchleaf.graph.kits.packtold import told_against
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.received import Received, as_lines
from benchleaf.graph.kits.steps import KitStep, kit_steps
from benchleaf.graph.kits.succession import exchanges, linked_by
from benchleaf.graph.kits.verdict import Verdict, judge_lines
from benchleaf.graph.kits.words import (
    cancelled_words,
    doubts,
    later_kit,
    look_alike,
    newer_doubts,
    other_units,
    whose_word,
)
from benchleaf.graph.model import KitLine, Supersession
from benchleaf.graph.overrides import Case
from benchleaf.graph.shelf import Shelf


class Desk:
    """A kit's number, the unit, and what came, worked through."""

    def __init__(
        self, store: Shelf, kit: str, unit: Unit, on: dt.date | None, got: Sequence[Received]
    ) -> None:
        self.store, self.kit, self.unit, self.on = store, kit, unit, on
        self.got = got = named(store, got)
        self.family = Family(store, [kit])
        self.expected = expected_contents(store, kit, self.family, on, unit.model)
        links = Links(store, kit, self.family, Case(unit, on=on), self.expected)
        self.packs = links.find()
        self._from_step()
        self.told, self.gone = self._supersessions()
        linked = linked_by(self.told)
        self.pairs = pair_up(self.expected.lines, got, linked, exchanges(self.told))
        self.lines = judge_lines(self.pairs, self.expected, self.told)
        counts = counts_in_hand(self.pairs)
        self.pack = check_pack(counts, self.packs)
        self.newer = newer_doubts(self.expected, got)
        self.verdict = self._verdict()
        args = (store, kit, self.family, unit, counts, self.packs, self.expected, got, on)
        self.missing = missing_note(*args)
        self.concerned = concerned_steps(store, kit, self.packs, Case(unit, on=on))
        self.consumption = self._consumption()

    @property
    def hold(self) -> bool:
        """The kit must wait: a difference that nothing explains, or a pack that does not go together."""
        return (
            self.verdict == "unexplained"
            or self.pack.hold
            or (self.missing is not None and self.missing.hold)
        )

    def steps(self) -> tuple[KitStep, ...]:
        """The steps that the kit concerns."""
        return kit_steps(self.store, self.kit, self.packs)

    def reasons(self) -> tuple[str, ...]:
        """Everything to say, in sentences."""
        e = self.expected
        said = [*e.reasons]
        if e.basis == "nothing":
            said.append(f"nothing settled says what kit {self.kit} contains")
        said += [*doubts(e), *whose_word(self.store, e, self.on), *self.lines.unexplained, *self.newer]
        said += look_alike(e, self.got) if self.lines.unexplained else []
        said += cancelled_words(self.pairs, self.gone, e, self.on, self.store)
        said += other_kits(self.store, self.kit, self.pairs, self.got, self.on) if self.got else []
        said += [*self.lines.remarks, *e.remarks, *self.pack.reasons, *self.consumption.reasons]
        said += [words for p in self.packs for words in told_against(p.step, self.concerned)]
        said += [*other_units(self.store, e, self.unit), *later_kit(self.store, self.kit, self.on)]
        return tuple(dict.fromkeys(said))

    def _from_step(self) -> None:
        """Nothing settled on contents: the linked pack step's own counts are what is expected."""
        counted = [p for p in self.packs if p.words.counted and p.link != "counts"]
        if self.expected.basis != "nothing" or len({(p.words.friction, p.words.steel) for p in counted}) != 1:
            return
        step = counted[0].step
        where = f"step {step.label} on page {step.page} of {step.publication}"
        said = f"no settled word on the contents of {self.kit}; compared with {where}"
        lines = lines_of(counted[0].words)
        self.expected = replace(self.expected, basis="step", lines=lines, reasons=(said,))

    def _supersessions(self) -> tuple[tuple[Supersession, ...], tuple[Supersession, ...]]:
        """The settled statements about the numbers listed and received: those in force, those of cancelled
        notes."""
        lines = (*self.expected.lines, *as_lines(self.got))
        numbers = sorted({key(line.part) for line in lines if line.part})
        told = supersession.settled(self.store.supersessions(numbers), self.on) if numbers else ()
        gone = cancelled_notes(self.store, self.on, {s.note for s in told}) if told else {}
        live = tuple(s for s in told if key(s.note) not in gone)
        return live, tuple(s for s in told if key(s.note) in gone)

    def _verdict(self) -> Verdict:
        e = self.expected
        only_doubt = e.basis != "contents" and bool(e.doubtful)
        if self.lines.unexplained or self.newer or not e.sure or e.basis == "nothing" or only_doubt:
            return "unexplained"
        return "explained" if self.lines.changed or self._unlike_manual() else "as-listed"

    def _unlike_manual(self) -> bool:
        """The manual's printed step counts otherwise than the kit, and a note accounts for it."""
        counts = plate_counts(self.expected.lines)
        printed = [p.printed for p in self.packs if p.printed is not None and p.printed.counted]
        return any((w.friction, w.steel) != counts for w in printed)

    def _consumption(self) -> Consumption:
        return consumption(self.concerned, self.expected.lines, linked_by(self.told), self.expected.before)


def counts_in_hand(pairs: Iterable[Pair]) -> tuple[int | None, int | None]:
    """Friction and steel plates in hand; where nothing of a kind was counted, as listed."""
    pairs = tuple(pairs)
    counted = [(p, p.received) for p in pairs if p.received is not None and p.received.quantity is not None]
    lines = [
        KitLine(None, p.expected.description if p.expected else r.description, r.quantity) for p, r in counted
    ]
    kinds = {plate_kind(line.description) for line in lines}
    waiting = [
        p.expected for p in pairs if p.expected and (p.received is None or p.received.quantity is None)
    ]
    return plate_counts([*lines, *(w for w in waiting if plate_kind(w.description) not in kinds)])
