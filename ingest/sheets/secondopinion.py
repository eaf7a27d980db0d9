"""What a second reader says of a PDF: damaged files often open without a word of complaint.

pdfminer counts the sheets again and reads those whose letters pdfium cannot name. No error is no proof: of
damaged PDFs about a third give fewer sheets or other words silently.
"""

import io
from collections.abc import Iterator, Sequence

from benchleaf.graph.model import Finding, Source
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.glyphs import NO_MEANING
from benchleaf.ingest.sheets.soundness import unsound

_SHARE = 0.02  # share of a sheet's letters without a meaning from which it is told
_OUTLINES = 60  # drawn shapes on a sheet without words that look like letters drawn as outlines
_LETTER = 30.0  # points: no letter's outline is larger


def second_opinion(data: bytes, pages: Sequence[Page], name: str) -> tuple[Finding, ...]:
    """Findings about a PDF as read: sheets another reader counts otherwise, letters without a meaning, text
    drawn as outlines. Empty for plain text and for a PDF on which both readers agree."""
    if not pages or b"%PDF-" not in data[:1024]:
        return ()
    told = (f for page in pages for f in _looked_at(page, name))
    return (*_sound(data, name), *_counted(data, pages, name), *told)


def _sound(data: bytes, name: str) -> Iterator[Finding]:
    """A finding if the file is not as it was written."""
    if wrong := unsound(data):
        yield Finding(
            f"the PDF is damaged ({', '.join(wrong)}): words may be missing or wrong, "
            "compare it with the paper",
            Source(name, 1),
        )


def _counted(data: bytes, pages: Sequence[Page], name: str) -> Iterator[Finding]:
    """A finding if the other reader counts other sheets, or cannot read the file."""
    try:
        sheets = _sheets(data)
    except MemoryError:  # no word about the file
        raise
    except Exception as error:  # pdfminer raises whatever it stumbles on in a damaged file
        yield Finding(
            f"a second reader cannot open this PDF ({type(error).__name__}): compare it with the paper",
            Source(name, 1),
        )
        return
    if sheets != len(pages):
        yield Finding(
            f"one reader finds {len(pages)} sheets, another {sheets}: the PDF may be damaged, "
            "compare it with the paper",
            Source(name, min(sheets, len(pages)) or 1),
        )


def _sheets(data: bytes) -> int:
    import pdfplumber
    from benchleaf.ingest.sheets.packedobjects import QuickDocument
    from pdfminer.pdfpage import PDFPage

    with pdfplumber.open(io.BytesIO(data)) as document:
        document.doc.__class__ = QuickDocument
        return sum(1 for _ in PDFPage.create_pages(document.doc))


def _looked_at(page: Page, name: str) -> Iterator[Finding]:
    """What one sheet's words and shapes say about its reading."""
    source = Source(name, page.sheet)
    letters = sum(len(w.text) for w in page.words)
    lost = sum(w.text.count(NO_MEANING) for w in page.words)
    if lost and lost >= _SHARE * letters:
        yield Finding(
            f"{lost} of {letters} letters on sheet {page.sheet} cannot be named by their font: "
            "read it on the paper",
            source,
            " ".join(w.text for w in page.words if NO_MEANING in w.text)[:80],
        )
    small = sum(max(b.x1 - b.x0, b.bottom - b.top) < _LETTER for b in page.curves)
    if not page.words and small > _OUTLINES:
        yield Finding(
            f"sheet {page.sheet} seems to have its letters drawn as outlines: print and scan it", source
        )
    if not page.words and not page.images and small <= _OUTLINES and (page.curves or len(page.strokes) > 3):
        yield Finding(f"sheet {page.sheet} has drawings and no words", source)
