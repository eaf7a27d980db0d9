"""Numbers of other notes, stock, lines below new words, heads of tables: whole notes to statements. Texts
invented; wordings are common practice, no source."""

from dataclasses import replace

import pytest
from benchleaf.graph.model import Box, Cancels, Citation, Override, Supersession
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.statements import read_statements
from benchleaf.ingest.shapes import Paragraph
from typed_notes import only, read, table


@pytest.mark.parametrize(
    ("own", "text", "wants"),
    [
        ("TI 1990.25", "Technical Information TI 1988.09 is cancelled without replacement.", ["TI 1988.09"]),
        (
            "TI 1990.25",
            "The instructions of Technical Information TI 1987.07 are no longer valid.",
            ["TI 1987.07"],
        ),
        ("SL-16-1995", "This news replaces Parts and Service News SL-07-1993 of 11/16/1993.", ["SL-07-1993"]),
        ("SB-110", "Workshop Memo SB-99 is cancelled without replacement.", ["SB-99"]),
        ("4-90-21", "Product Circular 4-87-05 is withdrawn.", ["4-87-05"]),
        ("SB-110", "Workshop Memo SB-101 is not cancelled by this memo.", []),
        ("SB-110", "The instructions of Workshop Memo SB-101 remain in force.", []),
    ],
)
def test_other_notes_are_known_by_the_shape_of_their_number(own: str, text: str, wants: list[str]) -> None:
    """A number of the shape of the note's own, behind words for a note, is another note's (our rule)."""
    header = replace(header_of(text), number=own)
    assert [s.cancels for s in only(read_statements(header, "n").statements, Cancels)] == wants


def test_kit_of_the_shape_of_the_notes_number_stays_a_kit() -> None:
    """Words for a part before a number outweigh its likeness to the note's own number."""
    header = replace(header_of("Kit SB-2104 is replaced by kit SB-2105."), number="SB-2110")
    (one,) = only(read_statements(header, "n").statements, Supersession)
    assert (one.old, one.new) == (("SB-2104",), ("SB-2105",))


@pytest.mark.parametrize(
    ("said", "stock"),
    [
        ("Use up the stock of the old ring first.", "use up"),
        ("Stocks of 318 604 22 may be used up.", "use up"),
        ("Do not use existing stock.", "scrap"),
        ("Existing stock of the old part must be scrapped.", "scrap"),
        ("Return all unused old rings.", "scrap"),
        ("Do not scrap the old ring.", None),
        ("The old ring must not be used up.", None),
    ],
)
def test_stock_is_told_by_a_sentence_of_its_own(said: str, stock: str | None) -> None:
    """What the next sentence, or the next paragraph, says of old stock belongs to the change before it."""
    for gap in (" ", "\n\n"):
        (one,) = read(*f"Seal ring 318 604 22 is replaced by 318 604 57.{gap}{said}".split("\n\n")).statements
        assert isinstance(one, Supersession) and one.stock == stock


def test_lines_right_below_new_words_are_kept_with_a_doubt() -> None:
    """Lines at a line's distance below new words may belong to them: they are kept, and a person asked;
    lines with a paragraph's distance are not."""
    for gap, text, standing in ((2.8, "Fit the ring. Torque: 20 Nm. Do this twice.", "doubtful"),
                                (10.0, "Fit the ring.", "settled")):  # fmt: skip
        above = Paragraph(
            "Item 6 on page 31 of HB 350 now reads: Fit the ring.", Box(64, 200, 295, 225), 1, size=9.2
        )
        below = Paragraph("Torque: 20 Nm. Do this twice.", Box(64, 225 + gap, 254, 234 + gap), 1, size=9.2)
        (one,) = only(read(above, below).statements, Override)
        assert (one.text, one.standing) == (text, standing)


def test_table_heads_may_name_the_number_in_any_way() -> None:
    """ "Previous article no." and "Current part" are an old and a new number."""
    for heads in (
        "Previous No.|Replaced by",
        "Superseded part|Current part",
        "Old article no.|New article no.",
    ):
        (one,) = read("Changed part numbers", table(heads, "11675-TP|90798-TP")).statements
        assert isinstance(one, Supersession) and (one.old, one.new) == (("11675-TP",), ("90798-TP",))


def test_table_under_unknown_heads_is_shown() -> None:
    """Rows that pair part numbers under heads that are not known are reported, not passed over."""
    reading = read("Stores list", table("Bin A|Bin B", "11675-TP|90798-TP", "11676-TP|90799-TP"))
    assert not reading.statements and "pairs numbers" in reading.findings[0].message


def test_manual_above_a_table_of_corrections_is_its_manual() -> None:
    """The sentence that leads a table in names its manual, is no longer unread, and hands on its doubts."""
    rows = table("Page|Item|Was|Now", "1-12|2|2.45 mm|2.50 mm")
    reading = read("The following values in OHX 5204 have changed. Please write them into your copy.", rows)
    (one,) = only(reading.statements, Override)
    assert one.target.publication == "OHX 5204" and one.standing == "settled" and not reading.findings
    planned = read("It is planned to change the following values in OHX 5204. Please wait.", rows)
    assert [s.standing for s in planned.statements] == ["doubtful"]


def test_notes_that_are_only_cited_are_named() -> None:
    """Other notes that a note speaks of are listed, the ones that it cancels and its own number not."""
    said = (
        "Workshop Letter WL-128 told you why. This letter cancels Workshop Letter WL-134. Keep letter WL-145."
    )
    header = replace(header_of(said), number="WL-145")
    assert read_statements(header, "wl").cited == (Citation("note", "WL-128"),)


def test_bare_numbers_of_the_notes_own_series_are_no_sure_parts() -> None:
    """ "TI 99-4 replaces TI 99-2." in note TI 99-3 may speak of notes: a doubt; of kits it does not."""
    for said, standing in (
        ("TI 99-4 replaces TI 99-2.", "doubtful"),
        ("Kit TI 99-4 replaces kit TI 99-2.", "settled"),
    ):
        assert [s.standing for s in read(said).statements] == [standing]
