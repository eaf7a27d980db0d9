"""Saved web pages: what a browser shows is what is read, and nothing else."""

import sys

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.findings import paper_findings
from benchleaf.ingest.papers.web import html_reading, read_html, text_of
from benchleaf.ingest.papers.webstyle import Sheet
from papers_made import texts


def page(body: str, head: str = "") -> bytes:
    return f"<!DOCTYPE html><html><head>{head}</head><body>{body}</body></html>".encode()


def shown(body: str, head: str = "") -> list[object]:
    return texts(read_html(page(body, head)))


def test_numbered_lists_start_where_the_page_says() -> None:
    """`start`, `value` and `reversed` set an item's number (HTML Living Standard, "the ol element")."""
    assert shown("<ol start=7><li>Fit the seal.<li>Fit the ring.<li value=12>Close it.</ol>") == [
        "7. Fit the seal.",
        "8. Fit the ring.",
        "12. Close it.",
    ]
    assert shown("<ol reversed><li>Last but one.<li>Last.</ol>") == ["2. Last but one.", "1. Last."]


def test_letters_and_roman_numerals() -> None:
    """`type` and list-style-type name the counting (HTML Living Standard; CSS Counter Styles Level 3)."""
    assert shown("<ol type=a start=26><li>Oil it.<li>Turn it.</ol>") == ["z. Oil it.", "aa. Turn it."]
    style = "<style>ol ol { list-style-type: upper-roman }</style>"
    body = "<ol><li>Fit the pack:<ol start=4><li>friction disc first</ol><li>Close it.</ol>"
    assert shown(body, style) == ["1. Fit the pack:", "IV. friction disc first", "2. Close it."]


def test_bullets_keep_their_sign() -> None:
    """An item of a plain list stands apart under a bullet."""
    assert shown("<ul><li>seal<li>ring</ul>") == ["• seal", "• ring"]


def test_struck_out_text_is_left_out_and_told() -> None:
    """Text struck out by tag, style or class is not in force; a finding quotes it."""
    head = "<style>.old { text-decoration: line-through }</style>"
    body = (
        "<p>Fit six <s>or seven</s> discs.</p><p><del>Delete me.</del></p><p class=old>Fit four discs.</p>"
        "<p style='text-decoration-line: line-through'>Fit two.</p>"
    )
    assert shown(body, head) == ["Fit six discs."]
    found = paper_findings(page(body, head), "a.html")
    assert [f.message for f in found] == ["struck-out text is left out, as not in force"]
    assert found[0].quote == "or seven Delete me. Fit four discs. Fit two."


def test_hidden_text_scripts_and_styles_are_left_out() -> None:
    """What a browser hides is not read; a rule for print alone hides nothing on the screen."""
    head = "<style>.x{display:none} @media print {.y{display:none}}</style><script>document.title</script>"
    body = (
        "<p class=x>No.</p><p class=y>Shown.</p><div hidden>No.</div><p style='visibility:hidden'>No.</p>"
        "<script>var a = 'No.'</script><template><p>No.</p></template>"
    )
    assert shown(body, head) == ["Shown."]
    assert any("hides" in s.message for s in html_reading(page(body, head)).said)


def test_a_table_is_read_once_with_its_cells_in_place() -> None:
    """A table comes out once, its words not again as text; a spanning cell stands in its first place."""
    body = (
        "<p>Kit parts</p><table border=1><tr><th>Part no.<th>Name<th colspan=2>Quantity</tr>"
        "<tr><td rowspan=2>44-100<td>disc<td>6<td>old</tr><tr><td>ring<td>2<td>new</table><p>End</p>"
    )
    assert shown(body) == [
        "Kit parts",
        [["Part no.", "Name", "Quantity", ""], ["44-100", "disc", "6", "old"], ["", "ring", "2", "new"]],
        "End",
    ]


def test_tables_that_place_text_are_no_tables() -> None:
    """Pages of the old kind place everything by tables: their cells are read as text in their order."""
    inner = "<table border=1><tr><td>44-100</td><td>6</td></tr><tr><td>44-101</td><td>5</td></tr></table>"
    body = (
        f"<table><tr><td><h2>News</h2></td></tr><tr><td><p>First.</p><p>Second.</p>{inner}</td></tr></table>"
    )
    assert shown(body) == ["News", "First.", "Second.", [["44-100", "6"], ["44-101", "5"]]]


def test_a_label_stays_beside_its_value() -> None:
    """In a table that places text, a row of short cells stays one line."""
    body = (
        "<table><tr><td colspan=2><h2>News</h2></td></tr><tr><td>Date:</td><td>3 May 2004</td></tr></table>"
    )
    assert "Date: 3 May 2004" in shown(body)


def test_line_breaks_and_blank_lines() -> None:
    """A break ends a line, two breaks a paragraph."""
    assert shown("<div>Number: SB 12<br>Date: 3 May 2004<br><br>Fit the ring.</div>") == [
        "Number: SB 12",
        "Date: 3 May 2004",
        "Fit the ring.",
    ]


def test_raised_figures_are_no_figures_of_the_number_before() -> None:
    """10 with a raised 5 is no 105; a raised o is a degree sign."""
    assert shown("<p>10<sup>5</sup> Pa at 80 <sup>o</sup>C, item 5<sup>1</sup></p>") == [
        "10⁵ Pa at 80 °C, item 5¹"
    ]


def test_unclosed_tags_are_closed_as_browsers_do() -> None:
    """Paragraphs, items and cells end where the next begins (HTML Living Standard, optional tags)."""
    assert shown("<p>One<p>Two<ol><li>a<li>b</ol>") == ["One", "Two", "1. a", "2. b"]


def test_a_typed_table_keeps_its_columns() -> None:
    """Typed text keeps its blanks, so that its tables are read as those of plain text files are."""
    body = "<pre>Was         Now\n----------  ----------\n2.0 mm      2.4 mm\n</pre>"
    assert shown(body) == [[["Was", "Now"], ["2.0 mm", "2.4 mm"]]]


def test_headings_are_larger_and_bold() -> None:
    """A heading stands out by size and weight, as on paper."""
    (one,) = read_html(page("<h1>Clutch</h1><p>Fit it.</p>"))
    heading, *rest = one.words
    assert heading.bold and heading.size > rest[0].size and not rest[0].bold


def test_words_joined_over_tags_stay_one() -> None:
    """A part number of which half is bold is one number."""
    assert shown("<p>Part T<b>458</b>-2 <i>or </i> <b> T459</b></p>") == ["Part T458-2 or T459"]


def test_pictures_are_told_and_ornaments_are_not() -> None:
    """A picture may hold words that nobody reads; a dot of the layout holds none."""
    big = f"<img src='data:image/png;base64,{'A' * 9000}'>"
    assert "1 picture" in paper_findings(page(f"<p>a</p>{big}"), "a.html")[0].message
    assert paper_findings(page("<p>a</p><img src=dot.gif width=1 height=1>"), "a.html") == ()


def test_a_frame_from_elsewhere_is_told() -> None:
    """What lies in another file is not in this one."""
    assert "another file" in paper_findings(page("<p>a</p><iframe src=b.html></iframe>"), "a.html")[0].message


def test_numbers_counted_by_the_style_sheet_are_told() -> None:
    """Style sheets can draw numbers that are nowhere in the page."""
    found = paper_findings(page("<p>a</p>", "<style>p::before{content: counter(step)}</style>"), "a.html")
    assert "style sheet" in found[0].message


def test_style_breaks_begin_sheets() -> None:
    """A page break of the style begins a sheet."""
    pages = read_html(page("<p>One</p><p style='page-break-before: always'>Two</p>"))
    assert [p.words[0].text for p in pages] == ["One", "Two"]


def test_encodings_as_the_web_names_them() -> None:
    """Latin-1 on the web means Windows-1252 (WHATWG Encoding standard); a mark at the start goes before."""
    assert "–" in text_of(b'<meta charset="iso-8859-1"><p>10 \x96 12</p>')
    assert "Gehäuse" in text_of("<meta charset=utf-8>Gehäuse".encode())
    assert "Gehäuse" in text_of("<p>Gehäuse".encode("utf-16"))


@pytest.mark.parametrize("levels", [300, 3000])
def test_deep_pages_lose_no_word(levels: int) -> None:
    """Pages with hundreds of open tags, as bad writers leave them, are read to their end."""
    assert shown("<div>" * levels + "<p>deep</p>" + "</div>" * levels + "<p>after</p>") == ["deep", "after"]


def test_a_bottomless_page_is_refused() -> None:
    """Five thousand levels are refused in plain words, not by a crash."""
    with pytest.raises(RefusedFile, match="thousands deep"):
        read_html(page("<b>" * 5000 + "x"))


def test_a_page_without_text_is_refused() -> None:
    """A page that shows nothing has its remedy named."""
    with pytest.raises(RefusedFile, match="no text"):
        read_html(page("<script>x</script>"))


def test_a_missing_library_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without Beautiful Soup the refusal names the command that adds it."""
    monkeypatch.setitem(sys.modules, "bs4", None)
    with pytest.raises(RefusedFile) as refused:
        read_html(page("<p>a</p>"))
    assert "pip install 'benchleaf[office]'" in refused.value.remedy


def test_hostile_styles_end() -> None:
    """Twenty thousand signs of broken style are read in a moment."""
    import time

    for text in (
        "{" * 20000,
        "a{" * 10000,
        "/*" * 10000,
        "@media screen{" * 1400,
        "a," * 10000 + "{}",
        "-" * 20000,
    ):
        begun = time.perf_counter()
        Sheet(text)
        assert time.perf_counter() - begun < 0.5
