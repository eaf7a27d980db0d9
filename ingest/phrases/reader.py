"""A note being read: what its statements share, what earlier sentences have named, what is accounted for."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from benchleaf.graph.model import Box, Finding, KitLine, Source, Statement
from benchleaf.ingest.phrases.guards import carried
from benchleaf.ingest.phrases.judging import Surroundings, Verdict, folded_limits, judge, plain, surroundings
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Body, Passage
from benchleaf.ingest.phrases.phrasebook import PhraseBook
from benchleaf.ingest.phrases.references import Reference, completed
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.shapes import Header

_LONGEST_QUOTE = 1200  # characters
_HEADING = 140  # characters that a paragraph may have to count as a heading for the next


@dataclass(frozen=True, slots=True)
class Built:
    """What a match gave: statements, and the stretch of its passage that it accounts for. `claims` are
    the places up to which later blocks are accounted for too."""

    statements: tuple[Statement, ...]
    start: int
    end: int
    claims: tuple[tuple[int, int], ...] = ()


@dataclass(slots=True)
class Reader:
    """One note being read."""

    header: Header
    file: str
    book: PhraseBook
    body: Body
    statements: list[Statement] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    covered: dict[int, list[tuple[int, int]]] = field(default_factory=dict)
    texts: dict[int, list[tuple[int, int]]] = field(default_factory=dict)
    waiting: list[Match] = field(default_factory=list)
    contained: dict[str, tuple[KitLine, ...]] = field(default_factory=dict)

    @property
    def note(self) -> str:
        """The note's number; the file's name where none was found."""
        return self.header.number or self.file

    def common(
        self, passage: Passage, around: Surroundings, verdict: Verdict, also: str = ""
    ) -> dict[str, Any]:
        """What every statement carries: note, date, the words read, place, standing and reasons."""
        quote = " ".join(f"{passage.tagged.words(around.start, around.end)} {also}".split())
        return {
            "note": self.note,
            "date": self.header.date,
            "quote": quote if len(quote) <= _LONGEST_QUOTE else quote[: _LONGEST_QUOTE - 1] + "…",
            "source": passage.source,
            "standing": verdict.standing,
            "why": verdict.why,
            "confidence": passage.confidence,
        }

    def judged(
        self, block: int, match: Match, end: int, allowed: tuple[str, ...] = ()
    ) -> tuple[Surroundings, Verdict]:
        """A match's surroundings and how it stands, its statement ending at `end` in its passage."""
        passage = self.passage(block)
        around = surroundings(passage, match, self.covered.get(block, []), end)
        others = [
            (m.start, m.end) for m in self.waiting if not m.phrase.weak and m.phrase.type == match.phrase.type
        ]
        others = [o for o in others if o[1] <= match.start + 1 or o[0] >= match.end - 1]
        return around, judge(self.book, passage, match, around, self.body.models, allowed, others)

    def place(self, first: int, last: int) -> Source:
        """Where the words of several blocks stand: the first's source, its box widened over those on the same
        sheet."""
        source = self.passage(first).source
        below = (self.body.blocks[b] for b in range(first + 1, last + 1))
        told = [p.source for p in below if isinstance(p, Passage) and p.source.sheet == source.sheet]
        boxes = [s.box for s in (source, *told) if s.box is not None]
        if source.box is None or len(boxes) < 2:
            return source
        x0, top, x1, bottom = zip(*boxes, strict=True)
        return replace(source, box=Box(min(x0), min(top), max(x1), max(bottom)))

    def passage(self, block: int) -> Passage:
        """The passage in a block that is known to hold one."""
        found = self.body.blocks[block]
        assert isinstance(found, Passage)
        return found

    # What earlier words have named.

    def context(self, block: int, place: int) -> Reference:
        """The manual and page last named before a place. What a later sentence names completes nothing: it
        may speak of another manual."""
        publication = page = None
        for _, reference, _ in self._before(block, place):
            if (
                page is None
                and reference.page
                and publication in (None, reference.publication, _or(reference))
            ):
                page = reference.page
            publication = publication or reference.publication
            if publication and page:
                break
        return Reference(publication, page)

    def near(self, block: int, place: int) -> Reference | None:
        """A step named in the sentence before, or in a heading right above; None if there is none."""
        for where, reference, passage in self._before(block, place):
            here = where == block and len(passage.sentences) > 0
            leads_in = len(passage.folded) <= _HEADING or passage.folded.rstrip().endswith(":")
            above = where == block - 1 and leads_in
            if not (here or above):
                return None
            if reference.items and not self._only_cited(passage, reference):
                return None if above and self._beside_others(passage, reference) else reference
            if here and gives_page(reference):
                return None  # a place of its own, which is no step of the one before
        return None

    def doubt_page(self, block: int, place: int, reference: Reference) -> tuple[str, ...]:
        """A reason for doubt where a page is taken from far above and the note names several; "the same page"
        is the one named last."""
        if reference.page or len(self.body.pages) < 2:
            return ()
        if reference.same:
            last = next((r for _, r, _ in self._before(block, place) if gives_page(r)), None)
            return () if last is None or last.page else last.why
        for where, found, passage in self._before(block, place):
            if found.page:
                heading = len(passage.folded) <= _HEADING or passage.folded.rstrip().endswith(":")
                if where == block or (where == block - 1 and heading):
                    return ()
                return (
                    f"the page ({found.page}) stands in an earlier paragraph, and the note names several",
                )
        return ()

    def carried(self, block: int, place: int, reference: Reference) -> tuple[str, ...]:
        """Reasons for doubt in the sentences that a reference's missing parts, or its step, are taken
        from."""
        full = self.completed(block, place, reference)
        open_parts = [n for n in ("publication", "page") if getattr(full, n) and not getattr(reference, n)]
        why: list[str] = []
        for where, found, passage in self._before(block, place):
            gives = [n for n in open_parts if getattr(found, n)]
            if found is not reference and not gives:
                continue
            open_parts = [n for n in open_parts if n not in gives]
            if where >= 0:
                why.extend(carried(self.book, self._said(where, passage, found)))
            if not open_parts and (found is reference or reference.items):
                break
        return tuple(dict.fromkeys(why))

    def _said(self, where: int, passage: Passage, reference: Reference) -> str:
        """The sentence that a reference stands in, without asides, applicability and quoted new words."""
        at = next(i for i, tag in passage.tagged.tags.items() if tag.content is reference)
        sentence = next((s for s in passage.sentences if s.start <= at < s.end), passage.sentences[0])
        end = sentence.end
        for a, b in self.texts.get(where, ()):
            if sentence.start <= a < end and at < a <= b:
                end = a
        said = passage.folded[sentence.start : end]
        return plain(
            self.book, said, folded_limits(passage.tagged.words(sentence.start, end), self.body.models)
        )

    def completed(self, block: int, place: int, reference: Reference) -> Reference:
        """A reference with its manual and page filled in from earlier words."""
        return completed(reference, self.context(block, place))

    def _before(self, block: int, place: int) -> Iterator[tuple[int, Reference, Passage]]:
        """References before a place, nearest first; the subject line comes last. What is only referred to
        ("see also …") and the words of new steps do not count."""
        for where in range(block, -1, -1):
            passage = self.body.blocks[where]
            if not isinstance(passage, Passage):
                continue
            for at, tag in sorted(passage.tagged.tags.items(), reverse=True):
                content = tag.content
                if not isinstance(content, Reference) or (where == block and at >= place):
                    continue
                if not self._see_only(passage, at):
                    yield where, content, passage
        if self.body.subject is not None:
            for _, tag in sorted(self.body.subject.tagged.tags.items(), reverse=True):
                if isinstance(tag.content, Reference):
                    yield -1, tag.content, self.body.subject

    def _see_only(self, passage: Passage, at: int) -> bool:
        sentence = next((s for s in passage.sentences if s.start <= at < s.end), Sentence(0, at + 1))
        before = passage.folded[sentence.start : at + 1]
        return any(pattern.search(before) for _, pattern in self.book.citing.likely(before))

    def _beside_others(self, passage: Passage, reference: Reference) -> bool:
        """True if the sentence of a reference names another step too."""
        at = next(i for i, tag in passage.tagged.tags.items() if tag.content is reference)
        sentence = next((s for s in passage.sentences if s.start <= at < s.end), Sentence(0, at + 1))
        found = [t.content for _, t in passage.tagged.inside(sentence.start, sentence.end)]
        return sum(isinstance(r, Reference) and bool(r.items) for r in found) > 1

    def _only_cited(self, passage: Passage, reference: Reference) -> bool:
        return any(
            tag.content is reference and self._see_only(passage, at)
            for at, tag in passage.tagged.tags.items()
        )


def gives_page(reference: Reference) -> bool:
    """True for a citation with a page of its own, or with several of them."""
    return reference.page is not None or any("page" in why for why in reference.why)


def _or(reference: Reference) -> str | None:
    """A page whose reference names no manual belongs to whatever manual is in hand."""
    return None if reference.publication else reference.publication
