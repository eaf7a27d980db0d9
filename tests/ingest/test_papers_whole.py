"""A bulletin says the same in every kind of paper: read the whole way, its statements are equal."""

from collections.abc import Callable
from typing import Any

import pytest
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.kind import kind_of
from benchleaf.ingest.papers.mail import read_mail
from benchleaf.ingest.papers.web import read_html
from benchleaf.ingest.papers.word import read_word
from benchleaf.ingest.papers.workbook import read_workbook
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.text import read_text
from papers_made import header, mail, replaced, told, word, workbook, xml

TITLE = "SERVICE BULLETIN 14/2003"
FIELDS = (("Date:", "3 May 2003"), ("Subject:", "Clutch pack"), ("Models:", "K 40, K 41"))
ITEM = "Item 5 on page 31 of workshop manual 4471-88 is replaced by the following:"
STEPS = ("Fit the piston with new seals.", "Fit six friction discs.")
VALUES = "On page 33, item 9 of workshop manual 4471-88 these values change:"
WAS_NOW = (("Was", "Now"), ("2.0 mm", "2.4 mm"))
KIT = "Kit 44712-10 contains:"
PARTS = (
    ("Part no.", "Description", "Qty"),
    ("447155-5", "Friction disc", "6"),
    ("447155-6", "Steel disc", "5"),
)
CHANGE = "Part 447101-1 is superseded by 447101-2."


def typed_table(rows: tuple[tuple[str, ...], ...]) -> str:
    lines = ["".join(cell.ljust(18) for cell in row).rstrip() for row in rows]
    return "\n".join(
        [lines[0], "-" * 16 + "  " + "-" * 16 + ("  " + "-" * 6) * (len(rows[0]) - 2), *lines[1:]]
    )


def as_text() -> str:
    fields = "\n".join(f"{name} {value}" for name, value in FIELDS)
    steps = "\n\n".join(f"{i}. {step}" for i, step in enumerate(STEPS, 1))
    parts = (
        TITLE + "\n" + fields,
        ITEM,
        steps,
        VALUES,
        typed_table(WAS_NOW),
        KIT,
        typed_table(PARTS),
        CHANGE,
    )
    return "\n\n".join(parts) + "\n"


def as_page() -> str:
    def table(rows: tuple[tuple[str, ...], ...]) -> str:
        return (
            "<table>" + "".join(f"<tr>{''.join(f'<td>{c}</td>' for c in r)}</tr>" for r in rows) + "</table>"
        )

    fields = "".join(f"<p>{name} {value}</p>" for name, value in FIELDS)
    steps = "".join(f"<li>{step}</li>" for step in STEPS)
    return (
        f"<html><body><h1>{TITLE}</h1>{fields}<p>{ITEM}</p><ol>{steps}</ol><p>{VALUES}</p>{table(WAS_NOW)}"
        f"<p>{KIT}</p>{table(PARTS)}<p>{CHANGE}</p></body></html>"
    )


def fill_word(document: Any) -> None:
    def table(rows: tuple[tuple[str, ...], ...]) -> None:
        made = document.add_table(len(rows), len(rows[0]))
        for i, row in enumerate(rows):
            for j, text in enumerate(row):
                made.cell(i, j).text = text

    document.add_heading(TITLE, 1)
    for name, value in FIELDS:
        document.add_paragraph(f"{name}\t{value}")
    document.add_paragraph(ITEM)
    for step in STEPS:
        document.add_paragraph(step, style="List Number")
    document.add_paragraph(VALUES)
    table(WAS_NOW)
    document.add_paragraph(KIT)
    table(PARTS)
    document.add_paragraph(CHANGE)


def fill_workbook(book: Any) -> None:
    steps = [(f"{i}. {step}",) for i, step in enumerate(STEPS, 1)]
    for row in (
        (TITLE,),
        *FIELDS,
        (),
        (ITEM,),
        *steps,
        (VALUES,),
        *WAS_NOW,
        (),
        (KIT,),
        *PARTS,
        (),
        (CHANGE,),
    ):
        book.active.append(list(row))


def mailed(text: str, subtype: str = "plain") -> tuple[Page, ...]:
    message = mail("Please see below")
    message.set_content(text, subtype=subtype)
    return read_mail(message.as_bytes()).pages


KINDS: dict[str, Callable[[], tuple[Page, ...]]] = {
    "web page": lambda: read_html(as_page().encode()),
    "Word file": lambda: read_word(word(fill_word)),
    "workbook": lambda: read_workbook(workbook(fill_workbook)),
    "mail": lambda: mailed(as_text()),
    "mail with a page": lambda: mailed(as_page(), "html"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_bulletin_says_the_same_in_every_kind_of_paper(kind: str) -> None:
    """Number, date, subject, models and every statement are those of the same words in plain text."""
    plain, pages = read_text(as_text().encode()), KINDS[kind]()
    mine, its = header(pages), header(plain)
    assert (mine.number, mine.date, mine.subject) == (its.number, its.date, its.subject)
    assert its.number == "14/2003" and its.applies.models == ("K 40", "K 41")
    assert mine.applies.models == its.applies.models
    assert told(pages) == told(plain)
    assert {one[0] for one in told(plain)} >= {"Override", "Contents", "Supersession"}


def fill_manual(document: Any) -> None:
    foot = document.sections[0].footer.paragraphs[0]
    foot._p.append(xml('<w:fldSimple w:instr=" PAGE "><w:r><w:t>9</w:t></w:r></w:fldSimple>'))
    document.sections[0]._sectPr.append(xml('<w:pgNumType w:start="31"/>'))
    document.add_heading("WORKSHOP MANUAL", 0)
    document.sections[0].header.paragraphs[0].text = "Publication No. 4471-88"
    for at, heading in enumerate(("Dismantling", "Assembling")):
        if at:
            document.add_page_break()
        document.add_heading(f"{at + 1} {heading}", 1)
        for step in (
            "Drain the oil.",
            "Remove the cover and its gasket.",
            "Lift the pack out.",
            "Fit new seals.",
        ):
            document.add_paragraph(step, style="List Number")


def test_a_manual_in_word_has_its_items_on_printed_pages() -> None:
    """Automatic numbers and page fields give the items and the pages that notes refer to."""
    data = replaced(word(fill_manual), "docProps/app.xml", lambda x: x.replace(b"<Pages>1<", b"<Pages>2<"))
    laid = lay_out(read_word(data))
    assert kind_of(laid) == "manual"
    manual = read_manual(laid, "manual.docx").manual
    assert manual.number == "4471-88"
    items = [(item.page, item.label) for page in manual.pages for item in page.items]
    assert items == [("31", str(n)) for n in range(1, 5)] + [("32", str(n)) for n in range(5, 9)]
