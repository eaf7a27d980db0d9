"""What is in force for one step: the settled overrides that hold, applied in the order of their dates.

Nothing that is unsure changes a step: it is left out, and the answer says why.
"""

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.applicability import contains, covers, words
from benchleaf.graph.background import Background, Case, background
from benchleaf.graph.cancelled import Cancelled
from benchleaf.graph.keys import key, natural
from benchleaf.graph.model import Applies, Item, Notice, Override
from benchleaf.graph.wording import swap

__all__ = ["Background", "Case", "Effective", "LeftOut", "background", "in_force", "notice_of", "order"]

_KIND = re.compile(r"\s{0,5}(CAUTION|NOTE|WARNING|DANGER|NOTICE)\b\s{0,3}[:!.–—-]?\s{0,5}", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """An override that does not change the step, and why, in plain words."""

    override: Override
    why: str

    @property
    def note(self) -> str:
        """The note's number."""
        return self.override.note


@dataclass(frozen=True, slots=True)
class Effective:
    """A step as it stands in force.

    `text` is None when deleted. `origin` is "manual" or the note whose wording it is; `by` are the notes
    that made the text what it is, `applied` every override that holds, inserts and cautions included.
    `before` and `after` are steps to insert. `depends_on` names what must be known to be sure; `doubts` are
    ids of doubtful readings.
    """

    text: str | None
    origin: str
    by: tuple[str, ...]
    applied: tuple[Override, ...]
    left_out: tuple[LeftOut, ...]
    warnings: tuple[str, ...]
    depends_on: tuple[str, ...]
    notices: tuple[Notice, ...]
    before: tuple[Override, ...]
    after: tuple[Override, ...]
    doubts: tuple[int, ...]


def in_force(item: Item, overrides: Iterable[Override], case: Case | None, known: Background) -> Effective:
    """Apply to `item` those of its overrides that hold for `case`.

    With `case` None no unit is meant: what holds for some units counts as in force, and a later replacement
    wins only over what it covers wholly.
    """
    work = _Work(item, case, known)
    for override in sorted(set(overrides), key=order):
        work.take(override)
    return work.result()


def order(override: Override) -> tuple[object, ...]:
    """Date, then note, then place in the note: the order in which overrides apply, however they were
    added."""
    return (
        override.date or dt.date.min,
        natural(override.note),
        override.note,
        override.id or 0,
        override.quote,
    )


class _Work:
    """One step under work: its text so far, and who made it so."""

    def __init__(self, item: Item, case: Case | None, known: Background) -> None:
        self.item, self.case, self.known = item, case, known
        self.text: str | None = item.text
        self.shapers: list[Override] = []
        self.applied: list[Override] = []
        self.left_out: list[LeftOut] = []
        self.warnings: list[str] = []
        self.depends: list[str] = []
        self.notices: list[Notice] = list(item.notices)
        self.doubts: list[int] = []

    def take(self, o: Override) -> None:
        """Judge one override and, if it holds, apply it."""
        why = self._standing(o) or self._date(o) or self._cancelled(o)
        if why is None and self.case is not None:
            why = self._unit(o, self.case) or self._kit(o, self.case)
        if why is not None:
            self.left_out.append(LeftOut(o, why))
            return
        if key(o.note) in self.known.unsure:
            self.warnings.append(self.known.unsure[key(o.note)])
        self._apply(o)

    def _standing(self, o: Override) -> str | None:
        if o.standing == "settled":
            return None
        if o.standing == "doubtful" and o.id is not None:
            self.doubts.append(o.id)
        return "not settled" if o.standing == "doubtful" else "refused"

    def _date(self, o: Override) -> str | None:
        if o.date is None:
            return "undated"
        if self.known.on is not None and o.date > self.known.on:
            return f"dated later than {self.known.on.isoformat()}"
        return None

    def _cancelled(self, o: Override) -> str | None:
        gone = self.known.cancelled.get(key(o.note))
        if gone is None:
            newest = self.known.revised.get(key(o.note))
            if newest and newest.date and o.date and o.date < newest.date:
                return f"later revision {newest.revision or newest.date.isoformat()} of {o.note}"
            return None
        self.warnings += gone.doubts
        self._odd_cancellation(o, gone)
        return f"cancelled by {gone.by}"

    def _odd_cancellation(self, o: Override, gone: Cancelled) -> None:
        """A canceller older than the note, or headed for other models, is told: somebody should look."""
        if gone.date is not None and o.date is not None and gone.date < o.date:
            self.warnings.append(f"{o.note} is cancelled by {gone.by}, which is older: look at both")
        by, model = self.known.cancellers.get(key(gone.by)), self.case.unit.model if self.case else None
        models = by.applies.models if by else ()
        if model and models and key(model) not in {key(m) for m in models}:
            self.warnings.append(
                f"{o.note} is cancelled by {gone.by}, which is headed for {', '.join(models)} only:"
                " look at both"
            )

    def _unit(self, o: Override, case: Case) -> str | None:
        cover = covers(_as_settled(o), case.unit)
        if cover.answer == "yes":
            return None
        if cover.answer == "no":
            return f"not for this unit ({words(o.applies)})"
        if case.any_unit:
            self.warnings.append(f"{self._where(o)}: {o.note} is for {words(o.applies)} only")
            return None
        self.depends += cover.on
        return f"depends on {', '.join(cover.on)} ({words(o.applies)})"

    def _kit(self, o: Override, case: Case) -> str | None:
        binding = self.known.bound.get(o)
        if binding is None:
            return None
        meant = " or ".join(binding.kits)
        kin = {kit: self.known.family.kin(kit, binding.kits) for kit in case.kits}
        new = [k for k, is_ in kin.items() if is_ in ("same", "newer")]
        old = [k for k, is_ in kin.items() if is_ == "older"]
        unsure = [k for k, is_ in kin.items() if is_ == "both"]
        if unsure and not new:
            self.depends.append("kit")
            return (
                f"depends on kit: {unsure[0]} came before {meant} and after it too; ask which contents it has"
            )
        if new and old:
            self.warnings.append(
                f"kits {old[0]} and {new[0]} are both named: old and new parts are not to be mixed"
            )
        if old and not new:
            return (
                f"only with kit {meant} or what replaced it; kit {old[0]} is older, so the earlier step holds"
            )
        if not new:
            self._assume(o, meant, case.kits)
        return None

    def _assume(self, o: Override, meant: str, named: Sequence[str]) -> None:
        if named:
            said = f"kit {', '.join(named)} is not known to be related to kit {meant}"
        else:
            said = "no kit is named"
        self.warnings.append(f"{self._where(o)}: {said}; the newest, {meant}, is assumed ({o.note})")

    def _where(self, o: Override) -> str:
        return f"step {self.item.label} on page {o.target.page or self.item.page}"

    def _apply(self, o: Override) -> None:
        if o.action in ("insert-after", "insert-before"):
            if o.text:
                self.applied.append(o)
            else:
                self._leave(o, "the words of the new step were not read")
        elif o.action == "caution":
            self.applied.append(o)
            self.notices.append(notice_of(o.text or o.quote))
        elif o.action == "change-value":
            self._change(o)
        else:
            self._put(o)

    def _leave(self, o: Override, why: str) -> None:
        self.left_out.append(LeftOut(o, why))
        self.warnings.append(f"{self._where(o)}: {o.note} is not applied: {why}")

    def _put(self, o: Override) -> None:
        """Replace or delete: overtakes what came before, as far as it covers it."""
        if o.action == "replace" and not o.text:
            self._leave(o, "the new wording was not read")
            return
        self._same_day(o)
        for earlier in self.shapers:
            if self._overtakes(o, earlier):
                self.applied.remove(earlier)
                self.left_out.append(LeftOut(earlier, f"later note {o.note}"))
            else:
                self.warnings.append(
                    f"{self._where(o)}: {earlier.note} still holds for {words(earlier.applies)}"
                )
        self.text = o.text if o.action == "replace" else None
        self.shapers = [o]
        self.applied.append(o)

    def _same_day(self, o: Override) -> None:
        for earlier in self.shapers:
            rivals = earlier.action in ("replace", "delete") and earlier.note != o.note
            if rivals and earlier.date == o.date and (earlier.action, earlier.text) != (o.action, o.text):
                self.warnings.append(
                    f"{self._where(o)}: {earlier.note} and {o.note} bear the same date and differ; "
                    f"{o.note} is followed by its number: ask the maker"
                )

    def _overtakes(self, later: Override, earlier: Override) -> bool:
        if self.case is not None:
            return True
        new, old = self.known.bound.get(later), self.known.bound.get(earlier)
        kits = new is None or (old is not None and {key(k) for k in old.kits} <= {key(k) for k in new.kits})
        return kits and contains(_as_settled(later), _as_settled(earlier))

    def _change(self, o: Override) -> None:
        if o.was is None or o.now is None:
            self._leave(o, "the old or the new value was not read")
        elif self.text is None:
            gone = self.shapers[-1].note if self.shapers else "an earlier note"
            self._leave(o, f"the step is deleted by {gone}")
        else:
            changed = swap(self.text, o.was, o.now)
            if changed.text is None:
                self._leave(o, changed.why)
                return
            self.text = changed.text
            self.shapers.append(o)
            self.applied.append(o)

    def result(self) -> Effective:
        """The step as it stands after all overrides."""
        worded = [o.note for o in self.shapers if o.action in ("replace", "delete")]
        unique = dict.fromkeys
        return Effective(
            text=self.text,
            origin=worded[-1] if worded else "manual",
            by=tuple(unique(o.note for o in self.shapers)),
            applied=tuple(self.applied),
            left_out=tuple(self.left_out),
            warnings=tuple(unique(self.warnings)),
            depends_on=tuple(unique(self.depends)),
            notices=tuple(self.notices),
            before=tuple(o for o in self.applied if o.action == "insert-before"),
            after=tuple(o for o in self.applied if o.action == "insert-after"),
            doubts=tuple(unique(self.doubts)),
        )


def _as_settled(o: Override) -> Applies:
    """A person who settled a reading has looked at what was unclear in it."""
    if o.applies.unclear and o.settled_by not in (None, "rule"):
        a = o.applies
        return Applies(
            a.models, a.serial_from, a.serial_to, a.excepted, a.built_from, a.built_to, a.kits, a.as_printed
        )
    return o.applies


def notice_of(text: str) -> Notice:
    """A caution's words as a notice; its kind is the word it opens with, CAUTION if none.

    >>> notice_of("Warning: hot oil.")
    Notice(kind='WARNING', text='hot oil.')
    """
    match = _KIND.match(text)
    if match and text[match.end() :].strip():
        return Notice(match[1].upper(), text[match.end() :].strip())
    return Notice("CAUTION", text.strip())
