"""Doubts of what OCR read: its confidence, and its part numbers against those that a text layer names.

A misread sign makes another part. A number that looks like a known one, and is not it, is never taken for
either: the picture decides.
"""

from collections.abc import Iterator
from typing import Protocol

from benchleaf.graph.keys import key
from benchleaf.graph.mentions import runs
from benchleaf.graph.model import Contents, Override, Statement, Supersession, Withdrawn

SURE_OCR = 0.90
"""Words that OCR read with less confidence than this stay in doubt (a rule of ours, to be tuned by cases)."""


class Numbers(Protocol):
    """What is asked of a store about part numbers."""

    def known_by_text(self, part: str) -> bool:
        """True if a source with a text layer names the part."""

    def alike_by_text(self, part: str) -> tuple[str, ...]:
        """Other numbers of such sources that look like this one."""

    def near_parts(self, part: str) -> tuple[str, ...]:
        """Part numbers that may have been meant."""


def ocr_doubts(statement: Statement, held: Numbers) -> list[str]:
    """Why a statement that OCR read is not to be settled by rule; nothing for one read from a text layer."""
    if not statement.source.by_ocr:
        return []
    sure = statement.confidence >= SURE_OCR
    doubts = [] if sure else [_unsure(statement.confidence)]
    unknown = [n for n in numbers_of(statement) if not held.known_by_text(n)]
    return doubts + [d for n in unknown if (d := _number_doubt(n, held, sure=sure))]


def numbers_of(statement: Statement) -> tuple[str, ...]:
    """The part and kit numbers that a statement brings, as printed; of an override those of its new words."""
    return tuple({key(n): n for n in _numbers(statement) if key(n)}.values())


def _numbers(statement: Statement) -> Iterator[str]:
    match statement:
        case Supersession():
            yield from (*statement.old, *statement.new)
        case Contents():
            yield statement.kit
            yield from (x.part for x in (*statement.lines, *statement.previous) if x.part)
        case Withdrawn():
            yield statement.part
        case Override():
            yield from statement.applies.kits
            yield from (run.printed for words in (statement.text, statement.now) for run in runs(words or ""))


def _unsure(confidence: float) -> str:
    return f"read by OCR with confidence {confidence:.2f}: compare with the picture"


def _number_doubt(number: str, held: Numbers, *, sure: bool) -> str | None:
    """One that looks like a known number is doubtful however sure OCR was; an unsure one also names what is
    one error away."""
    near = held.alike_by_text(number)
    if not near and not sure:
        near = tuple(n for n in held.near_parts(number) if held.known_by_text(n))
    if not near:
        return None
    return f"read by OCR as {number}; the store knows {' and '.join(near[:3])}: look at the picture"
