"""What was found at teardown, compared with every configuration that the papers know.

What was found is evidence, never authority: somebody may have been inside before. It changes no step and no
verdict; it only helps to tell which papers the unit was last built to.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph import supersession
from benchleaf.graph.binding import plate_counts
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.keys import key
from benchleaf.graph.kits.configurations import Configuration, configurations, family_of
from benchleaf.graph.kits.foundparts import FoundPart, found_part, mixtures
from benchleaf.graph.kits.matching import Linked, Pair, pair_up
from benchleaf.graph.kits.pack import admits
from benchleaf.graph.kits.packwords import PackWords
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.received import Received
from benchleaf.graph.kits.succession import linked_by
from benchleaf.graph.model import Contents, KitLine
from benchleaf.graph.shelf import Shelf

EVIDENCE = (
    "What was found inside is evidence, never authority: somebody may have been there before. It changes no"
    " step and no verdict."
)
NOTHING = (
    "What was found matches nothing that the papers held know: somebody may have been inside, or a note is"
    " missing."
)

Counts = tuple[int | None, int | None]


@dataclass(frozen=True, slots=True)
class Match:
    """A configuration with the plates (without plates: the parts) that were found.

    `what` names it, `source` are its own words; `note` is None where the manual itself says so, `date` is
    that of the note or publication. It is `exact` where everything that was found agrees and no plates are
    left uncounted; else `differences` say what does not. `remarks` are cautions about the source and what was
    not counted. `mixed`: parts of before and after one note were found together.
    """

    what: str
    source: str
    note: str | None
    publication: str | None
    page: str | None
    item: str | None
    date: dt.date | None
    exact: bool
    differences: tuple[str, ...]
    remarks: tuple[str, ...] = ()
    mixed: bool = False


@dataclass(frozen=True, slots=True)
class FoundAnswer:
    """The configurations that match, exact ones first, then by date, the oldest first; the numbers found; and
    sentences, the last of which says what such evidence is worth. `kit` is as written in the sources, if
    known."""

    kit: str | None
    model: str | None
    matches: tuple[Match, ...]
    parts: tuple[FoundPart, ...]
    sentences: tuple[str, ...]


def found_answer(
    store: Shelf,
    kit: str | None,
    model: str | None,
    found: Sequence[Received],
    on: dt.date | None = None,
) -> FoundAnswer:
    """Compare what was found with what the papers up to `on` know of a kit and its family, or of a model.

    Raises `WrongUse` if nothing was found.
    """
    if not found:
        raise WrongUse("nothing is said to have been found", "Count it: 10 friction disc, 11 steel disc.")
    printed = None if kit is None else store.printed(key(kit)) or (kit if store.contents(kit) else None)
    return _Teardown(store, printed, model, found, on).answer(unknown=kit if printed is None else None)


class _Teardown:
    """One unit taken apart."""

    def __init__(
        self, store: Shelf, kit: str | None, model: str | None, found: Sequence[Received], on: dt.date | None
    ) -> None:
        self.store, self.kit, self.model, self.found, self.on = store, kit, model, tuple(found), on
        self.counts = plate_counts(KitLine(r.part, r.description, r.quantity) for r in found)
        self.known = configurations(store, kit, model, on)
        numbers = {key(r.part) for r in found if r.part}
        numbers |= {key(line.part) for c in self.known for line in c.lines if line.part}
        self.told = supersession.settled(store.supersessions(sorted(numbers)) if numbers else (), on)
        self.linked: Linked = linked_by(self.told)

    def answer(self, unknown: str | None) -> FoundAnswer:
        """The whole answer; `unknown` is a kit number that no paper names."""
        mixed = mixtures(self.found, self.told, self._contents())
        matches = [m for c in self.known if (m := self._match(c, mixed=bool(mixed)))]
        matches.sort(key=lambda m: (not m.exact, m.date or dt.date.max, m.what))
        parts = tuple(found_part(self.store, n, self.on) for n in self._numbers())
        said = [] if unknown is None else [self._unknown(unknown)]
        said += self._without(matches) + list(mixed)
        said += [sentence for part in parts for sentence in part.sentences]
        sentences = tuple(dict.fromkeys((*said, EVIDENCE)))
        return FoundAnswer(self.kit, self.model, tuple(matches), parts, sentences)

    def _numbers(self) -> list[str]:
        printed = {key(r.part): r.part for r in self.found if r.part and r.quantity != 0}
        return list(printed.values())

    def _contents(self) -> list[Contents]:
        kits = family_of(self.store, self.kit) if self.kit else ()
        return [
            c for k in kits for c in self.store.contents(k) if c.standing == "settled" and self._by(c.date)
        ]

    def _by(self, date: dt.date | None) -> bool:
        return self.on is None or date is None or date <= self.on

    def _unknown(self, kit: str) -> str:
        near = self.store.near_parts(kit)
        hint = f"; near: {', '.join(near)}" if near else ""
        what = f"model {self.model}" if self.model else "everything held"
        return f"no paper held names kit {kit}{hint}: compared with {what} instead"

    def _without(self, matches: Sequence[Match]) -> list[str]:
        """What to say where nothing matches, or nothing exactly."""
        if any(m.exact for m in matches):
            return []
        if not self.known:
            return ["No paper held tells a pack or a kit to compare with."]
        if matches:
            return ["Nothing that the papers know matches wholly: see what differs."]
        nearest = min(self.known, key=lambda c: (_far(self.counts, _counts_of(c)), str(c.date)))
        return [NOTHING, *_nearest(nearest, self.counts)]

    def _match(self, c: Configuration, *, mixed: bool) -> Match | None:
        judged = self._by_pack(c.pack) if c.pack is not None else self._by_lines(c.lines)
        if judged is None:
            return None
        differences, uncounted = judged
        return Match(
            what=f"matches {c.what}",
            source=c.words,
            note=c.note,
            publication=c.publication,
            page=c.page,
            item=c.item,
            date=c.date,
            exact=not differences and not any(u.startswith(_PLATES) for u in uncounted),
            differences=tuple(differences),
            remarks=(*c.remarks, *uncounted),
            mixed=mixed,
        )

    def _by_pack(self, pack: PackWords) -> tuple[list[str], list[str]] | None:
        """Against a step: it speaks of plates only."""
        friction, steel = self.counts
        if not pack.counted:
            if friction is None or steel is None or not admits(pack, friction, steel):
                return None
            return ["the step tells an order and no counts; so many plates can be stacked so"], []
        if not _agree(self.counts, (pack.friction, pack.steel)):
            return None
        return [], _uncounted(self.counts, (pack.friction, pack.steel))

    def _by_lines(self, lines: Sequence[KitLine]) -> tuple[list[str], list[str]] | None:
        """Against a list: plates first; without any plates, every line that was found must be there."""
        listed = plate_counts(lines)
        pairs = pair_up(lines, self.found, self.linked)
        differences = [w for p in pairs for w in _differences(p)]
        uncounted = [*_uncounted(self.counts, listed), *(w for p in pairs if (w := _not_counted(p)))]
        if self.counts != (None, None):
            return (differences, uncounted) if _agree(self.counts, listed) else None
        both = any(p.expected and p.received for p in pairs)
        return (differences, uncounted) if both and not differences else None


_PLATES = "plates not counted"


def _agree(found: Counts, told: Counts) -> bool:
    """Every kind of plate that was counted is there in that number, and one at least was counted."""
    counted = [(f, t) for f, t in zip(found, told, strict=True) if f is not None]
    return bool(counted) and all(f == t for f, t in counted)


def _uncounted(found: Counts, told: Counts) -> list[str]:
    kinds = zip(("friction", "steel"), found, told, strict=True)
    return [f"{_PLATES}: {t} {kind}" for kind, f, t in kinds if f is None and t is not None]


def _differences(pair: Pair) -> list[str]:
    want, came = pair.expected, pair.received
    if came is None or came.quantity is None:
        return []
    name = " ".join(w for w in (came.part, came.description) if w)
    if want is None:
        return [f"not listed: {came.quantity} {name}"] if came.quantity else []
    said = []
    if want.quantity is not None and want.quantity != came.quantity:
        said.append(f"{want.description}: {want.quantity} listed, {came.quantity} found")
    if want.part and came.part and key(want.part) != key(came.part):
        why = f"linked by {' and '.join(pair.because)}" if pair.because else "no note held links the two"
        said.append(f"{came.part} was found where {want.part} is listed ({why})")
    return said


def _not_counted(pair: Pair) -> str:
    want, came = pair.expected, pair.received
    if want is None or (came is not None and came.quantity is not None) or plate_kind(want.description):
        return ""
    count = "as required" if want.quantity is None else str(want.quantity)
    return f"not counted: {count} {want.description}"


def _counts_of(c: Configuration) -> Counts:
    return plate_counts(c.lines) if c.pack is None else (c.pack.friction, c.pack.steel)


def _far(found: Counts, told: Counts) -> int:
    """How many plates lie between two packs; kinds that only one of them counts weigh most."""
    return sum(
        abs(f - t) if f is not None and t is not None else 1000 * (f is not t)
        for f, t in zip(found, told, strict=True)
    )


def _nearest(c: Configuration, found: Counts) -> list[str]:
    told = _counts_of(c)
    kinds = zip(("friction", "steel"), found, told, strict=True)
    unlike = [f"{f} {k} found, {t} told" for k, f, t in kinds if f is not None and t is not None and f != t]
    return [f"Nearest: {c.what}; {', '.join(unlike)}."] if unlike else []
