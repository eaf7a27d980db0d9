"""Pages as OCR delivers them: scattered boxes, no weight, lost marks; and tables without their rules."""

import math
import random
from dataclasses import replace

import pytest
from benchleaf.graph.model import Box
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.shapes import Page, Word
from benchleaf.ingest.sheets.changebars import unbarred
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pdf import read_pdf
from benchleaf.ingest.sheets.steady import steadied
from benchleaf.ingest.sheets.stepgrid import is_head
from drawing_board import Board
from drawn_manuals import LOOKS, Look, draw


def scattered(pages: tuple[Page, ...], seed: int) -> tuple[Page, ...]:
    """Every box jittered by a point, lines slanting by 0.3°, sizes off by a tenth, no weight, no strokes."""
    dice = random.Random(seed)
    return tuple(
        replace(
            page,
            words=tuple(_scattered(w, page, dice) for w in page.words),
            strokes=(),
            frames=(),
            curves=(),
            tables=(),
            by_ocr=True,
        )
        for page in pages
    )


def _scattered(word: Word, page: Page, dice: random.Random) -> Word:
    slant = math.radians(0.3)
    down = slant * ((word.box.x0 + word.box.x1) / 2 - page.width / 2)
    x0, top, x1, bottom = (v + dice.uniform(-1, 1) for v in word.box)
    box = Box(x0, top + down, x1, bottom + down)
    return word._replace(box=box, size=word.size * dice.uniform(0.9, 1.1), bold=False, confidence=0.95)


PLAIN = [look for look in LOOKS if look.figure == "none" and look.table == "none"]


def test_steps_read_by_ocr_come_back() -> None:
    """Of drawn manuals whose boxes, sizes and slant are scattered as recognition scatters them, at least 97
    steps of 100 come back word for word under their number and page, and no manual falls below 90."""
    shares = {look.name: _read_back(look) for look in PLAIN}
    right, wanted = (sum(s[i] for s in shares.values()) for i in (0, 1))
    assert right >= 0.97 * wanted
    assert all(r >= 0.9 * w for r, w in shares.values()), shares


def _read_back(look: Look) -> tuple[int, int]:
    drawn = draw(look)
    manual = read_manual(lay_out(scattered(read_pdf(drawn.data), 7)), "scan.pdf").manual
    have = {(p.page, i.label, " ".join(i.text.split())) for p in manual.pages for i in p.items}
    right = sum((folio, label, text) in have for (folio, label, _), text in drawn.items.items())
    return right, len(drawn.items)


def test_a_page_with_a_text_layer_is_left_alone() -> None:
    """Only what OCR read is set even."""
    board = Board()
    board.text(50, 100, "Remove the cover.")
    board.sheet()
    page = read_pdf(board.pdf())[0]
    assert steadied(page) is page


def test_words_of_a_line_come_onto_one_baseline() -> None:
    """After steadying, the words of a line share top, bottom and size, and no word is lost or changed."""
    board = Board()
    for n in range(8):
        board.text(50, 100 + 14 * n, f"{n + 1}. Remove the cover and lay it on a clean bench.")
    board.sheet()
    page = scattered(read_pdf(board.pdf()), 3)[0]
    made = steadied(page)
    assert sorted(w.text for w in made.words) == sorted(w.text for w in page.words)
    assert len({round(w.box.top, 2) for w in made.words}) == 8
    assert len({w.size for w in made.words}) == 1


def test_numbers_that_ocr_misread_keep_their_steps() -> None:
    """`l.`, `S.` and `I0.` at the margin of a counted list are 1, 5 and 10, where OCR read the page; in a
    text layer the same letters are letters."""
    board = Board()
    board.text(50, 70, "Removal")
    marks = ["l.", "2.", "3.", "4,", "S.", "6.", "7.", "8.", "9.", "I0."]
    for n, mark in enumerate(marks):
        board.step(50, 100 + 18 * n, 400, mark, "Lift the cover off its dowels.")
    board.centre(800, "31")
    board.sheet()
    pages = read_pdf(board.pdf())
    by_ocr = read_manual(lay_out(tuple(replace(p, by_ocr=True) for p in pages)), "a.pdf").manual
    assert [i.label for p in by_ocr.pages for i in p.items] == [str(n) for n in range(1, 11)]
    by_text = read_manual(lay_out(pages), "a.pdf").manual
    assert "10" not in [i.label for p in by_text.pages for i in p.items]


def test_a_step_table_needs_no_rules() -> None:
    """`Step | Operation | Value` set without rules: each step has its operation and then its value."""
    board = Board()
    rows = [
        ("Step", "Operation", "Value"),
        ("1", "Tighten the cap screws evenly.", "62 Nm"),
        ("2", "Measure the end float at three places.", "0.15 to 0.30 mm"),
        ("3", "Fit the cover.", ""),
    ]
    board.table(50, 100, [50, 300, 120], rows, ruled=False)
    board.centre(800, "14")
    board.sheet()
    items = read_manual(lay_out(read_pdf(board.pdf())), "a.pdf").manual.pages[0].items
    assert [(i.label, i.text) for i in items] == [
        ("1", "Tighten the cap screws evenly. 62 Nm"),
        ("2", "Measure the end float at three places. 0.15 to 0.30 mm"),
        ("3", "Fit the cover."),
    ]


@pytest.mark.parametrize(
    ("names", "steps"),
    [
        (("Step", "Operation", "Value"), True),
        (("Op. No.", "Description of operation", "Tool", "Torque"), True),
        (("Item", "Part No.", "Description", "Qty"), False),
        (("Step",), False),
        (("Size", "Operation"), False),
    ],
)
def test_a_step_table_is_known_by_its_head(names: tuple[str, ...], steps: bool) -> None:
    """The first column numbers, a later one names work, and none names parts."""
    assert is_head(names) is steps


def test_bars_beside_changed_lines_are_no_words() -> None:
    """A bar typed in the margin is taken off; a table typed with bars keeps them."""
    board = Board()
    for n in range(5):
        board.text(50, 100 + 14 * n, "Lift the cover off its dowels.")
    board.text(520, 114, "|")
    board.sheet()
    assert "|" not in [w.text for w in unbarred(read_pdf(board.pdf())[0]).words]
    table = Board()
    for n in range(5):
        table.text(50, 100 + 14 * n, "| 4-118 | 4-119 |")
    table.sheet()
    assert [w.text for w in unbarred(read_pdf(table.pdf())[0]).words].count("|") == 15
