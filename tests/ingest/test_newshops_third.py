"""Shops whose notes are counted 1, 2, 3, and kits listed under headings of their own. All makers, numbers and
words are invented; the layouts are common practice, no source."""

import pytest
from benchleaf.graph.model import Cancels, Contents, Override, Supersession
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.book.manualkitsheads import kit_heading
from benchleaf.ingest.document import read_document
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pages import read_sheets
from drawing_board import BOLD, Board

HEADS = ("Ref. No.", "Part No.", "Part name", "Q'ty", "Remarks")
DISCS = (("1", "WV 5110", "Lined disc", "6", ""), ("2", "WV 5111", "Plain disc", "7", ""))
SEALS = (("1", "WV 5310", "Shaft seal", "1", ""), ("2", "WV 5311", "O-ring, large", "2", ""))
PLACES = (70, 120, 220, 400, 450)


def drawn(*lists, title="Section 4: REPAIR KITS", behind="", heads=HEADS):
    """The kits of a drawn sheet with lists under headings: number, counts, standing."""
    board = Board()
    board.text(70, 60, "Overhaul handbook QD 9", 9)
    board.text(70, 90, title, 13, BOLD)
    top = 120
    for heading, rows in lists:
        board.text(70, top, heading)
        for n, row in enumerate((heads, *rows)):
            for x, cell in zip(PLACES, row, strict=True):
                board.text(x, top + 20 + 14 * n, cell)
            for y in (top + 10 + 14 * n, top + 24 + 14 * n):
                board.rule(66, y, 540, y)
            for x in (*(p - 4 for p in PLACES), 540):
                board.rule(x, top + 10 + 14 * n, x, top + 24 + 14 * n)
        top += 50 + 14 * (len(rows) + 1)
    board.text(70, top - 10, behind)
    board.centre(800, "7")
    board.sheet()
    manual = read_manual(lay_out(read_sheets(board.pdf(), "kits.pdf")[0]), "kits.pdf").manual
    return [(k.kit, [(li.part, li.quantity) for li in k.lines], k.standing) for k in manual.kits]


BOTH = [
    ("WK 501", [("WV 5110", 6), ("WV 5111", 7)], "settled"),
    ("WK 503", [("WV 5310", 1), ("WV 5311", 2)], "settled"),
]


@pytest.mark.parametrize(
    "names",
    [
        ("WK 501 Repair kit, Clutch DL 4", "WK 503 Seal Kit, DL 4 and DL 6"),
        ("WK 501 Clutch kit (DL 4)", "WK 503 Pump seal kit (DL 4, DL 6)"),
        ("Repair kit No. WK 501", "Seal kit WK 503"),
    ],
)
def test_lists_under_the_headings_of_kits_are_their_contents(names):
    """In a section of kits each list belongs to the kit whose heading stands over it; "Q'ty" counts."""
    assert drawn((names[0], DISCS), (names[1], SEALS)) == BOTH


def test_a_list_that_no_words_call_contents_is_doubtful():
    """Outside a section of kits a heading with a kit's number alone settles nothing."""
    (found,) = drawn(("WK 501 Clutch kit (DL 4)", DISCS), title="Section 4: CLUTCH")
    assert found == (*BOTH[0][:2], "doubtful")


@pytest.mark.parametrize(
    "behind", ["* Only up to serial 400.", "Grease is not part of the kit but also needed."]
)
def test_words_that_qualify_a_list_make_it_doubtful(behind):
    """What is said below a list of its limits is not passed over."""
    assert drawn(("WK 501 Clutch kit (DL 4)", DISCS), behind=behind)[0][2] == "doubtful"


def test_counts_of_the_unit_are_doubtful_for_the_kit():
    """A column "Per unit" counts what the unit has, and not what the kit holds."""
    heads = ("Ref. No.", "Part No.", "Part name", "Per unit", "Remarks")
    assert all(one[2] == "doubtful" for one in drawn(("WK 501 Clutch kit", DISCS), heads=heads))


@pytest.mark.parametrize(
    "line",
    [
        "Tools needed with kit WK 501",
        "Kit WK 501 is no longer available",
        "4.2 Clutch kit",
        "Fitting of kit WK 501",
        "Clutch DL 400",
    ],
)
def test_lines_that_are_no_heading_of_a_kits_list(line):
    """A sentence, a section's number and a unit's name head no kit."""
    assert kit_heading(line) is None


HEAD = "ORRERY WORKS LTD.\n\nSERVICE NEWSLETTER No. {}\n\nDate: 11 May 1977\nSubject: Change\nUnits: DL 4\n\n"


def stated(body, number="31"):
    """The statements of a note with a number."""
    document = read_document((HEAD.format(number) + body + "\n").encode(), "note.txt")
    return document.notes[0].statements, document.findings


@pytest.mark.parametrize("number", ["7", "31", "118"])
def test_small_numbers_are_steps_and_pages_where_notes_are_counted(number):
    """Where notes are counted 1, 2, 3, "item 6 on page 4" still names a step of the manual."""
    (one,), findings = stated(
        'Item 6 on page 4 of Publication QD 9 is replaced by:\n\n"6. Turn the hub."', number
    )
    assert isinstance(one, Override) and one.standing == "settled"
    assert (one.target.publication, one.target.page, one.target.item) == ("QD 9", "4", "6")
    assert not findings


def test_small_numbers_are_counts_where_notes_are_counted():
    """ "9 lined discs" in newsletter 31 is a count and no newsletter 9."""
    (one,), _ = stated("Kit WK 501 now contains 9 lined discs WV 5110 and 8 plain discs WV 5111.")
    assert isinstance(one, Contents) and [li.quantity for li in one.lines] == [9, 8]


@pytest.mark.parametrize(
    ("said", "gone"),
    [
        ("Newsletters 3, 5 and 27 are cancelled.", ["3", "5", "27"]),
        ("No. 27 is cancelled.", ["27"]),
        ("Service Newsletter No. 27, dated 4 May 1976, is cancelled.", ["27"]),
    ],
)
def test_counted_notes_are_known_by_the_words_before_them(said, gone):
    """Notes counted 1, 2, 3 are cancelled by number."""
    found, _ = stated(said)
    assert [s.cancels for s in found if isinstance(s, Cancels)] == gone


def changed(said):
    """Interchange and stock of the one change that a note states."""
    (one,) = [s for s in stated(said)[0] if isinstance(s, Supersession)]
    return one.interchange, one.stock


def test_a_clause_on_the_new_part_does_not_part_the_change_from_its_interchange():
    """ "…, which is moulded" stands between a change and what the next sentence says of it."""
    said = "Seal WV 5310 has been superseded by WV 5320, which is moulded in rubber. The two seals are "
    assert changed(f"{said}interchangeable in both directions and existing stocks will be used up.") == (
        "both ways",
        "use up",
    )
    assert changed(f"{said}not interchangeable.")[0] == "none"


def test_interchange_of_other_parts_is_not_that_of_the_change():
    """What a later sentence says of two other parts leaves the change unstated."""
    said = "Seal WV 5310 has been superseded by WV 5320. Seals WV 5330 and WV 5331 are interchangeable."
    assert changed(said) == ("unstated", None)


def test_all_serial_numbers_end_the_field_of_units():
    """A paragraph right below "…, all serial numbers" is the body and no more of the field."""
    text = HEAD.format("12").replace("Units: DL 4\n\n", "Units affected: DL 4, all serial numbers\n")
    body = "Kit WK 501 is superseded by kit WK 505.\nOld kits may be used up.\n"
    note = read_document((text + body).encode(), "note.txt").notes[0]
    assert note.applies.models == ("DL 4",)
    assert [(s.old, s.new) for s in note.statements] == [(("WK 501",), ("WK 505",))]
