"""The phrase book's examples as checks: each says a text and what it must give."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from benchleaf.graph.model import (
    Applies,
    Box,
    Cancels,
    Contents,
    KitLine,
    Override,
    Statement,
    Supersession,
    Withdrawn,
)
from benchleaf.ingest.phrases.contents import quantity
from benchleaf.ingest.phrases.phrasebook import Example, Phrase, PhraseBook
from benchleaf.ingest.shapes import Header, Paragraph

_KINDS: Mapping[str, type[Statement]] = {
    "supersession": Supersession,
    "withdrawn": Withdrawn,
    "override": Override,
    "contents": Contents,
    "cancels": Cancels,
}


def header_of(text: str) -> Header:
    """A bare note around a text; a blank line starts a new paragraph."""
    box = Box(50, 100, 500, 120)
    body = tuple(Paragraph(piece, box, 1) for piece in text.split("\n\n"))
    return Header("XB 12/99", None, None, None, "maker", None, Applies(), (), body)


def failures(phrase: Phrase, book: PhraseBook) -> Iterator[str]:
    """What the examples of a phrase do not give as they must; nothing if all hold."""
    from benchleaf.ingest.phrases.statements import read_statements

    kind = _KINDS.get(phrase.type)
    for example in phrase.yes:
        found = read_statements(header_of(example.say), "example", book).statements
        if not any(kind is None or (isinstance(s, kind) and not _wrong(s, example, found)) for s in found):
            yield (
                f"“{example.say}” gives {[_told(s, example, found) for s in found]}, not"
                f" {dict(example.wants)}"
            )
    for example in phrase.no:
        found = read_statements(header_of(example.say), "example", book).statements
        standing = [
            s
            for s in found
            if (kind is None or isinstance(s, kind))
            and s.standing == "settled"
            and _unwanted(s, example, found)
        ]
        if standing:
            yield f"“{example.say}” must give no such statement, and gives {[s.quote for s in standing]}"


def unproved(phrase: Phrase, book: PhraseBook) -> Iterator[str]:
    """Patterns of a phrase that no `yes` or no `no` of it matches, in plain words; nothing if each has both.

    A `yes` proves that a pattern reads what it is there for, a `no` whose words it would match proves that
    denial, question, hearsay or mention keep it from reading more. `failures` tells whether they hold.
    """
    read = [_folded(e.say) for e in phrase.yes]
    kept = [_folded(e.say) for e in phrase.no]
    for one in phrase.wordings:
        for what, texts in (("yes", read), ("no", kept)):
            if not any(one.pattern.search(text) for said in texts for text in said):
                yield f"no “{what}” has the words of “{one.printed}”"


def _folded(text: str) -> tuple[str, ...]:
    """The folded paragraphs of an example."""
    from benchleaf.ingest.phrases.passages import Passage, body_of

    blocks = body_of(header_of(text), "example").blocks
    return tuple(b.folded for b in blocks if isinstance(b, Passage))


def _wrong(statement: Statement, example: Example, found: Sequence[Statement]) -> bool:
    return _told(statement, example, found) != dict(example.wants) or (
        statement.standing != "settled" and not {"doubt", "refused"} & {k for k, _ in example.wants}
    )


def _unwanted(statement: Statement, example: Example, found: Sequence[Statement]) -> bool:
    """True unless a `no` names fields and the statement has others: a rider that must not take hold leaves
    its supersession standing."""
    return not example.wants or _told(statement, example, found) == dict(example.wants)


def _told(statement: Statement, example: Example, found: Sequence[Statement]) -> dict[str, Any]:
    """The statement's fields that an example names, in the example's form."""
    return {name: _field(statement, name, found) for name, _ in example.wants}


def _field(statement: Statement, name: str, found: Sequence[Statement]) -> Any:
    if name in ("doubt", "refused"):
        return statement.standing == {"doubt": "doubtful", "refused": "refused"}[name]
    if isinstance(statement, Override) and name == "item":
        return [s.target.item for s in found if isinstance(s, Override) and s.action == statement.action]
    if isinstance(statement, Override) and name in ("publication", "page"):
        return getattr(statement.target, name)
    if isinstance(statement, Cancels) and name == "note":
        return [s.cancels for s in found if isinstance(s, Cancels)]
    told = getattr(statement, name, None)
    if isinstance(told, tuple):
        return [_line(t) if isinstance(t, KitLine) else t for t in told]
    return told


def _line(line: KitLine) -> str:
    return f"{'AR' if line.quantity is None else line.quantity} {line.description}"


def line_of(words: str) -> KitLine:
    """ "10 friction disc" as a kit line."""
    count, _, name = words.partition(" ")
    return KitLine(None, name, quantity(count))
