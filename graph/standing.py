"""Standing: may what was read be taken as settled?

A rule settles a statement only if its phrase was matched whole with no guard tripped (reading's part), and,
here, if its target is exactly one held item, what it quotes of the old text is there, and the note can be put
in order by its date; and, where OCR read it, if its words were read for certain and none of its numbers only
looks like a known one (`ocrdoubts.py`). Anything else is a doubt with its reason in plain words, and changes
no step until a person settles it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from benchleaf.graph.editions import edition_doubt, editions, items_at
from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Item, Manual, Note, Override, Statement, Target
from benchleaf.graph.ocrdoubts import SURE_OCR, Numbers, ocr_doubts
from benchleaf.graph.shortening import strikes_sentence, without_sentence
from benchleaf.graph.values import contains_words
from benchleaf.graph.wording import places

__all__ = ["SURE_OCR", "Aim", "Held", "judge", "take_aim"]


class Held(Numbers, Protocol):
    """What standing asks of a store."""

    def publications_like(self, number: str) -> tuple[Manual, ...]:
        """The held publications with this number, all editions."""

    def publications(self) -> tuple[Manual, ...]:
        """All held publications."""

    def item(self, target: Target) -> tuple[Item, ...]:
        """The held items that match what the target names."""

    def overrides(self, publication: str, page: str | None = None) -> tuple[Override, ...]:
        """The overrides of a publication, or of one page of it."""


@dataclass(frozen=True, slots=True)
class Aim:
    """Where a citation leads: the target as far as it could be completed, the item, and the doubts."""

    target: Target
    item: Item | None
    doubts: tuple[str, ...]


def judge(
    statement: Statement, read: Sequence[str], cited: Target | None, note: Note | None, held: Held
) -> Statement:
    """The statement with its standing worked out against what is held.

    `read` are the doubts that reading had, `cited` the target as the note's own words give it (for an
    override). A refused statement, and one that a person settled, is returned as it is.
    """
    if statement.standing == "refused" or statement.settled_by not in (None, "rule"):
        return statement
    doubts = [*read, *ocr_doubts(statement, held)]
    if isinstance(statement, Override):
        aim = take_aim(cited or statement.target, statement.applies, held)
        statement = replace(statement, target=aim.target)
        doubts += [*aim.doubts, *_edition_doubts(statement, held), *_note_doubts(statement, note)]
        if strikes_sentence(statement):
            text, unsure = without_sentence(statement, aim.item, _earlier(statement, held))
            statement = replace(statement, text=text)
            doubts += unsure
        elif aim.item is not None:
            doubts += _old_words_doubts(statement, aim.item, held)
    unique = tuple(dict.fromkeys(doubts))
    if unique:
        return replace(statement, standing="doubtful", why=unique, settled_by=None)
    return replace(statement, standing="settled", why=(), settled_by="rule")


def _note_doubts(statement: Override, note: Note | None) -> list[str]:
    unclear = list(statement.applies.unclear)
    if note is not None:
        unclear = [*note.unclear, *unclear]
    if statement.date is None and not unclear:
        unclear.append("the note bears no date that could be read, so it cannot be put in order")
    return unclear


def take_aim(cited: Target, applies: Applies, held: Held) -> Aim:
    """Follow a citation to the one held item that it means."""
    manual, doubts = _publication(cited, applies, held)
    if manual is None:
        return Aim(cited, None, doubts)
    target = Target(manual.number, cited.page, cited.item)
    if cited.item is None:
        return Aim(target, None, (*doubts, "the words do not say which item is meant"))
    items = held.item(target)
    newest = editions(held.publications_like(manual.number))[0]
    if len(items) > 1 and (own := items_at(newest, target)):
        items = own  # a step of an older edition is no rival
    if len(items) == 1:
        found = items[0]
        return Aim(Target(manual.number, found.page, found.label), found, doubts)
    return Aim(target, None, (*doubts, _no_single_item(target, items, manual)))


def _publication(cited: Target, applies: Applies, held: Held) -> tuple[Manual | None, tuple[str, ...]]:
    if cited.publication is not None:
        found = held.publications_like(cited.publication)
        if not found:
            return None, (f"publication {cited.publication} is cited but not held",)
        named = editions(found)[0][0]
        return named, _model_doubt(named, applies)
    fitting = [m for m in held.publications() if not _model_doubt(m, applies)]
    if len({key(m.number) for m in fitting}) == 1:
        return fitting[0], ()
    if not fitting:
        return None, ("the words name no publication, and none is held for the models of the note",)
    numbers = ", ".join(sorted({m.number for m in fitting}))
    return None, (f"the words name no publication; it may be any of {numbers}",)


def _edition_doubts(statement: Override, held: Held) -> list[str]:
    number = statement.target.publication
    files = held.publications_like(number) if number else ()
    doubt = edition_doubt(files, statement.target, statement.text or statement.now) if files else None
    return [doubt] if doubt else []


def _model_doubt(manual: Manual, applies: Applies) -> tuple[str, ...]:
    ours, theirs = {key(m) for m in manual.models}, {key(m) for m in applies.models}
    if not ours or not theirs or any(_kin(a, b) for a in ours for b in theirs):
        return ()
    named, covered = ", ".join(applies.models), ", ".join(manual.models)
    return (f"the note names {named}, but {manual.number} covers {covered}",)


def _kin(one: str, other: str) -> bool:
    return one.startswith(other) or other.startswith(one)


def _no_single_item(target: Target, items: Sequence[Item], manual: Manual) -> str:
    if items:
        places = ", ".join(dict.fromkeys(f"page {i.page}" for i in items))
        return f"item {target.item} of {manual.number} stands more than once ({places})"
    if target.page is None:
        return f"no item {target.item} is held in {manual.number}, and the words name no page"
    page = next((p for p in manual.pages if key(p.page) == key(target.page or "")), None)
    if page is None:
        return f"page {target.page} of {manual.number} is cited but not held"
    have = ", ".join(i.label for i in page.items) or "none"
    return f"page {page.page} of {manual.number} has no item {target.item} (it has {have})"


def _old_words_doubts(statement: Override, item: Item, held: Held) -> list[str]:
    if statement.was is None:
        return []
    was = statement.was
    if statement.action != "change-value":
        said = (item.text, *_earlier(statement, held))
        if not any(contains_words(was, t) for t in said):
            return [_does_not_say(was, item)]
        whole = any(contains_words(t, was) for t in said)
        return [] if whole else ["the old words that are quoted are only a part of the step as held"]
    counts = [len(places(was, t)) for t in (item.text, *_earlier(statement, held))]
    if counts[0] > 1:
        return [f"“{was}” stands {counts[0]} times in the step: the words do not say which is meant"]
    return [] if any(counts) else [_does_not_say(was, item)]


def _does_not_say(was: str, item: Item) -> str:
    read = ", which OCR read from a picture," if item.by_ocr else ""
    return f"the step as held{read} does not say “{was}”"


def _earlier(statement: Override, held: Held) -> list[str]:
    """Words that earlier settled notes put into the same step: a later note may quote those."""
    words: list[str] = []
    place = statement.target
    for other in held.overrides(place.publication or "", place.page):
        same = key(other.target.item or "") == key(place.item or "")
        before = other.date is not None and statement.date is not None and other.date < statement.date
        if same and before and other.standing == "settled":
            words += [w for w in (other.text, other.now) if w]
    return words
