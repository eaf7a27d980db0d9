"""Plain text to pages."""

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.shapes import Table
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.text import read_text


def paragraphs(data: bytes) -> list[str]:
    return [
        "|".join(c.text for r in p.rows for c in r) if isinstance(p, Table) else p.text
        for s in lay_out(read_text(data))
        for p in flow(s)
    ]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_the_usual_encodings_are_read(encoding: str) -> None:
    """UTF-8, UTF-16 with or without a mark, and Windows-1252 give the same words."""
    page = read_text("Drehmoment prüfen – höchstens 25 Nm\n".encode(encoding))[0]
    assert [w.text for w in page.words] == ["Drehmoment", "prüfen", "–", "höchstens", "25", "Nm"]


def test_a_form_feed_ends_a_sheet() -> None:
    """Form feeds part sheets, also blank ones."""
    pages = read_text(b"one\f\fthree\n")
    assert [(p.sheet, [w.text for w in p.words]) for p in pages] == [(1, ["one"]), (2, []), (3, ["three"])]


def test_wrapped_lines_join_and_fields_stay_apart() -> None:
    """A message wrapped at 72 columns gives one paragraph for each part and one for each field of its
    head."""
    subject = "Change of kit for the intermediate shaft with a very long subject line"
    mail = (
        f"From: parts desk\nSubject: {subject}\nNumber: B 12\nApplies to: R4\n\n"
        "This bulletin replaces item 3 on page 4-3 of workshop manual R 77. The\n"
        "new text reads: Soak the discs for one hour, then drain them before\nfitting.\n\n"
        "Kit 11 22 33 is no longer supplied.\n"
    ).encode()
    assert paragraphs(mail) == [
        "From: parts desk",
        f"Subject: {subject}",
        "Number: B 12",
        "Applies to: R4",
        "This bulletin replaces item 3 on page 4-3 of workshop manual R 77. "
        "The new text reads: Soak the discs for one hour, then drain them before fitting.",
        "Kit 11 22 33 is no longer supplied.",
    ]


def test_lines_that_happen_to_align_are_no_table() -> None:
    """In typewriter text blanks stand above each other by chance; that makes no table."""
    text = (
        b"Parts can be ordered from the depot.\nThese are the usual ones and so on.\n"
        b"There is a new one in the book now.\nWhere is the old one to be sent to.\n"
    )
    assert not lay_out(read_text(text))[0].tables


def test_columns_of_blanks_make_a_table() -> None:
    """A list with old and new numbers in columns is a table with its header row."""
    text = (
        b"The numbers have changed.\n\nOld number    New number\n"
        b"AB 1234-5     CD 7788-1\nAB 1234-6     CD 7788-2\n\nOrder as usual.\n"
    )
    (table,) = lay_out(read_text(text))[0].tables
    assert [[c.text for c in r] for r in table.rows] == [
        ["Old number", "New number"],
        ["AB 1234-5", "CD 7788-1"],
        ["AB 1234-6", "CD 7788-2"],
    ]


def test_tabs_stand_for_columns() -> None:
    """Tabs go on to the next multiple of eight."""
    words = read_text(b"a\tb\n12345678\tc\n")[0].words
    assert words[1].box.x0 - words[0].box.x0 == pytest.approx(48)
    assert words[3].box.x0 - words[2].box.x0 == pytest.approx(96)


@pytest.mark.parametrize("data", [b"", b"  \n\n \x1a", bytes(range(256)) * 3])
def test_what_holds_no_text_is_refused(data: bytes) -> None:
    """Empty files and binary ones are refused."""
    with pytest.raises(RefusedFile):
        read_text(data)
