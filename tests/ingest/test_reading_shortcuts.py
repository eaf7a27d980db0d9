"""Short ways through the reading of a sheet: each must give what the long way gives."""

import io
import random
from statistics import median

import pytest
from benchleaf.graph.model import Box
from benchleaf.ingest import bundle
from benchleaf.ingest.head.dates import find_dates, read_date
from benchleaf.ingest.shapes import LaidPage, Line, Word
from benchleaf.ingest.sheets.lines import rows, usual_size
from benchleaf.ingest.sheets.pdf import read_pdf
from benchleaf.ingest.sheets.plumber import Plumber
from reportlab.pdfgen.canvas import Canvas

FORMS = (
    "12 November 1999",
    "12-Nov-99",
    "12. November '99",
    "Nov. 12th 1999",
    "1999-11-12",
    "12.11.99",
    "12/11/1999",
    "12 - 11 - 99",
    "Mar-99",
    "11/1999",
    "12.XI.99",
    "12 XI 1999",
    "12 de noviembre de 1999",
    "week 45/99",
    "KW 45 99",
    "20031112",
    "3/78",
    "Nov 78",
    "l2.11.1999",
    "3O.4.1963",
)


def laid(*texts: str) -> LaidPage:
    """A sheet of lines, a line a text."""
    lines = []
    for at, text in enumerate(texts):
        box = Box(50, 50 + 14 * at, 400, 60 + 14 * at)
        lines.append(Line(tuple(Word(w, box) for w in text.split()), box, 1))
    return LaidPage(1, 595, 842, tuple(lines))


@pytest.mark.parametrize("form", FORMS)
def test_no_sheet_with_a_date_is_passed_over(form: str) -> None:
    """A sheet that bears a date in any form that is read (common practice, no source) may begin a note."""
    assert read_date(form).date or find_dates(form), form
    assert bundle._may_be_dated(laid("Some words", f"Issued {form}", "More words"))


def test_sheets_of_plain_steps_bear_no_date() -> None:
    """Step numbers, pages and values are no evidence of a date: the long look at the sheet is spared."""
    page = laid("4 Remove the hub", "5 Tighten to 45 Nm", "on page 7 see 212", "the seal 4471 8")
    assert not bundle._may_be_dated(page)


def test_usual_size_is_the_median_over_characters() -> None:
    """The size counted up equals Python's own `statistics.median` of one size a character."""
    pick = random.Random(5)
    for _ in range(500):
        sizes = [pick.choice((8.0, 9.5, 10.0, 12.0)) for _ in range(pick.randint(0, 7))]
        words = [Word("x" * pick.randint(0, 25), Box(0, 0, 1, 1), size) for size in sizes]
        spread = [w.size for w in words for _ in range(min(len(w.text), 20))]
        assert usual_size(words) == (median(spread) if spread else 10.0)


def test_rows_of_the_same_words_are_not_shared() -> None:
    """Whoever changes the list of rows that he was given changes nobody else's."""
    words = tuple(Word(str(n), Box(10, 20 * n, 20, 20 * n + 10)) for n in range(4))
    first = rows(words)
    first.clear()
    assert [r[0].text for r in rows(words)] == ["0", "1", "2", "3"]


def drawn(*boxes: tuple[float, float, float, float]) -> bytes:
    """A sheet with a word in each of some rectangles."""
    held = io.BytesIO()
    page = Canvas(held, (595, 842))
    for x, y, wide, high in boxes:
        page.rect(x, y, wide, high)
        page.drawString(x + 4, y + 6, "CAUTION mind")
    page.save()
    return held.getvalue()


def test_only_grids_are_read_a_second_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """A framed notice is no table and is not given to pdfplumber; cells that touch are."""
    asked: list[int] = []
    read = Plumber.read
    monkeypatch.setattr(Plumber, "read", lambda s, at, sheet: asked.append(at) or read(s, at, sheet))
    read_pdf(drawn((60, 500, 300, 30)))
    assert asked == []
    read_pdf(drawn((60, 500, 150, 30), (210, 500, 150, 30), (60, 470, 150, 30), (210, 470, 150, 30)))
    assert asked == [0]


def test_a_running_head_that_returns_spares_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where every sheet bears the manual's head no note is bound in, whatever a sheet says at its top."""
    looked: list[LaidPage] = []
    monkeypatch.setattr(bundle, "_head", lambda page: looked.append(page))
    head = laid("Repair manual OG 4").lines
    page = laid("Issued 12 November 1999", "Words")
    pages = tuple(LaidPage(n, 595, 842, page.lines, heads=head) for n in range(1, 9))
    assert bundle.bound_in(pages) == (pages, ())
    assert looked == []
    bare = tuple(LaidPage(n, 595, 842, page.lines) for n in range(1, 4))
    bundle.bound_in(bare)
    assert looked
