"""Steps bound to a kit: a note that brings a kit and a step in one breath means the step for that kit.

With an older kit from the shelf the old step holds; with the note's kit, or what replaced it later, the new
one. An override is bound only if it plausibly concerns the kit, that is, if its words or the step it
changes speak of stacking plates, name the kit or a part of it, or name something that the kit contains;
another correction in the same note (a torque of the pump, say) is not bound and holds with any kit. A rule
of ours, common practice.
"""

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents, KitLine, Override, Statement, Supersession
from benchleaf.graph.shelf import Shelf
from benchleaf.graph.walk import distances, links

Kinship = Literal["same", "newer", "older", "both", "none"]

_KIT_WORD = re.compile(r"\b(?:kits?|sets?|packs?|packages?)\b", re.IGNORECASE)
_PACK_WORD = re.compile(
    r"\b(?:packs?|stacks?)\b(?! (?:hub|housing|drum|carrier|body|case|cover|retainer)s?\b)", re.IGNORECASE
)
_PLATE_WORDS = re.compile(r"[^\s.;:]{1,30}\s(?:dis[ck]s?|plates?|lamell?as?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Binding:
    """An override holds only with these kits or what replaced them. `stated`: the note itself says so."""

    kits: tuple[str, ...]
    stated: bool


@dataclass(frozen=True, slots=True)
class Brought:
    """A kit that a note brings, with the contents the note gives for it (empty if none)."""

    kit: str
    lines: tuple[KitLine, ...]


def bindings(store: Shelf, overrides: Iterable[Override]) -> dict[Override, Binding]:
    """The bound ones among these overrides."""
    found: dict[Override, Binding] = {}
    kits: dict[str, tuple[Brought, ...]] = {}
    for o in overrides:
        if o.applies.kits:
            found[o] = Binding(o.applies.kits, stated=True)
            continue
        if key(o.note) not in kits:
            kits[key(o.note)] = brought(store, o.note)
        concerned = _concerned(o, kits[key(o.note)], store)
        if concerned:
            found[o] = Binding(tuple(b.kit for b in concerned), stated=False)
    return found


def brought(store: Shelf, note: str) -> tuple[Brought, ...]:
    """The kits that a note brings: those whose contents it gives, and those it puts in another kit's
    place."""
    said = [s for s in store.statements(note=note) if s.standing != "refused"]
    kits = {key(c.kit): Brought(c.kit, c.lines) for c in said if isinstance(c, Contents)}
    for s in said:
        if isinstance(s, Supersession) and _is_kit(store, s, said):
            for number in s.new:
                kits.setdefault(key(number), Brought(number, ()))
    return tuple(kits.values())


def _is_kit(store: Shelf, s: Supersession, said: Sequence[Statement]) -> bool:
    if _KIT_WORD.search(s.quote):
        return True
    return any(store.contents(number) for number in (*s.old, *s.new))


def _concerned(o: Override, kits: Sequence[Brought], store: Shelf) -> tuple[Brought, ...]:
    if not kits:
        return ()
    steps = store.item(o.target)
    said = " ".join(w for w in (o.text, o.was, o.now, *(i.text for i in steps)) if w)
    new = " ".join(w for w in (o.text, o.now) if w)
    concerned = tuple(b for b in kits if concerns(said, b))
    counted = tuple(b for b in concerned if _same_counts(new, b.lines))
    return counted or concerned


def concerns(said: str, kit: Brought) -> bool:
    """Whether a step's words speak of a kit, of what it contains, or of stacking plates."""
    # most pages are answered without a kit: the words for packs are compiled where one is brought
    from benchleaf.graph.kits.packwords import read_pack
    from benchleaf.graph.kits.partnames import name_words
    from benchleaf.graph.mentions import runs

    named = {run.key for run in runs(said)}
    if named & {key(kit.kit), *(key(line.part) for line in kit.lines if line.part)}:
        return True
    if _PACK_WORD.search(said) or _names_plates(said) or read_pack(said) is not None:
        return True
    tokens = set(name_words(said))
    return any(tokens >= set(name_words(line.description)) for line in kit.lines if line.description.strip())


def _names_plates(said: str) -> bool:
    from benchleaf.graph.kits.plates import plate_kind

    return any(plate_kind(m[0]) is not None for m in _PLATE_WORDS.finditer(said))


def _same_counts(text: str, lines: Sequence[KitLine]) -> bool:
    from benchleaf.graph.kits.packwords import read_pack

    words = read_pack(text)
    if words is None or not words.counted:
        return False
    return (words.friction, words.steel) == plate_counts(lines)


def plate_counts(lines: Iterable[KitLine]) -> tuple[int | None, int | None]:
    """Friction and steel plates in some lines; None for a kind that has no line or an open quantity."""
    from benchleaf.graph.kits.plates import plate_kind

    sums: dict[str, int | None] = {}
    for line in lines:
        kind = plate_kind(line.description)
        if kind is not None:
            before = sums.get(kind, 0)
            sums[kind] = None if line.quantity is None or before is None else before + line.quantity
    return sums.get("friction"), sums.get("steel")


class Family:
    """The kits asked about and their supersession: which is older, which newer."""

    def __init__(self, store: Shelf, kits: Collection[str]) -> None:
        self._known = store.supersessions(sorted({key(k) for k in kits})) if kits else ()
        counted = [s for s in self._known if s.standing != "refused"]
        self._ahead, self._back = links(counted), links(counted, back=True)
        self._printed = {key(n): n for s in counted for n in (*s.old, *s.new)}

    def kin(self, kit: str, of: Sequence[str]) -> Kinship:
        """What `kit` is to the kits `of`: newer if it stands in for one of them, older if one stands in for
        it."""
        ours, theirs = key(kit), {key(k) for k in of}
        if ours in theirs:
            return "same"
        newer = bool(distances(ours, self._back).keys() & theirs)
        older = bool(distances(ours, self._ahead).keys() & theirs)
        return "both" if newer and older else "newer" if newer else "older" if older else "none"

    def older(self, kit: str) -> tuple[str, ...]:
        """The kits that `kit` stands in for, nearest first, as printed."""
        far = distances(key(kit), self._back)
        return tuple(self._printed[n] for n in sorted(far, key=lambda n: (far[n], n)))

    def newer(self, kit: str) -> tuple[str, ...]:
        """The kits that stand in for `kit`, nearest first, as printed."""
        far = distances(key(kit), self._ahead)
        return tuple(self._printed[n] for n in sorted(far, key=lambda n: (far[n], n)))

    def doubtful(self) -> tuple[Supersession, ...]:
        """Doubtful statements among them, which were counted for kinship so that no old kit passes for
        new."""
        return tuple(s for s in self._known if s.standing == "doubtful")
