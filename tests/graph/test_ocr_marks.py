"""What OCR read says so wherever it is answered with."""

import io
from dataclasses import replace

from benchleaf.cli.screen import Screen
from benchleaf.graph.kits.kit import kit_answer
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.model import Manual, Source
from benchleaf.graph.page import page_answer
from benchleaf.graph.part import part_answer
from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer
from benchleaf.graph.week import week_answer
from fake_shelf import FakeShelf, became, contains, day, lines, manual, note, override
from rich.console import Console

SCAN = Source("scan.pdf", 1, by_ocr=True)


def scanned(book: Manual) -> Manual:
    """The manual as if OCR had read its second step and was not sure of the value."""
    page = book.pages[0]
    items = tuple(replace(i, by_ocr=True, unsure=("90",)) if i.label == "2" else i for i in page.items)
    return replace(book, pages=(replace(page, items=items),))


BOOK = scanned(manual({"4-12": [("1", "Fit the key."), ("2", "Tighten to 90 Nm.")]}))


def text_of(show, *answers) -> str:
    held = io.StringIO()
    show(Screen(Console(file=held, width=100, force_terminal=False)), *answers)
    return held.getvalue()


def test_a_page_tells_which_steps_a_machine_read() -> None:
    """The step, its unsure numbers and a warning for the page are told, to people too."""
    from benchleaf.cli.show_page import show_page

    page = page_answer(FakeShelf([BOOK]), "RX 40", "4-12")
    assert [(i.by_ocr, i.unsure) for i in page.items] == [(False, ()), (True, ("90",))]
    assert any("read by OCR" in w and "step 2" in w for w in page.warnings)
    assert "READ BY OCR, not sure of 90: compare with the paper" in text_of(show_page, page)


def test_a_note_read_by_ocr_marks_the_step_that_it_changes() -> None:
    """New words that a machine read from a picture are no surer than old ones."""
    from benchleaf.cli.show_page import show_page

    told = override("replace", "1", text="Fit two keys.", source=SCAN)
    shelf = FakeShelf([BOOK], [note("N 1", "2001-01-01", told)])
    page = page_answer(shelf, "RX 40", "4-12")
    assert "N 1 (2001-01-01) replaces the step (read by OCR)" in text_of(show_page, page)
    steps = procedure_answer(shelf, ProcedureQuestion("RX 40", "4-12", model="K7")).steps
    assert [(s.by_ocr, s.unsure) for s in steps] == [(True, ()), (True, ("90",))]


def test_a_procedure_of_a_text_layer_bears_no_mark() -> None:
    """Steps from a text layer are not marked."""
    shelf = FakeShelf([manual({"4-12": [("1", "Fit the key.")]})])
    steps = procedure_answer(shelf, ProcedureQuestion("RX 40", "4-12", model="K7")).steps
    assert not steps[0].by_ocr


def test_parts_kits_and_the_week_tell_it() -> None:
    """A number, a kit's contents and the week's lines say that OCR read them."""
    from benchleaf.cli.show_part import show_part
    from benchleaf.cli.show_week import show_week

    kit = contains("K 20", lines(friction_disc=5, steel_disc=6), source=SCAN)
    shelf = FakeShelf([BOOK], [note("N 1", "2001-01-01", became("K 10", "K 20", source=SCAN), kit)])
    part = part_answer(shelf, "K 10")
    assert part.path[0].by_ocr and "read by OCR" in text_of(show_part, part)
    answer = kit_answer(shelf, "K 20", parse_got("5 friction disc, 6 steel disc"))
    assert any("read by OCR (N 1)" in reason for reason in answer.reasons)
    shelf = FakeShelf([BOOK], [note("N 1", "2001-01-01", kit, received="2026-11-24")])
    week = week_answer(shelf, None, day("2026-11-23"), day("2026-11-25"))
    assert week.kits[0].by_ocr and "(read by OCR)" in text_of(show_week, week)
