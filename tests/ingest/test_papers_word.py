"""Word files: the text as Word shows it with all changes accepted, its numbers, heads, tables and sheets."""

import base64
import io
import sys
from typing import Any

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.counting import letters, repeated, roman
from benchleaf.ingest.papers.findings import paper_findings
from benchleaf.ingest.papers.word import read_word
from benchleaf.ingest.sheets.layout import lay_out
from docx.shared import Pt
from papers_made import header, replaced, texts, word, xml

PNG = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)
NUMBERING = """<w:abstractNum w:abstractNumId="77">
 <w:lvl w:ilvl="0"><w:start w:val="3"/><w:numFmt w:val="decimal"/><w:lvlText w:val="%1."/></w:lvl>
 <w:lvl w:ilvl="1"><w:start w:val="1"/><w:numFmt w:val="lowerLetter"/><w:lvlText w:val="%2)"/></w:lvl>
 <w:lvl w:ilvl="2"><w:start w:val="1"/><w:numFmt w:val="upperRoman"/><w:lvlText w:val="%1.%3"/>
  <w:isLgl/></w:lvl>
</w:abstractNum>"""


def listed(document: Any, *steps: tuple[int, int, str], starts: dict[int, int] | None = None) -> None:
    """Paragraphs in lists of one definition: (list, level, text). `starts` begin a list anew."""
    root = document.part.numbering_part.element
    root.insert(0, xml(NUMBERING))
    for which in sorted({s[0] for s in steps}):
        start = (starts or {}).get(which)
        own = f'<w:lvlOverride w:ilvl="0"><w:startOverride w:val="{start}"/></w:lvlOverride>' if start else ""
        root.append(xml(f'<w:num w:numId="{which}"><w:abstractNumId w:val="77"/>{own}</w:num>'))
    for which, level, text in steps:
        paragraph = document.add_paragraph(text)
        numbered = f'<w:numPr><w:ilvl w:val="{level}"/><w:numId w:val="{which}"/></w:numPr>'
        paragraph._p.get_or_add_pPr().append(xml(numbered))


def test_automatic_numbers_on_several_levels() -> None:
    """Levels count, start and restart as ISO/IEC 29500-1, clause 17.9, says."""
    steps = (
        (90, 0, "Drain it."),
        (90, 1, "Open it."),
        (90, 1, "Wait."),
        (90, 0, "Fill it."),
        (90, 1, "Close it."),
    )
    assert texts(read_word(word(lambda d: listed(d, *steps)))) == [
        "3. Drain it.",
        "a) Open it.",
        "b) Wait.",
        "4. Fill it.",
        "a) Close it.",
    ]


def test_a_level_may_show_the_numbers_above_it() -> None:
    """`%1.%3` shows the first level's number too; isLgl makes all of them plain figures."""
    data = word(lambda d: listed(d, (90, 0, "Pack."), (90, 2, "Discs."), (90, 2, "Rings.")))
    assert texts(read_word(data)) == ["3. Pack.", "3.1 Discs.", "3.2 Rings."]


def test_lists_of_one_definition_go_on_unless_begun_anew() -> None:
    """Two lists of one definition count on; a start override begins anew."""
    steps = ((90, 0, "One."), (91, 0, "Two."), (92, 0, "New."), (92, 0, "Next."))
    assert texts(read_word(word(lambda d: listed(d, *steps, starts={92: 8})))) == [
        "3. One.",
        "4. Two.",
        "8. New.",
        "9. Next.",
    ]


def test_numbers_of_a_style() -> None:
    """A style may number its paragraphs; a bullet stays a bullet."""

    def build(document: Any) -> None:
        for text, style in (("Fit it.", "List Number"), ("Turn it.", "List Number"), ("seal", "List Bullet")):
            document.add_paragraph(text, style=style)

    assert texts(read_word(word(build))) == ["1. Fit it.", "2. Turn it.", "• seal"]


def test_counting() -> None:
    """Word doubles letters after z (ISO/IEC 29500-1, lowerLetter), web pages go on with aa, ab."""
    assert [repeated(n) for n in (1, 26, 27, 28)] == ["a", "z", "aa", "bb"]
    assert [letters(n) for n in (1, 26, 27, 28)] == ["a", "z", "aa", "ab"]
    assert [roman(n) for n in (4, 9, 40, 1999)] == ["iv", "ix", "xl", "mcmxcix"]


def changed(document: Any) -> None:
    paragraph = document.add_paragraph("Fit ")
    paragraph._p.append(xml('<w:del w:id="1"><w:r><w:delText>four</w:delText></w:r></w:del>'))
    paragraph._p.append(xml('<w:ins w:id="2"><w:r><w:t>six</w:t></w:r></w:ins>'))
    paragraph.add_run(" discs.")


def test_tracked_changes_are_taken_as_accepted() -> None:
    """Insertions are in, deletions out, and a finding says so with the words."""
    data = word(changed)
    assert texts(read_word(data)) == ["Fit six discs."]
    (found,) = paper_findings(data, "a.docx")
    assert "tracked changes" in found.message and found.quote == "out: four; in: six"


def test_a_deleted_paragraph_mark_joins_two_paragraphs() -> None:
    """Where the end of a paragraph is deleted, it goes on with the next one and has no number of its own."""

    def build(document: Any) -> None:
        first = document.add_paragraph("Fit six", style="List Number")
        first._p.get_or_add_pPr().append(xml('<w:rPr><w:del w:id="1"/></w:rPr>'))
        document.add_paragraph(" discs.", style="List Number")
        document.add_paragraph("Close it.", style="List Number")

    assert texts(read_word(word(build))) == ["1. Fit six discs.", "2. Close it."]


def test_struck_out_and_hidden_text_is_left_out_and_told() -> None:
    """Neither is in force; a struck-out step still counts, as Word shows its number."""

    def build(document: Any) -> None:
        document.add_paragraph("Drain it.", style="List Number")
        document.add_paragraph(style="List Number").add_run("Skip it.").font.strike = True
        last = document.add_paragraph("Fill it.", style="List Number")
        last.add_run(" Secret.").font.hidden = True

    data = word(build)
    assert texts(read_word(data)) == ["1. Drain it.", "3. Fill it."]
    assert {(f.message, f.quote) for f in paper_findings(data, "a.docx")} == {
        ("struck-out text is left out, as not in force", "Skip it."),
        ("hidden text is left out", "Secret."),
    }


def test_heads_and_feet_come_out_on_every_sheet() -> None:
    """The bulletin's number often stands only in the head (common practice, no source)."""

    def build(document: Any) -> None:
        document.sections[0].header.paragraphs[0].text = "Service Bulletin 14/2003\tDate: 3 May 2003"
        document.add_paragraph("Fit six discs.")
        document.add_page_break()
        document.add_paragraph("Close it.")

    pages = read_word(word(build))
    assert len(pages) == 2
    assert all(p.words[0].text == "Service" for p in pages)
    assert header(pages).number == "14/2003" and str(header(pages).date) == "2003-05-03"


def numbered_sheets(document: Any, first: int) -> None:
    foot = document.sections[0].footer.paragraphs[0]
    foot._p.append(xml('<w:fldSimple w:instr=" PAGE "><w:r><w:t>9</w:t></w:r></w:fldSimple>'))
    document.sections[0]._sectPr.append(xml(f'<w:pgNumType w:start="{first}"/>'))
    for text in ("Drain the unit.", "Open the cover.", "Lift the pack out."):
        if document.paragraphs:
            document.add_page_break()
        document.add_paragraph(text)


def test_page_numbers_where_they_are_sure() -> None:
    """Page fields show the sheet's number from the section's start, if the file says it has so many pages."""
    data = word(lambda d: numbered_sheets(d, 31))
    sure = replaced(data, "docProps/app.xml", lambda x: x.replace(b"<Pages>1<", b"<Pages>3<"))
    assert [p.folio for p in lay_out(read_word(sure))] == ["31", "32", "33"]


def test_page_numbers_that_are_not_sure_are_left_out() -> None:
    """A page number that may be wrong would bind a note to a wrong page: it is left out and told."""
    data = word(lambda d: numbered_sheets(d, 31))
    assert [p.folio for p in lay_out(read_word(data))] == [None, None, None]
    assert any("page numbers are left out" in f.message for f in paper_findings(data, "a.docx"))


def test_sheets_break_where_word_last_broke_them() -> None:
    """A paragraph that runs over a break stays whole on the sheet where it begins."""

    def build(document: Any) -> None:
        paragraph = document.add_paragraph("Fit the disc ")
        paragraph._p.append(xml("<w:r><w:lastRenderedPageBreak/><w:t>and the ring.</w:t></w:r>"))
        document.add_paragraph("Close it.")

    assert [texts([p]) for p in read_word(word(build))] == [["Fit the disc and the ring."], ["Close it."]]


def test_tables_with_merged_cells() -> None:
    """A merged cell has its text in its first place, like the cells of drawn tables."""

    def build(document: Any) -> None:
        table = document.add_table(3, 3)
        for at, text in enumerate(("Part no.", "Name", "Qty", "44-100", "disc", "6", "", "ring", "2")):
            table.cell(at // 3, at % 3).text = text
        table.cell(1, 0).merge(table.cell(2, 0))

    assert texts(read_word(word(build))) == [
        [["Part no.", "Name", "Qty"], ["44-100", "disc", "6"], ["", "ring", "2"]]
    ]


def test_a_deleted_row_is_left_out() -> None:
    """A table row deleted as a tracked change is gone once accepted."""

    def build(document: Any) -> None:
        table = document.add_table(3, 2)
        for at, text in enumerate(("Part no.", "Qty", "44-100", "6", "44-101", "5")):
            table.cell(at // 2, at % 2).text = text
        table.rows[1]._tr.get_or_add_trPr().append(xml('<w:del w:id="5"/>'))

    assert texts(read_word(word(build))) == [[["Part no.", "Qty"], ["44-101", "5"]]]


def test_text_boxes_are_read_once() -> None:
    """A text box is kept twice in the file, for old programs too, and read once."""
    box = "<w:txbxContent><w:p><w:r><w:t>CAUTION: hot oil.</w:t></w:r></w:p></w:txbxContent>"
    mc = 'xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006"'

    def build(document: Any) -> None:
        paragraph = document.add_paragraph("Drain it.")
        inner = f"<mc:Choice Requires='wps'><w:drawing>{box}</w:drawing></mc:Choice>"
        inner += f"<mc:Fallback><w:pict>{box}</w:pict></mc:Fallback>"
        paragraph._p.append(xml(f"<w:r {mc}><mc:AlternateContent>{inner}</mc:AlternateContent></w:r>"))

    pages = read_word(word(build))
    assert texts(pages) == ["Drain it.", "CAUTION: hot oil."]
    assert len(pages[0].frames) == 1


def test_breaks_hyphens_and_tabs() -> None:
    """A hyphen that never breaks is a hyphen, a soft one nothing; a tab parts a label from its value."""

    def build(document: Any) -> None:
        document.add_paragraph()._p.append(
            xml("<w:r><w:t>T</w:t><w:noBreakHyphen/><w:t>458 fric</w:t><w:softHyphen/><w:t>tion</w:t></w:r>")
        )
        document.add_paragraph("Subject:\tClutch pack")

    assert texts(read_word(word(build))) == ["T-458 friction", "Subject: Clutch pack"]


def test_fields_show_their_result() -> None:
    """A field's instruction is no text."""
    parts = (
        '<w:r><w:fldChar w:fldCharType="begin"/></w:r>',
        "<w:r><w:instrText> REF item </w:instrText></w:r>",
        '<w:r><w:fldChar w:fldCharType="separate"/></w:r>',
        "<w:r><w:t>item 5</w:t></w:r>",
        '<w:r><w:fldChar w:fldCharType="end"/></w:r>',
    )

    def build(document: Any) -> None:
        paragraph = document.add_paragraph("See ")
        for part in parts:
            paragraph._p.append(xml(part))

    assert texts(read_word(word(build))) == ["See item 5"]


def test_signs_of_the_symbol_font() -> None:
    """The Symbol font's letters are named where known; one that is not shows as without meaning."""

    def build(document: Any) -> None:
        for code in ("F0B1", "F0B0", "F07E"):
            document.add_paragraph("2")._p.append(xml(f'<w:r><w:sym w:font="Symbol" w:char="{code}"/></w:r>'))

    assert texts(read_word(word(build))) == ["2±", "2°", "2\ufffd"]


def test_a_damaged_file_is_refused() -> None:
    """A torn zip and broken XML are refused with a remedy."""
    data = word(lambda d: d.add_paragraph("a"))
    for bad in (data[: len(data) // 2], replaced(data, "word/document.xml", lambda x: x[:200])):
        with pytest.raises(RefusedFile) as refused:
            read_word(bad)
        assert refused.value.remedy


def test_a_missing_library_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without python-docx the refusal names the command that adds it."""
    data = word(lambda d: d.add_paragraph("a"))
    monkeypatch.setitem(sys.modules, "docx", None)
    with pytest.raises(RefusedFile) as refused:
        read_word(data)
    assert "pip install 'benchleaf[office]'" in refused.value.remedy


def test_pictures_and_comments_are_told() -> None:
    """A picture may hold words that nobody reads; a comment in the margin is no word of the paper."""

    def build(document: Any) -> None:
        paragraph = document.add_paragraph("See the picture.")
        document.add_picture(io.BytesIO(PNG), width=Pt(200), height=Pt(100))
        document.add_picture(io.BytesIO(PNG), width=Pt(10), height=Pt(10))
        document.add_comment(paragraph.runs, text="Is that so?", author="A", initials="A")

    data = word(build)
    assert texts(read_word(data)) == ["See the picture."]
    told = [f.message for f in paper_findings(data, "a.docx")]
    assert told[0].startswith("1 picture is in the file") and told[1].endswith("not read: 1")
