"""Sheets: self-contained, stamped, safe against hostile words; golden files of what stands on them."""

import os
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.cli.sheets.files import file_name
from benchleaf.cli.sheets.pageview import page_view
from benchleaf.cli.sheets.pdf import BROWSERS, NoPrinter, print_pdf
from benchleaf.cli.sheets.procedureview import procedure_view
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import CHECK, stamp
from benchleaf.graph.page import page_answer
from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer
from benchleaf.graph.store import Store
from drawn_sheets import DAY, SHEETS, body, drawn, note_with_photo, procedure_sheet, week_sheet

GOLDEN = Path(__file__).parent / "golden"


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_sheets_are_as_they_were(name: str, fresh: Path) -> None:
    """What stands on a sheet, and its markup, is what the golden file shows; write it anew with
    BENCHLEAF_GOLDEN=write."""
    made, golden = body(drawn(name, fresh)), GOLDEN / f"sheet_{name}.html"
    if os.environ.get("BENCHLEAF_GOLDEN") == "write":
        golden.write_text(made, encoding="utf-8")
    assert made == golden.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_a_sheet_asks_for_nothing_and_bears_its_stamp(name: str, fresh: Path) -> None:
    """No sheet loads anything; each says when it was made, from what, and to check for newer notes."""
    page = drawn(name, fresh)
    assert not re.search(r"(?:src|href)=\"(?!data:|#)|url\(|<script|<link", page)
    assert CHECK in page and "Made on 2026-11-25" in page and "held; the newest came on 2026-11-2" in page


def test_the_same_sheet_twice_is_the_same(held: Path) -> None:
    """Nothing in a sheet depends on the moment at which it was made."""
    assert week_sheet(held) == week_sheet(held) and procedure_sheet(held) == procedure_sheet(held)


def test_words_of_a_paper_never_become_markup(held: Path) -> None:
    """Markup, control and bidi signs in a step's words are shown as words or not at all."""
    hostile = '<script>alert(1)</script> & "\x1b[31m\u202egnp.exe'
    with Store.open(held) as store:
        answer = page_answer(store, "VM-30", "4-12")
        items = tuple(replace(i, text=hostile) for i in answer.items)
        page = sheet(
            "page.html",
            stamp=stamp(store, (hostile,), DAY),
            page=page_view(store, replace(answer, items=items, section=hostile)),
        )
    assert "<script" not in page and "&lt;script&gt;" in page
    assert "\x1b" not in page and "\u202e" not in page


def test_every_step_has_its_lines(held: Path) -> None:
    """Every step of a procedure has a line for what was measured and one for initials, but the deleted one:
    it says that it is deleted, and leaves nothing to fill."""
    steps = procedure_sheet(held).split('<li class="step')[1:]
    lined = [page.count(">measured<") + page.count(">initials<") for page in steps]
    deleted = ["Deleted: do not do this step." in page for page in steps]
    assert deleted == [False, False, False, False, True, False, False]
    assert lined == [0 if gone else 2 for gone in deleted]


def test_a_job_leaves_lines_for_what_is_still_to_measure(fresh: Path) -> None:
    """A value that fits is printed in its place; one out of range, or at a step that reads otherwise by now,
    leaves the lines empty for the next; a step that is deleted by now has none."""
    steps = drawn("job", fresh).split('<li class="step')[1:]
    found = {re.search(r'class="number">(\w+)<', s)[1]: s[s.index('class="done"') :] for s in steps}
    empty = {label for label, done in found.items() if '<span class="line">measured</span>' in done}
    assert empty == {"3", "6", "6a"}
    assert "31 N·m" in found["4"] and "initials" not in found["1"] + found["5"]
    assert "It is deleted by now" in steps[0]


def test_a_shop_note_is_told_as_the_shop_s_among_the_news(fresh: Path) -> None:
    """On the card of a job and in the week's report, the shop's own note is not taken for the maker's."""
    for name in ("job", "job_week"):
        assert "The shop's own note" not in (drawn(name, fresh) if name == "job" else SHEETS[name](fresh))
    note_with_photo(fresh)
    for name in ("job", "job_week"):
        told = SHEETS[name](fresh)
        assert re.search(r"SHOP-1 [^<]{1,300}<strong>The shop's own note, not the maker's", told)


def test_a_note_s_number_stays_whole_in_the_margin(held: Path) -> None:
    """A mark's words are broken into short lines, but never inside the number of a note."""
    with Store.open(held) as store:
        marks = page_view(store, page_answer(store, "VM-30", "4-12")).marks
    lines = [line for mark in marks for line in mark.lines]
    assert any(line.endswith("VB\u00a0101") or "VB\u00a0101 " in line for line in lines)
    assert not any(re.search(r"\bVB$", line) for line in lines)


def test_the_command_writes_a_file(run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`sheet page` writes one HTML file under a plain name and says where; --paper without --pdf is wrong
    use."""
    monkeypatch.chdir(tmp_path)
    assert run("sheet", "page", "vm30", "4.12").exit_code == 0
    assert (tmp_path / "page_VM-30_4-12.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert run("sheet", "page", "VM-30", "4-12", "--paper", "A4").exit_code == 2
    assert run("sheet", "page", "VM-30", "9-99").exit_code == 1
    assert run("sheet", "page", "VM-30", "4-12", "--out", "no/such/folder.html").exit_code == 2


def test_file_names_are_plain() -> None:
    """A number with slashes, blanks or dots in front stays one plain file name."""
    assert file_name("page ../OHM 5/12") == "page_.._OHM_5_12.html"
    assert file_name("…") == "sheet.html"


def test_without_a_browser_the_user_is_told_how_to_print(tmp_path: Path, monkeypatch) -> None:
    """Where no Chromium is found, the error says to print from any browser."""
    monkeypatch.setattr(shutil, "which", lambda name: None)
    with pytest.raises(NoPrinter) as raised:
        print_pdf(tmp_path / "a.html", tmp_path / "a.pdf")
    assert "any browser" in raised.value.remedy


@pytest.mark.skipif(not any(map(shutil.which, BROWSERS)), reason="no Chromium on this machine")
@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_every_printed_page_is_stamped(paper: str, size: tuple[int, int], held: Path, tmp_path: Path) -> None:
    """Printed on A4 or Letter, every page bears the words to check for newer notes."""
    import pypdfium2

    with Store.open(held) as store:
        answer = procedure_answer(store, ProcedureQuestion(page="4-12", model="VR 30", on=DAY))
        view = procedure_view(store, answer)
        many = replace(view, stretches=view.stretches * 4)
        page = sheet("procedure.html", paper=paper, stamp=stamp(store, (), DAY), procedure=many)
    written = tmp_path / "a.html"
    written.write_text(page, encoding="utf-8")
    document = pypdfium2.PdfDocument(print_pdf(written, tmp_path / "a.pdf"))
    try:
        assert len(document) > 1
        for leaf in document:
            assert [round(side) for side in leaf.get_size()] == pytest.approx(list(size), abs=1)
            assert "Check for newer notes" in leaf.get_textpage().get_text_range().replace("\r\n", " ")
    finally:
        document.close()
