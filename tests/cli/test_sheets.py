"""Sheets: self-contained, stamped, safe against hostile words; golden files of what stands on them."""

import datetime as dt
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
from benchleaf.cli.sheets.weekview import week_view
from benchleaf.graph.page import page_answer
from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer
from benchleaf.graph.store import Store
from benchleaf.graph.week import week_answer

GOLDEN = Path(__file__).parent / "golden"
DAY = dt.date(2026, 11, 25)


def page_sheet(folder: Path) -> str:
    with Store.open(folder) as store:
        answer = page_answer(store, "VM-30", "4-12")
        return sheet("page.html", stamp=stamp(store, answer.notes, DAY), page=page_view(store, answer))


def procedure_sheet(folder: Path) -> str:
    with Store.open(folder) as store:
        asked = ProcedureQuestion(page="4-12", model="VR 30", serial="5300", on=DAY)
        answer = procedure_answer(store, asked)
        view = procedure_view(store, answer)
        return sheet("procedure.html", stamp=stamp(store, (), DAY), procedure=view)


def week_sheet(folder: Path) -> str:
    with Store.open(folder) as store:
        view = week_view(store, week_answer(store, "2026-W48", None, DAY))
        return sheet("week.html", stamp=stamp(store, (), DAY), week=view)


SHEETS = {"page": page_sheet, "procedure": procedure_sheet, "week": week_sheet}


def body(page: str) -> str:
    """A sheet's markup without its style, a line for each tag that starts one."""
    bare = re.sub(r"<style>.*?</style>", "<style></style>", page, flags=re.DOTALL)
    return re.sub(r"\n\s*\n+", "\n", re.sub(r"[ \t]+", " ", bare)).strip() + "\n"


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_sheets_are_as_they_were(name: str, held: Path) -> None:
    """What stands on a sheet, and its markup, is what the golden file shows; write it anew with
    BENCHLEAF_GOLDEN=write."""
    made, golden = body(SHEETS[name](held)), GOLDEN / f"sheet_{name}.html"
    if os.environ.get("BENCHLEAF_GOLDEN") == "write":
        golden.write_text(made, encoding="utf-8")
    assert made == golden.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_a_sheet_asks_for_nothing_and_bears_its_stamp(name: str, held: Path) -> None:
    """No sheet loads anything; each says when it was made, from what, and to check for newer notes."""
    page = SHEETS[name](held)
    assert not re.search(r"(?:src|href)=\"(?!data:|#)|url\(|<script|<link", page)
    assert CHECK in page and "Made on 2026-11-25" in page and "held; the newest came on" in page


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
    """Every step of a procedure has a line for what was measured and one for initials."""
    page = procedure_sheet(held)
    steps = page.count('class="number">')
    assert steps >= 6 and page.count(">initials<") >= steps - 1


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
