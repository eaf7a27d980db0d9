"""OCR against the text layer of the same pages, with pages nobody here has set.

Source: manuals in Debian's package texlive-latex-base-doc (`usr/share/doc` of the unpacked package is named
by the environment variable BENCHLEAF_DEBIAN_DOCS): "LaTeX font encodings" by Frank Mittelbach, Robin
Fairbairns and Werner Lemberg (encguide.pdf), "The LaTeX3 Project" by Frank Mittelbach and Chris Rowley
(ltx3info.pdf), "The LaTeX Project Public License" (lppl.pdf) and "Errata to the Second Edition of the LaTeX
Manual" by Leslie Lamport (lamport-manual.pdf). A page of each is drawn at 200 dpi in grey; what pdfium finds
in the text layer is the truth. Floors lie a little under what was measured.
"""

import importlib.util
import io
import re
import unicodedata
from collections import Counter

import pytest
from benchleaf.graph.standing import SURE_OCR
from benchleaf.ingest.scan.pictures import picture_pages
from benchleaf.ingest.scan.reading import read_scans
from benchleaf.ingest.sheets.pdf import read_pdf
from erratalist import VARIABLE, docs

PAGES = (("encguide.pdf", 4), ("ltx3info.pdf", 6), ("lppl.pdf", 2), ("lamport-manual.pdf", 2))
EDGES = ".,;:!?()[]{}“”\u2018’\"'`*•<>/\\|"
ALIKE = str.maketrans("’–—−", "'---")

pytestmark = [
    pytest.mark.skipif(docs() is None, reason=f"{VARIABLE} does not name Debian's documentation"),
    pytest.mark.skipif(importlib.util.find_spec("rapidocr") is None, reason="rapidocr is not installed"),
]


def drawn(data: bytes, sheet: int) -> bytes:
    """A sheet as a scanner at 200 dpi in grey would save it."""
    import pypdfium2

    document = pypdfium2.PdfDocument(data)
    out = io.BytesIO()
    document[sheet - 1].render(scale=200 / 72, grayscale=True).to_pil().save(out, "PNG", dpi=(200, 200))
    document.close()
    return out.getvalue()


def trimmed(words) -> list[str]:
    """Words without punctuation around them, but for a minus; ligatures, curly apostrophes and the lengths of
    dashes do not count."""
    plain = (unicodedata.normalize("NFKC", w).translate(ALIKE).strip(EDGES) for w in words)
    return [t for w in plain if (t := re.sub(r"^-+(?![0-9])|-+$", "", w).strip(EDGES))]


def has_digit(word: str) -> bool:
    return any(c in "0123456789" for c in word)


@pytest.fixture(scope="module")
def readings():
    """For each page, the text layer's words and what OCR read, with its confidence."""
    found = {}
    for name, sheet in PAGES:
        data = (docs() / name).read_bytes()
        picture = drawn(data, sheet)
        truth = trimmed(w.text for w in read_pdf(data)[sheet - 1].words)
        read = read_scans(picture, picture_pages(picture), {}, "rapidocr").pages[0].words
        found[name] = (truth, [(t, w.confidence) for w in read for t in trimmed([w.text])])
    return found


def share(readings, wanted=lambda word: True) -> tuple[float, list[str]]:
    """The share of the text layer's words that OCR read letter for letter, and those it did not."""
    missed, count = [], 0
    for name, (truth, read) in readings.items():
        want = Counter(w for w in truth if wanted(w))
        left = want - Counter(w for w, _ in read)
        missed += [f"{name}: {w}" for w in left.elements()]
        count += want.total()
    return 1 - len(missed) / count, missed


def test_words_of_the_text_layer_are_read(readings):
    """OCR at 200 dpi gives the words of the text layer, letter for letter; measured 0.994 of 1,561."""
    found, missed = share(readings)
    assert found >= 0.98, missed


def test_every_page_is_read(readings):
    """No page of the four falls behind; the least measured is 0.991."""
    found = {name: share({name: reading}) for name, reading in readings.items()}
    assert {name: missed for name, (part, missed) in found.items() if part < 0.97} == {}


def test_words_with_digits_are_read(readings):
    """Numbers, page references, addresses and dates among them; measured 1.0 of 78."""
    found, missed = share(readings, has_digit)
    assert sum(has_digit(w) for truth, _ in readings.values() for w in truth) > 60
    assert found >= 0.96, missed


def test_a_number_read_wrong_is_seldom_sure(readings):
    """Of the words with digits that the text layer has not, none or one is above the bar for sure OCR words
    (measured 0)."""
    sure = []
    for name, (truth, read) in readings.items():
        left = Counter(w for w, _ in read) - Counter(truth)
        sure += [(name, w, c) for w, c in read if has_digit(w) and left[w] and c >= SURE_OCR]
    assert len(sure) <= 1, sure
