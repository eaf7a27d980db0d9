"""What is and what is no running head, and the page numbers of short sheets."""

import pytest
from benchleaf.graph.model import ManualPage
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.shapes import LaidPage
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pdf import read_pdf
from benchleaf.ingest.sheets.text import read_text
from drawing_board import BOLD, Board, sentence

STEPS = "\n".join(f"{n}. {sentence(n, 9)}" for n in range(1, 6))


def manual_pages(laid: tuple[LaidPage, ...]) -> tuple[ManualPage, ...]:
    return read_manual(laid, "x").manual.pages


@pytest.mark.parametrize("head", [None, (40, 8), (56, 8), (40, 10)])
@pytest.mark.parametrize("gap", [0, 20])
def test_pages_that_begin_with_the_same_step_keep_it(head: tuple[int, float] | None, gap: int) -> None:
    """A numbered step that returns at the same height is no running head; the real head above it is."""
    board = Board()
    for number in range(3):
        if head:
            board.text(50, head[0], "PUB 123 Clutches", head[1])
        y = board.step(50, 80, 480, "1.", "Clean the parts.") + gap
        for n in range(2, 6):
            y = board.step(50, y, 480, f"{n}.", sentence(10 * number + n, 20))
        board.centre(800, f"4-{number + 1}", 9)
        board.sheet()
    laid = lay_out(read_pdf(board.pdf()))
    assert [[line.text for line in p.heads] for p in laid] == [["PUB 123 Clutches"] if head else []] * 3
    for page in manual_pages(laid):
        assert [i.label for i in page.items] == ["1", "2", "3", "4", "5"]
        assert page.items[0].text == "Clean the parts."


@pytest.mark.parametrize("label", ["1.", "(1)", "1)", "A.", "Step 1", "1"])
def test_no_numbered_line_that_ends_as_a_sentence_is_a_running_head(label: str) -> None:
    """Whatever its style of number, a step stays in the body of each sheet."""
    board = Board()
    for number in range(3):
        y = board.step(50, 60, 480, label, "Clean the parts.", hang=40) + 15
        board.prose(50, y, 480, sentence(number, 80))
        board.sheet()
    laid = lay_out(read_pdf(board.pdf()))
    assert all(p.heads == () and p.lines[0].text.endswith("Clean the parts.") for p in laid)


def test_a_chapters_number_and_name_under_a_rule_is_a_running_head() -> None:
    """A head that a rule parts from the body may be numbered."""
    board = Board()
    for number in range(4):
        board.text(50, 50, "4 Clutches", 9)
        board.rule(50, 55, 545, 55)
        board.prose(50, 90, 480, sentence(number, 120))
        board.sheet()
    laid = lay_out(read_pdf(board.pdf()))
    assert [[line.text for line in p.heads] for p in laid] == [["4 Clutches"]] * 4


@pytest.mark.parametrize("place", [None, 780])
def test_a_one_page_extract_has_its_page_number(place: float | None) -> None:
    """A lone number with its chapter at the foot of one sheet, or under its last step, is the page number."""
    board = Board()
    board.text(50, 60, "Fitting the pack", 12, BOLD)
    y = 90.0
    for n in range(3, 8):
        y = board.step(50, y, 480, f"{n}.", sentence(n, 20))
    board.text(500, place or y + 20, "4-2")
    (page,) = manual_pages(lay_out(read_pdf(board.pdf())))
    assert page.page == "4-2"
    assert page.items[-1].text == sentence(7, 20)


def test_a_lone_part_number_under_a_note_is_no_page_number() -> None:
    """Without steps above it, a number set apart at the end of a short sheet stays text."""
    (page,) = lay_out(read_text(b"SERVICE LETTER 7\n\nThe number of the disc is now\n\n        11-20\n"))
    assert page.folio is None and page.lines[-1].text == "11-20"


@pytest.mark.parametrize("form", ["4-{}", "{}", "- {} -", "Page {}", "                      4-{}"])
@pytest.mark.parametrize("blank", ["\n", ""])
def test_form_feeds_with_a_lone_number_as_last_line(form: str, blank: str) -> None:
    """Text sheets of any length have the number of their last line as page number; no step takes it."""
    steps = [STEPS, f"{STEPS}\n{STEPS}", "1. Lift the cover.\n2. Drain the oil."]
    names = ["Clutch", "Pump", "Cover"]
    sheets = [
        f"{name}\n\n{s}\n{blank}{form.format(n)}\n"
        for n, name, s in zip((11, 12, 13), names, steps, strict=True)
    ]
    laid = lay_out(read_text("\f".join(sheets).encode()))
    assert [p.folio for p in laid] == [form.format(n).strip("- Page") for n in (11, 12, 13)]
    assert manual_pages(laid)[-1].items[-1].text == "Drain the oil."
