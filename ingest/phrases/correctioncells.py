"""What the cells of one row of corrections say: an action in a word, new words, old and new values, or a
sentence of its own ("Add after this step: …", "For “9 Nm” read “11 Nm”")."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.graph.model import Action, Applies, Box, Override
from benchleaf.ingest.phrases.builders import build
from benchleaf.ingest.phrases.guessunread import leave_unread
from benchleaf.ingest.phrases.matches import matches, overlaps
from benchleaf.ingest.phrases.passages import Body, passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import tag
from benchleaf.ingest.phrases.tabular import Columns
from benchleaf.ingest.phrases.tags import VALUE
from benchleaf.ingest.shapes import Cell, Paragraph

# Nothing but the word itself, and perhaps what it goes for or why: "deleted (no washer now)".
_DELETE = re.compile(
    r"^(?:(?:the |this )?(?:whole |entire |complete )?(?:step|item|operation|paragraph|point|text)"
    r"(?: is| to be| now)? )?"
    r"(?:delete[ds]?|omit(?:ted)?|cancel(?:led)?|remove[ds]?|void|disregard|struck out|strike out|withdrawn"
    r"|no longer (?:applies|applicable|required|needed)|not applicable|to be omitted|to be deleted|—|-)"
    r"(?:(?: (?:completely|entirely|altogether|in full))?[ .]*|"
    r" (?:the |this )?(?:whole |entire |complete )?(?:step|item|operation|paragraph|point|text)s?[ .]*"
    r"|[ .]*\([^“”\"()]{1,80}\)[ .]*|[;,–—-] [^“”\"]{1,80})$",
    re.I,
)
_AFTER = re.compile(r"\b(?:after|insert|add|new step)\b", re.I)
_BEFORE = re.compile(r"\bbefore\b", re.I)
_REPLACED = re.compile(r"replac|chang|amend|revis|read|correct", re.I)
# "whole step" under the old words: the new words stand for all of it.
_WHOLE = re.compile(
    r"\(?(?:the |this )?(?:(?:whole|entire|complete|full|all(?: of)?)(?: the| this)?(?: of)? ?(?:the |this )?"
    r"(?:step|text|item|paragraph|operation|wording|instruction|point|sentence|entry)?"
    r"|(?:step|text|wording|instruction) as (?:printed|it stands)|as printed)\)?[ .]*",
    re.I,
)
# A cell that tells what to do with the page, and is no step of the work.
_SPEAKS = re.compile(
    r"\W{0,2}(?:please |kindly )?(?:(?:add|insert|delete|omit|strike|cross|reads?|change|replace|substitute"
    r"|amend|alter|correct|(?:after|before) (?:this|the) (?:step|item)|now reads?|to read|should read"
    r"|new (?:step|text|item|caution|note)|instead of|in place of|caution|warning)\b|for [“\"„0-9])",
    re.I,
)
# A head that says that the words below are new words and nothing else.
_NEW_WORDS = re.compile(
    r"(?:new|revised|amended|corrected|replacement) (?:text|wording|step|words|instruction|version)"
    r"|now reads?|should read|must read|to read|reads? now|shall read"
)
_STAYS = re.compile(
    r"\W{0,4}(?:no change|unchanged|not changed|unaltered|not altered|as (?:before|printed)"
    r"|stays as (?:it is|printed)|remains(?: as printed| unchanged)?|no alteration)\W{0,4}",
    re.I,
)
_NOWHERE = Box(0.0, 0.0, 0.0, 0.0)
_STOPPED = re.compile(r"[.!?][”\"“]?$")
_NO_TEXT = re.compile(r"^(?:not?|never|do not|text|note|remark)\b|[?→⇒]|[-=]>|\bno longer\b", re.I)
_A_CHANGE = "the words may tell a change, and not be the new words of the step"
_NOT_SAID = "it is not said that the words replace the step"
_PARTLY = "only the words shown beside it may be struck out, and not the whole step"


@dataclass(frozen=True, slots=True)
class Correction:
    """One thing that a row says of its step. `applies` are the units that its own words limit it to."""

    action: Action
    text: str | None = None
    was: str | None = None
    now: str | None = None
    why: tuple[str, ...] = ()
    applies: Applies | None = None


def corrections(
    reader: Reader, found: Columns, heads: Sequence[str], row: Sequence[Cell], items: Sequence[str]
) -> tuple[Correction, ...] | None:
    """What a row says of its steps; None if nothing can be read, empty if it says that nothing changes.
    `heads` are the words over the columns, in lower case."""
    was = found.cell(row, "was") or found.cell(row, "old")
    now = found.cell(row, "now") or found.cell(row, "new")
    text, action = found.cell(row, "text") or now, found.cell(row, "action")
    said = text or action
    if not was and said and _STAYS.fullmatch(said):
        return ()
    if not was and said and (not action or not text) and not _DELETE.match(said):
        told = _new_words_head(found, heads)
        if _SPEAKS.match(said) or not told:
            spoken = _spoken(reader, said, items, guessing=_SPEAKS.match(said) is not None)
            if spoken or (_SPEAKS.match(said) and not action):
                return spoken or None
        if told and text and not action:
            return (Correction("replace", unquoted(text), why=_told_otherwise(reader, text, items)),)
    one = _correction(found, row, was, now, text, action)
    return (one,) if one is not None else None


def _told_otherwise(reader: Reader, text: str, items: Sequence[str]) -> tuple[str, ...]:
    """A doubt about words under "New text" that may tell a change instead of being the new words."""
    plain = unquoted(text)
    quoted = text.strip()[:1] in '“„«"' and not re.search('[“”„»«"]', plain)
    if quoted:
        return ()
    odd = _NO_TEXT.search(plain) or reader.book.telltale.search(plain)
    return (_A_CHANGE,) if odd or _spoken(reader, text, items, guessing=False) else ()


def _new_words_head(found: Columns, heads: Sequence[str]) -> bool:
    place = found.at.get("text", found.at.get("now", -1))
    return 0 <= place < len(heads) and _NEW_WORDS.fullmatch(heads[place]) is not None


def _correction(
    found: Columns, row: Sequence[Cell], was: str, now: str, text: str, action: str
) -> Correction | None:
    said = f"{action} {found.cell(row, 'item')}"
    raw = row[found.at["now"]].text.strip() if "now" in found.at else ""
    dashed = bool(was) and not now and raw in ("-", "–", "—")
    if _DELETE.match(action) or _DELETE.match(now) or dashed:
        return Correction("delete", why=(_PARTLY,) if _DELETE.match(now) and _partly(was) else ())
    if _AFTER.search(said) or _BEFORE.search(said):
        kind: Action = "insert-before" if _BEFORE.search(said) else "insert-after"
        return Correction(kind, unquoted(text)) if text else None
    if was and now and _WHOLE.fullmatch(was):
        return Correction("replace", unquoted(now))
    if was and now and _SPEAKS.match(now) and not _SPEAKS.match(was):
        return Correction("replace", unquoted(now), unquoted(was), why=(_A_CHANGE,))
    if was and now:
        if (_short(was) and _short(now)) or (_partly(was) and _partly(now)):
            return Correction("change-value", None, unquoted(was), unquoted(now))
        return Correction("replace", unquoted(now), unquoted(was))
    if text and _REPLACED.search(action):
        return Correction("replace", unquoted(text))
    return Correction("replace", unquoted(text), why=(_NOT_SAID,)) if text else None


def _partly(was: str) -> bool:
    """True for old words that are no whole step by their form: a value, or the middle of a sentence."""
    plain = unquoted(was)
    if not was or _WHOLE.fullmatch(was):
        return False
    return plain[:1].islower() or (_short(plain) and not _STOPPED.search(was.strip()))


def _spoken(reader: Reader, cell: str, items: Sequence[str], guessing: bool) -> tuple[Correction, ...]:
    """What a cell says as a sentence about the step of its row, judged like any other sentence."""
    if len(items) != 1:
        return ()
    label = items[0] if items[0][:1].isdecimal() else f"{items[0]})"
    one = passage(
        # Whatever page the row is of, the words need one to be complete.
        Paragraph(f"Page 1, step {label}: {cell}", _NOWHERE, 1),
        reader.file,
        reader.header.applies.models,
        reader.header.number,
    )
    body = Body((one,), None, (), (), reader.body.models, False, 1.0)
    alone = Reader(reader.header, reader.file, reader.book, body)
    _read_alone(alone)
    if guessing and not alone.statements:
        leave_unread(alone, 0, one)
    told = [s for s in alone.statements if isinstance(s, Override)]
    mine = [s for s in told if key(s.target.item or "") == key(items[0])]
    if len(mine) < len(told) or not mine:
        return ()
    return tuple(_as_correction(s) for s in mine if s.standing != "refused")


def _read_alone(alone: Reader) -> None:
    one = alone.passage(0)
    taken = alone.covered.setdefault(0, [])
    alone.waiting = matches(alone.book, one)
    for match in (*alone.waiting, *matches(alone.book, one, "reading")):
        built = None if overlaps(match, taken) else build(alone, 0, match, alone.waiting)
        if built is not None:
            taken.append((built.start, built.end))
            alone.statements.extend(built.statements)


def _as_correction(one: Override) -> Correction:
    return Correction(one.action, one.text, one.was, one.now, one.why, one.applies)


def _short(text: str) -> bool:
    return len(text.split()) <= 4 or any(t.kind == VALUE and t.text == text for t in tag(text).tags.values())


def unquoted(text: str) -> str:
    """A cell's words without the quotation marks around them."""
    plain = text.strip()
    return plain.strip('"“”„«»').strip() if plain[:1] in '"“„«' else plain
