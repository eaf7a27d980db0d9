"""Word files to sheets, by python-docx: numbers counted, tracked changes taken as accepted.

python-docx opens the file and knows its parts; the text itself is read from the XML, since its paragraphs
leave out what was inserted as a tracked change.
"""

import io
from collections.abc import Iterator
from typing import Any

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.blocks import Block, NewSheet, Para, Piece, Reading, Said
from benchleaf.ingest.papers.extras import office
from benchleaf.ingest.papers.raised import raised
from benchleaf.ingest.papers.setting import set_pages
from benchleaf.ingest.papers.wordbody import Body, sections_of
from benchleaf.ingest.papers.wordheard import Heard
from benchleaf.ingest.papers.wordnumbers import Numbers
from benchleaf.ingest.papers.wordrunning import RunningLines, printed_pages
from benchleaf.ingest.papers.wordruns import Runs
from benchleaf.ingest.papers.wordstyles import Styles
from benchleaf.ingest.papers.wordxml import Element, below, part_of, val
from benchleaf.ingest.papers.zips import guard
from benchleaf.ingest.shapes import Page

_AGAIN = "Open it in a word processor and save it as .docx or PDF."


def read_word(data: bytes) -> tuple[Page, ...]:
    """The sheets of a Word file, broken where its writer or, at its last saving, Word broke them.

    Raises RefusedFile if python-docx is missing, or the file is damaged, locked, too large, or empty.
    """
    return word_reading(data).pages


def word_reading(data: bytes) -> Reading:
    """The sheets of a Word file, and what is to be said of their reading. Raises what read_word raises."""
    with office("a Word file"):
        import docx
    guard(data)
    try:
        found = _read(docx.Document(io.BytesIO(data)))
    except RefusedFile:
        raise
    except Exception as bad:  # python-docx raises whatever it stumbles on in a damaged file
        what = f"the Word file is damaged, a template or one with macros ({type(bad).__name__})"
        raise RefusedFile(what, _AGAIN) from bad
    if not any(page.words for page in found.pages):
        raise RefusedFile("the Word file holds no text", "If it holds pictures of pages, add the pictures.")
    return found


def _read(document: Any) -> Reading:
    root = document.element.body
    heard, styles = Heard(), Styles(part_of(document, "styles"))
    numbers = Numbers(part_of(document, "numbering"), styles)
    runs, sections = Runs(styles, heard), sections_of(root)
    body = Body(styles, numbers, runs, heard, sections)
    blocks = [*body.blocks(root), *_notes(document, runs)]
    sheets = 1 + sum(isinstance(b, NewSheet) for b in blocks)
    printed = printed_pages(document)
    running = RunningLines(document, runs, sections)
    lines = running.of(body.of_sheet, printed == sheets) if sections else ()
    said = [*heard.said(), *_unsure(numbers), *_comments(document)]
    if running.wants_numbers and printed != sheets:
        said.append(_unnumbered(sheets, printed))
    return Reading(set_pages(blocks, lines), tuple(said))


def _unnumbered(sheets: int, printed: int | None) -> Said:
    known = (
        f"the file says it prints on {printed}" if printed else "the file does not say on how many it prints"
    )
    return Said(
        f"printed page numbers are left out: {sheets} sheets are seen, {known}; "
        "where they matter, add it as PDF"
    )


def _unsure(numbers: Numbers) -> Iterator[Said]:
    if numbers.unknown:
        yield Said(f"numbers of the form {', '.join(sorted(numbers.unknown))} are shown as plain figures")


def _notes(document: Any, runs: Runs) -> Iterator[Block]:
    """Footnotes and endnotes, after everything else."""
    for kind in ("footnotes", "endnotes"):
        root = part_of(document, kind)
        for one in below(root, kind[:-1]) if root is not None else ():
            if val(one, "type") in (None, "normal"):
                yield from _note(one, runs)


def _note(one: Element, runs: Runs) -> Iterator[Block]:
    mark = raised(val(one, "id") or "")
    for paragraph in below(one, "p"):
        pieces = [i for i in runs.of(paragraph) if isinstance(i, Piece)]
        yield Para((Piece(f"{mark} "), *pieces))
        mark = ""


def _comments(document: Any) -> Iterator[Said]:
    root = part_of(document, "comments")
    count = sum(1 for _ in below(root, "comment")) if root is not None else 0
    if count:
        yield Said(f"comments in the margin are not read: {count}")
