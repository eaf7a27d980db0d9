"""Page numbers, captions, titles and merged words on sheets read by OCR; all pages here are invented."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from benchleaf.graph.model import Manual
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.book.wording import parting
from benchleaf.ingest.shapes import LaidPage, Page
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.outerrows import outer_rows
from benchleaf.ingest.sheets.pdf import read_pdf
from benchleaf.ingest.sheets.steady import steadied
from drawing_board import Board, sentence


def by_ocr(pages: Sequence[Page], sure: float = 0.9) -> tuple[Page, ...]:
    """The pages as recognition gives them: no weight, every word a little less than sure."""
    return tuple(
        replace(
            p, by_ocr=True, words=tuple(w._replace(bold=False, confidence=min(sure, 0.99)) for w in p.words)
        )
        for p in pages
    )


def numbered(feet: Sequence[str], scanned: bool = True, sure: float = 0.7) -> tuple[LaidPage, ...]:
    """Sheets of steps, each with one of these feet as its page number; no foot for ""."""
    board = Board()
    for sheet, foot in enumerate(feet, 1):
        y = 80.0
        for number in range(1, 8 + sheet % 3):
            y = board.step(50, y, 480, f"{number}.", sentence(sheet * 20 + number))
        if foot:
            board.centre(810, foot, 9)
        board.sheet()
    pages = read_pdf(board.pdf())
    return lay_out(by_ocr(pages, sure) if scanned else pages)


def with_feet(pages: Sequence[LaidPage]) -> list[str | None]:
    return [p.folio for p in pages]


@pytest.mark.parametrize("foot", ["-{}-", "—{}—", "- {} _", "– {} -", "_ {} .", "~{}~", "={}-"])
def test_dashes_round_a_number_may_be_misread(foot: str) -> None:
    """Whatever OCR makes of the dashes beside a page number, the number is what stands between them."""
    pages = numbered([foot.format(n) for n in range(7, 12)])
    assert with_feet(pages) == ["7", "8", "9", "10", "11"]
    assert not any(line.box.top > 790 for p in pages for line in p.lines)


def retold(pages: Sequence[Page], changed: str, text: str) -> tuple[Page, ...]:
    """The pages with one word read as another, for signs that the drawn type does not have."""
    return tuple(
        replace(p, words=tuple(w._replace(text=text) if w.text == changed else w for w in p.words))
        for p in pages
    )


def test_a_dash_read_as_a_sign_of_another_script() -> None:
    """A long dash that OCR gives back as the Chinese sign for one is still a dash."""
    board = Board()
    for sheet, foot in enumerate(["-7-", "x8x", "-9-", "x10x", "-11-"], 1):
        for number in range(1, 9):
            board.step(50, 60 + 40 * number, 480, f"{number}.", sentence(sheet * 20 + number))
        board.centre(810, foot, 9)
        board.sheet()
    pages = by_ocr(read_pdf(board.pdf()))
    pages = retold(retold(pages, "x8x", "-8\u4e00"), "x10x", "\u4e0010\u4e00")
    assert with_feet(lay_out(pages)) == ["7", "8", "9", "10", "11"]


@pytest.mark.parametrize(
    ("feet", "folios"),
    [
        (["7", "8", "g", "10", "11"], ["7", "8", "9", "10", "11"]),
        (["9", "1O", "11", "l2", "13"], ["9", "10", "11", "12", "13"]),
        (["10", "11", "I2"], ["10", "11", "12"]),
        (["I7", "18", "19"], ["17", "18", "19"]),
        (["4-10", "4-11", "4-I2", "4-13"], ["4-10", "4-11", "4-12", "4-13"]),
        (["6", "7", "B", "9"], ["6", "7", "8", "9"]),
        (["21", "22", "28", "24", "25"], ["21", "22", "23", "24", "25"]),
    ],
)
def test_misread_figures_are_told_by_the_count(feet: list[str], folios: list[str]) -> None:
    """A letter for a figure, or a wrong figure in an unsure reading, is set right by the sheets around."""
    assert with_feet(numbered(feet)) == folios


@pytest.mark.parametrize(
    ("feet", "folios"),
    [
        (["31", "32", "", "34", "35"], ["31", "32", "33", "34", "35"]),
        (["4-7", "", "4-9"], ["4-7", "4-8", "4-9"]),
        (["55-20-08", "", "55-20-10"], ["55-20-08", "55-20-09", "55-20-10"]),
    ],
)
def test_a_number_lost_between_two_others_is_counted(feet: list[str], folios: list[str]) -> None:
    """Between two numbers that differ by just the sheets between them, a scanned sheet bears the number
    of the count."""
    assert with_feet(numbered(feet)) == folios


@pytest.mark.parametrize(
    ("feet", "folios"),
    [
        (["31", "32", "", "37", "38"], ["31", "32", None, "37", "38"]),
        (["4-7", "4-8", "", "5-1", "5-2"], ["4-7", "4-8", None, "5-1", "5-2"]),
        (["", "31", "32", "33"], [None, "31", "32", "33"]),
        (["31", "32", "33", ""], ["31", "32", "33", None]),
    ],
)
def test_no_number_is_counted_over_a_break_or_past_an_end(feet: list[str], folios: list[str | None]) -> None:
    """Where pages may be missing, or beyond the last number, a sheet without a number gets none."""
    assert with_feet(numbered(feet)) == folios


def test_a_number_surely_read_is_not_overruled() -> None:
    """A number without likeness to the count's, read without doubt, leaves the sheet without a number."""
    assert with_feet(numbered(["31", "32", "70", "34", "35"], sure=0.99)) == ["31", "32", None, "34", "35"]


def test_a_blurred_number_is_no_line_of_a_step() -> None:
    """What OCR made of an unreadable page number goes with it, where the count tells the number."""
    pages = numbered(["31", "32", "&%", "34", "35"], sure=0.4)
    assert with_feet(pages) == ["31", "32", "33", "34", "35"]
    assert not any(line.text == "&%" for line in pages[2].lines)


def test_in_a_text_layer_nothing_is_counted() -> None:
    """What a printer left off a sheet of a text PDF was never there."""
    assert with_feet(numbered(["31", "32", "", "34"], scanned=False)) == ["31", "32", None, "34"]


def manual_of(board: Board) -> Manual:
    return read_manual(lay_out(by_ocr(read_pdf(board.pdf()))), "a.pdf").manual


STEPS = ("Lift the cover off its dowels.", "Draw the hub with a puller.", "Wash the hub in spirit.")


def steps_with(board: Board, between: str, x: float) -> None:
    """Three steps on each of two sheets, on the second with a line close under the second step."""
    for sheet in range(2):
        y = 100.0
        for n, text in enumerate(STEPS, 1):
            y = board.step(50, y, 400, f"{n}", text) + 6
            if sheet and n == 2:
                board.text(x, y - 4, between, 8)
                y += 10
        board.centre(810, str(31 + sheet), 8)
        board.sheet()


@pytest.mark.parametrize(
    "caption", ["Fig. 2A.6a", "Fig. 3", "FIG. C12", "Figure 4-2.", "Plate 7", "Fig. 2B.1"]
)
@pytest.mark.parametrize("x", [74.0, 420.0])
def test_a_figure_name_ends_no_step(caption: str, x: float) -> None:
    """A figure's number on a line of its own after a finished sentence belongs to no step, in whatever way
    the book numbers its figures."""
    board = Board()
    steps_with(board, caption, x)
    assert [i.text for i in manual_of(board).pages[1].items] == list(STEPS)


def test_a_figure_named_by_a_sentence_stays() -> None:
    """`as shown in` with the figure's number on the next line is one sentence."""
    board = Board()
    for sheet in range(2):
        y = board.step(50, 100, 400, "1", "Lift the cover off its dowels.")
        y = board.step(50, y, 400, "2", "Set the hub as shown in")
        board.text(72, y, "Fig. 2A.6a")
        board.step(50, y + 20, 400, "3", "Wash the hub in spirit.")
        board.centre(810, str(31 + sheet), 8)
        board.sheet()
    texts = [i.text for i in manual_of(board).pages[0].items]
    assert "Set the hub as shown in Fig. 2A.6a" in texts


def test_a_running_head_whose_size_and_dash_wander_is_taken_off() -> None:
    """OCR takes a running head a tenth larger here, smaller there, and loses its dash: it is still one."""
    board = Board()
    for sheet, size in enumerate((6.9, 7.1, 7.9, 6.9)):
        dash = ("–", "-", "", "-")[sheet]
        board.text(50, 36, "HX 12", size)
        board.text(380, 36, " ".join(f"Section 3B {dash} Feed pump".split()), size)
        y = 90.0
        for n in range(1, 8):
            y = board.step(50, y, 480, f"{n}", sentence(sheet * 20 + n))
        board.centre(810, f"3B-{sheet + 1}", 9)
        board.sheet()
    read = by_ocr(read_pdf(board.pdf()))
    assert len({outer_rows(page)[0].pattern for page in read}) == 1
    assert not any("Feed pump" in line.text for p in lay_out(read) for line in p.lines)


def test_a_title_above_a_new_count_ends_the_step() -> None:
    """A short line after a finished step and above a new step 1 is the next section's title on a scan,
    where its bold type is lost."""
    board = Board()
    for sheet in range(2):
        y = 100.0
        for n, text in enumerate(STEPS, 1):
            y = board.step(50, y, 400, f"{n}", text)
        board.text(74, y + 8, "Section 3B - Feed pump", 10)
        y += 30
        for n, text in enumerate(STEPS, 1):
            y = board.step(50, y, 400, f"{n}", text)
        board.centre(810, str(31 + sheet), 8)
        board.sheet()
    found = [i.text for p in manual_of(board).pages for i in p.items]
    assert found == [*STEPS, *STEPS] * 2


@pytest.mark.parametrize(
    ("read", "labels"),
    [
        (["51", "52", "531", "54"], ["51", "52", "53", "54"]),
        (["16V", "17", "18", "19"], ["16", "17", "18", "19"]),
        (["6", "7|", "8", "9"], ["6", "7", "8", "9"]),
    ],
)
def test_a_bar_or_tick_beside_a_step_number_is_no_part_of_it(read: list[str], labels: list[str]) -> None:
    """A change bar or a pencilled tick that OCR glued to a step's number goes where the steps around count
    on without it."""
    board = Board()
    y = 90.0
    for n, mark in enumerate(read):
        y = board.step(50, y, 400, mark, sentence(n)) + 6
    board.centre(810, "31", 8)
    board.sheet()
    pages = manual_of(board).pages
    assert [i.label for i in pages[0].items] == labels


@pytest.mark.parametrize("read", [["16", "16A", "17", "18"], ["5", "51", "52", "53"], ["7", "8", "91", "95"]])
def test_numbers_that_the_count_does_not_disprove_stay(read: list[str]) -> None:
    """A step put in later keeps its letter, and a number stays where its neighbours do not count past it."""
    board = Board()
    for n, mark in enumerate(read):
        board.step(50, 90 + 20 * n, 400, mark, "Lift the cover off its dowels.")
    board.sheet()
    page = steadied(by_ocr(read_pdf(board.pdf()))[0])
    assert [w.text for w in page.words if w.box.x0 < 60] == read


BOOK = [
    "Hold the input flange in soft jaws.",
    "Wash the input gear, then oil it.",
    "Tap the flange home and fit the cover.",
    "The set screw is a setscrew of the old kind; turn each setscrew and each set screw once.",
]


@pytest.mark.parametrize(
    ("read", "meant"),
    [
        ("Oil the inputflange.", "Oil the input flange."),
        ("Inputflange and hub", "Input flange and hub"),
        ("Turn the setscrew.", "Turn the setscrew."),  # the book writes it as one elsewhere
        ("Oil the inputcover.", "Oil the inputcover."),  # never side by side
        ("Fit AB-inputflange12.", "Fit AB-inputflange12."),
        ("Fit inputflange7.", "Fit inputflange7."),
    ],
)
def test_words_run_together_are_parted_by_the_book_itself(read: str, meant: str) -> None:
    """Two words are parted where the book has both side by side elsewhere and never as one; words with
    figures, part numbers among them, stay as read."""
    assert parting([*BOOK, read]).parted(read) == meant


def test_only_pages_read_by_ocr_have_words_parted() -> None:
    """A text layer says what the printer set; only what OCR read is parted."""
    texts = ["Hold the input flange.", "Wash the input flange.", "Oil the inputflange."]
    board = Board()
    for n, text in enumerate(texts, 1):
        board.step(50, 80 + 20 * n, 400, f"{n}.", text)
    board.centre(810, "31", 8)
    board.sheet()
    pages = read_pdf(board.pdf())
    texts = [read_manual(lay_out(p), "a.pdf").manual.pages[0].items[2].text for p in (by_ocr(pages), pages)]
    assert texts == ["Oil the input flange.", "Oil the inputflange."]
