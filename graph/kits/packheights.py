"""Where the papers tell how thick a pack's plates are: before, and those that came."""

from collections.abc import Iterable, Sequence

from benchleaf.graph.keys import key
from benchleaf.graph.kits.baseline import KINDS, Baseline, where
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.heights import Thickness, Told, in_mm, line_thickness, step_thicknesses, together
from benchleaf.graph.kits.packstep import PackStep
from benchleaf.graph.kits.plates import Plate, plate_kind
from benchleaf.graph.kits.received import Received
from benchleaf.graph.model import Contents, KitLine, Manual, Target
from benchleaf.graph.shelf import Shelf

AS_WRITTEN = "as written with the kit"


class Papers:
    """The words of steps, lists and lines that may give a thickness."""

    def __init__(
        self,
        store: Shelf,
        packs: Sequence[PackStep],
        expected: Expected,
        received: Sequence[Received],
        kits_before: Sequence[str],
    ) -> None:
        self.store, self.packs, self.expected = store, packs, expected
        self.received, self.kits_before = received, kits_before

    def now(self, kind: Plate) -> Told:
        """The plates that came: what is written on them, else what the settled contents list."""
        came = [KitLine(r.part, r.description, r.quantity) for r in self.received]
        written = together(kind, [_of_lines(came, AS_WRITTEN)])
        if written != Told() or self.expected.basis != "contents":
            return written
        return together(kind, [_of_lines(self.expected.lines, str(self.expected.note))])

    def told(self, was: Told, now: Told) -> bool:
        """Whether a step in force gives the thickness of now, or one settled note gives both."""
        if now.one is None:
            return False
        both = was.one is not None and was.one.where == now.one.where and self.listed(now)
        said = [t for p in self.packs for t in step_thicknesses(p.step.text or "", where(p))]
        mine = [t for t in said if t.kind == now.one.kind]
        return both or (bool(mine) and together(now.one.kind, [mine, [now.one]]).one is not None)

    def listed(self, now: Told) -> bool:
        """Whether the settled contents of this kit give this thickness."""
        if now.one is None or self.expected.basis != "contents" or not self.expected.sure:
            return False
        told = [t for t in _of_lines(self.expected.lines, "") if t.kind == now.one.kind]
        return bool(told) and together(now.one.kind, [told, [now.one]]).one is not None

    def before(self, kind: Plate, base: Baseline | None) -> Told:
        """The plates that the step or the kit before has: by the step, the lists, the manual's parts list."""
        tiers = [self._steps(base), _of_lines(self._listed(base), self._who(base))]
        tiers += [self._kits_before(), self._parts()]
        return together(kind, tiers)

    def _steps(self, base: Baseline | None) -> list[Thickness]:
        """The step compared with; else the steps as the manual prints them, since a note in force may already
        speak of the new plates."""
        if base is not None and base.pack is not None:
            return list(step_thicknesses(base.pack.step.text or "", where(base.pack)))
        found: list[Thickness] = []
        for pack in self.packs:
            step = pack.step
            target = Target(step.publication, step.page, step.item)
            texts = [i.text for i in self.store.item(target)] if step.item else []
            found += [t for text in texts for t in step_thicknesses(text, where(pack))]
        return found

    def _listed(self, base: Baseline | None) -> tuple[KitLine, ...]:
        listed_before = self.expected.basis == "predecessor"
        differs = base is not None and base.pack is None and not base.accounted
        return self.expected.lines if listed_before or differs else self.expected.before

    def _who(self, base: Baseline | None) -> str:
        before = self._listed(base) is self.expected.before
        return str(self.expected.before_from if before else self.expected.note)

    def _kits_before(self) -> list[Thickness]:
        told: list[Contents] = []
        for kit in self.kits_before:
            told += [*self.store.contents(kit), *self.store.manual_contents(kit)]
        return [t for c in told if c.standing == "settled" for t in _of_lines(c.lines, c.note)]

    def _parts(self) -> list[Thickness]:
        books = {key(p.step.publication): p.step.publication for p in self.packs}
        manuals = [m for number in books.values() for m in self.store.publications_like(number)]
        return [t for m in manuals for line in m.parts for t in line_thickness(line, _list(m))]


def _list(manual: Manual) -> str:
    return f"the parts list of {manual.number}"


def _of_lines(lines: Iterable[KitLine], who: str) -> list[Thickness]:
    """How thick the plates of some kit lines are, by kind: on average where they are mixed, and nothing where
    a line of the kind does not say."""
    held = tuple(lines)
    return [
        t for kind in KINDS for t in _of_kind([x for x in held if plate_kind(x.description) == kind], who)
    ]


def _of_kind(lines: Sequence[KitLine], who: str) -> list[Thickness]:
    told = [(x.quantity, t) for x in lines for t in line_thickness(x, who)]
    if len(told) < len(lines) or not told:
        return []
    if len({round(t.mm, 3) for _, t in told}) == 1:
        return [told[0][1]]
    counted = [(q, t) for q, t in told if q]
    if len(counted) < len(told):
        return [t for _, t in told]
    return [_mixed(counted, who)]


def _mixed(told: Sequence[tuple[int, Thickness]], who: str) -> Thickness:
    """Plates of several thicknesses as so many of their mean: the height of the heap is the same."""
    count = sum(q for q, _ in told)
    each = " and ".join(f"{q} of {in_mm(t.mm)}" for q, t in told)
    mean, tolerance = (sum(q * v for q, v in values) / count for values in _values(told))
    return Thickness(told[0][1].kind, mean, tolerance, f"on average, {who}: {each}")


def _values(told: Sequence[tuple[int, Thickness]]) -> tuple[list[tuple[int, float]], list[tuple[int, float]]]:
    return [(q, t.mm) for q, t in told], [(q, t.tolerance) for q, t in told]
