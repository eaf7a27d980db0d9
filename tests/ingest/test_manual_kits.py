"""What a manual itself says that its kits contain. All makers, numbers and wordings are invented; the layouts
of parts lists (rows set in, marks, kit columns) are common practice, no source."""

import datetime as dt
import re
import time

import pytest
from benchleaf.graph.model import Manual
from benchleaf.ingest.book import (
    manualkitslists,
    manualkitsmarks,
    manualkitsprose,
    manualkitstables,
    partslists,
)
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.book.manualkits import read_manual_kits
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pages import read_sheets
from benchleaf.ingest.sheets.text import read_text
from drawing_board import BOLD, Board

PAGE = """
FITTING THE FORWARD PACK

(1) Oil the plates and lay them ready in their order on a clean bench.
(2) Fit the piston with new seal rings; turn it while it goes in.
(3) Fit the return spring and its plate and let the retaining ring snap in.

{}

{}
"""


def typed(words, after="Hang a card with the number of the kit on the basket."):
    """The kits of a typed page with these words in it."""
    pages = lay_out(read_text(PAGE.format(words, after).encode()))
    return read_manual(pages, "manual.txt").manual.kits


def said(kits):
    """Kit, lines and standing in short."""
    return [(k.kit, [f"{li.quantity} {li.description}" for li in k.lines], k.standing) for k in kits]


PLATES = ["8 lined plate", "8 steel plate", "2 seal ring"]
LIST = "8 lined plates, 8 steel plates and 2 seal rings"


@pytest.mark.parametrize(
    "words",
    [
        f"The forward plate kit is V41-9012. It holds {LIST}.",
        f"Plate kit V41-9012 contains {LIST}.",
        f"The plate kit V41-9012 consists of {LIST}.",
        f"Overhaul kit V41-9012 comprises {LIST}.",
        f"Kit no. V41-9012 includes {LIST}.",
        f"Contents of kit V41-9012: {LIST}.",
        f"The contents of kit V41-9012 are as follows: {LIST}.",
        f"Kit V41-9012 is made up of {LIST}.",
        f"There are {LIST} in kit V41-9012.",
        f"{LIST.capitalize()} are contained in kit V41-9012.",
        f"You will find in kit V41-9012: {LIST}.",
        "Kit V41-9012 contains eight lined plates, eight steel plates and two seal rings.",
        "Kit V41-9012 consists of:\n\n8 lined plates\n\n8 steel plates\n\n2 seal rings",
        f"V41-9012 Plate kit, consisting of: {LIST}.",
        "V41-9012 Plate kit, consisting of:\n\n8 lined plates\n\n8 steel plates\n\n2 seal rings",
        f"NOTE: Plate kit V41-9012 contains {LIST}.",
        f"The forward plate kit is V41-9012.\n\nIt holds {LIST}.",
        f"A repair kit, No. V41-9012, is supplied. The kit contains {LIST}.",
        f"The repair kit (part number V41-9012) contains {LIST}.",
        f"Kit V41-9012: {LIST}.",
        f"For the forward pack order kit V41-9012, which contains {LIST}.",
        f"Plate kit V41-9012 (includes {LIST}).",
        f"V41-9012 Plate kit ({LIST})",
        "Kit V41-9012 - 8 lined plates - 8 steel plates - 2 seal rings",
        f"The parts come as kit V41-9012: {LIST}.",
        f"Plates are supplied only as kit V41-9012, containing {LIST}.",
    ],
)
def test_a_running_sentence_tells_what_a_kit_contains(words):
    """A plain statement of a kit's contents, whatever verb it uses, is read whole and is settled."""
    assert said(typed(words)) == [("V41-9012", PLATES, "settled")]


@pytest.mark.parametrize(
    "words",
    [
        f"(4) Use overhaul kit V41-9012 ({LIST}).",
        f"(4) Renew the plates. Use plate kit V41-9012 ({LIST}) and oil the plates first.",
        f"(4) Open plate kit V41-9012. It contains {LIST}.",
        f"(4) Lay out the parts of the plate kit. Kit V41-9012 contains {LIST}.",
    ],
)
def test_a_step_tells_what_its_kit_contains(words):
    """The brackets behind a kit in a step, and a sentence in it, list the kit's contents."""
    assert said(typed(words)) == [("V41-9012", PLATES, "settled")]


@pytest.mark.parametrize(
    "words",
    [
        f"Kit V41-9012 does not contain {LIST}.",
        f"Does kit V41-9012 contain {LIST}?",
        "The pack takes 8 lined plates and 8 steel plates of kit V41-9012.",
        "(4) Insert the nine lined plates and ten steel plates from kit V41-9012.",
        "(4) Set the clearance to 1.2 mm with shims of set V41-9012.",
        "(4) Tighten the 8 screws, set 2, to 25 Nm.",
        "Pump assembly V41-7000 consists of 1 housing, 2 gears and 1 shaft.",
        "Piston V41-3300 has 2 seal rings and 1 retaining ring.",
        "The gear set runs in oil. It has 23 teeth and 2 keyways.",
        "Order plate kit V41-9012 for the forward pack and plate kit V41-9014 for the reverse pack.",
        "Renew the shaft seal V41-2206 and all O-rings of set V41-0871.",
        "Tool set V-230 holds the spring plate while the ring is fitted.",
    ],
)
def test_words_that_tell_no_contents_give_none(words):
    """Denials, questions, what a pack takes, assemblies and the verb "set" are no contents of a kit."""
    assert not [k for k in typed(words) if k.standing == "settled"]


@pytest.mark.parametrize(
    "words",
    [
        f"Up to serial number 20500 kit V41-9012 contains {LIST}.",
        f"Kit V41-9012 contains {LIST}, except on units with the short basket.",
        f"If the unit has the wide basket, kit V41-9012 contains {LIST}.",
        f"If the plates are worn, fit plate kit V41-9012 ({LIST}).",
        f"Make sure that kit V41-9012 contains {LIST}.",
        f"Kit V41-9012 contains {LIST}. This applies from serial number 20500.",
        f"Kit V41-9012 contains {LIST}. It does not contain the retaining ring.",
        f"Kit V41-9012 contains {LIST}. For version B two more plates are packed in the kit.",
        f"Kit V41-9012 may contain {LIST}.",
        f"Kit V41-9012 contains {LIST}. The retaining ring is not included.",
        f"Kit V41-9012 contains {LIST}. From serial number 3000 it also contains one shim.",
        f"Kit V41-9012 contains {LIST}. The kit for the wide basket holds two more of each.",
        f"Kit V41-9012 contains {LIST}. Kits packed earlier contain no seal rings.",
        f"Kit V41-9012 contains {LIST} and everything else that is needed.",
        "(4) Fit plate kit V41-9012 (8 lined plates).",
    ],
)
def test_a_condition_a_limit_or_an_addition_makes_contents_doubtful(words):
    """What limits, denies or adds to a kit's contents leaves them unsure, with the reason told."""
    found = typed(words)
    assert not [k for k in found if k.standing == "settled"]
    assert all(k.why for k in found)


@pytest.mark.parametrize(
    "behind",
    [
        "RX 64 takes two more plates of each kind, to be ordered singly.",
        "Order the kit in good time.",
        "Do not mix plates of two makes in one pack.",
        "Keep the old plates until the clearance has been measured.",
    ],
)
def test_a_sentence_behind_on_something_else_leaves_contents_settled(behind):
    """What a unit needs beside the kit, or how to order it, does not touch what the kit holds."""
    assert said(typed(f"Kit V41-9012 contains {LIST}. {behind}")) == [("V41-9012", PLATES, "settled")]


def test_contents_carry_the_publication_its_date_and_the_place():
    """A manual's contents name the manual as their note, with its date, the sheet, printed page and box."""
    pages = lay_out(read_text(PAGE.format(f"Kit V41-9012 contains {LIST}.", "Fit it.").encode()))
    book = Manual("PX 88", None, None, None, dt.date(1994, 3, 1), (), (), file="px88.txt")
    (kit,) = read_manual_kits(book, pages)
    assert (kit.note, kit.date, kit.source.file, kit.source.sheet) == (
        "PX 88",
        dt.date(1994, 3, 1),
        "px88.txt",
        1,
    )
    assert kit.source.box is not None
    assert LIST in kit.quote


def test_a_kit_with_two_contents_is_doubtful_in_both():
    """A manual that contradicts itself on a kit settles neither reading."""
    kits = typed(f"Kit V41-9012 contains {LIST}.", "Kit V41-9012 contains 6 lined plates and 7 steel plates.")
    assert [k.standing for k in kits] == ["doubtful", "doubtful"]
    assert all("gives other contents" in " ".join(k.why) for k in kits)


def test_the_same_contents_twice_are_one_reading():
    """A kit told in a step and again in a note is one statement."""
    kits = typed(f"Kit V41-9012 contains {LIST}.", f"Plate kit V41-9012 ({LIST}) is in stock.")
    assert said(kits) == [("V41-9012", PLATES, "settled")]


# Parts lists, drawn.

HEADS = ("Item", "Part No.", "Description", "Qty")
PLACES = (70, 110, 190, 420)


def drawn(rows, places=PLACES, ruled=False, above=(), below=(), top=200, pages=1):
    """The manual of drawn sheets with one list: blanks before a cell's words set it in."""
    board = Board()
    for sheet in range(pages):
        board.text(70, 60, "Rebuild manual PX 88", 9)
        y = 100.0
        for line in above:
            board.text(70, y, line)
            y += 13
        board.text(70, top - 30, "Spare parts for the forward pack", 12, BOLD)
        y = top
        for row in rows[sheet] if pages > 1 else rows:
            for x, cell in zip(places, row, strict=True):
                indent = len(cell) - len(cell.lstrip())
                board.text(x + 5 * indent, y, cell.strip())
            if ruled:
                board.canvas.setLineWidth(0.5)
                for line_y in (y - 10, y + 4):
                    board.canvas.line(66, 842 - line_y, 500, 842 - line_y)
                for x in (*(p - 4 for p in places), 500):
                    board.canvas.line(x, 842 - (y - 10), x, 842 - (y + 4))
            y += 14
        y += 30
        for line in below:
            board.text(70, y, line)
            y += 13
        board.centre(800, f"3-{sheet + 2}")
        board.canvas.showPage()
    board.canvas.save()
    laid = lay_out(read_sheets(board._bytes.getvalue(), "parts.pdf")[0])
    return read_manual(laid, "parts.pdf").manual


COMPONENTS = [
    ("3", "4471-110", "{}Friction disc", "10"),
    ("4", "4471-111", "{}Steel disc", "10"),
    ("5", "4471-112", "{}Seal ring, large", "2"),
]
DISCS = ["10 friction disc", "10 steel disc", "2 seal ring, large"]
REST = [("6", "4471-120", "Output shaft", "1"), ("7", "4471-121", "Oil seal", "1")]


def with_kit(kit, before="", rows=COMPONENTS, rest=REST):
    filled = [tuple(c.format(before) for c in row) for row in rows]
    return [HEADS, ("1", "4471-101", "Housing", "1"), ("2", "4471-208", kit, "1"), *filled, *rest]


@pytest.mark.parametrize("ruled", [False, True])
@pytest.mark.parametrize("before", ["   ", "- ", "• ", ". "])
def test_rows_set_in_below_a_kit_are_its_contents(before, ruled):
    """ "Disc kit, consisting of:" opens rows that are set in or bear a bullet; another row ends it."""
    manual = drawn(with_kit("Disc kit, consisting of:", before), ruled=ruled)
    assert said(manual.kits) == [("4471-208", DISCS, "settled")]
    assert [line.part for line in manual.kits[0].lines] == ["4471-110", "4471-111", "4471-112"]


def test_bracketed_rows_below_a_kit_are_its_contents():
    """Rows in brackets are parts of the kit above them."""
    rows = [(i, p, f"({d})", q) for i, p, d, q in COMPONENTS]
    manual = drawn(with_kit("Disc kit, consisting of:", "", rows))
    assert said(manual.kits) == [("4471-208", DISCS, "settled")]


def test_item_numbers_under_the_kits_own_are_its_contents():
    """Items 2.1, 2.2, 2.3 are parts of item 2."""
    rows = [(f"2.{n}", *row[1:]) for n, row in enumerate(COMPONENTS, 1)]
    assert said(drawn(with_kit("Disc kit, comprising:", "", rows)).kits) == [("4471-208", DISCS, "settled")]


def test_without_a_mark_the_end_of_the_kit_is_unsure():
    """Rows below "consisting of:" that look like all others may belong to the kit or not."""
    (kit,) = drawn(with_kit("Disc kit, consisting of:", "")).kits
    assert (kit.kit, kit.standing) == ("4471-208", "doubtful")


def test_rows_set_in_below_a_kit_that_announces_nothing_are_unsure():
    """An indent alone does not say that the rows are the kit's contents."""
    (kit,) = drawn(with_kit("Disc kit", "   ")).kits
    assert kit.standing == "doubtful"


def test_a_quantity_as_required_is_a_line_without_a_count():
    """`AR` is as required: the line stands, its count is open, and nothing is in doubt."""
    rows = [*COMPONENTS, ("5a", "4471-113", "{}Shim", "AR")]
    (kit,) = drawn(with_kit("Disc kit, consisting of:", "   ", rows)).kits
    assert (kit.lines[-1].quantity, kit.standing) == (None, "settled")


def test_a_blank_quantity_in_a_kit_is_a_doubt():
    """A component without a printed count leaves the kit unsure."""
    rows = [*COMPONENTS, ("5a", "4471-113", "{}Shim", "")]
    (kit,) = drawn(with_kit("Disc kit, consisting of:", "   ", rows)).kits
    assert kit.standing == "doubtful"
    assert "no quantity was read for Shim" in kit.why


def test_a_list_that_may_go_on_overleaf_is_unsure():
    """A kit's rows that reach the end of a sheet, with a parts list on the next, may not be all."""
    first = with_kit("Disc kit, consisting of:", "   ", rest=[])
    (kit,) = drawn([first, [HEADS, *REST]], pages=2).kits
    assert kit.standing == "doubtful"


@pytest.mark.parametrize(
    "kit",
    [
        "Disc kit, incl. items 3-5",
        "Disc kit, consists of items 3, 4 and 5",
        "Disc kit (contains pos. 3 to 5)",
    ],
)
def test_a_kit_that_names_items_has_their_lines_and_is_doubtful(kit):
    """Item numbers name the parts; the counts beside them are the unit's, so the kit's are not sure."""
    found = drawn(with_kit(kit)).kits
    assert said(found) == [("4471-208", DISCS, "doubtful")]


def test_items_that_the_list_does_not_hold_are_told():
    """A kit that names an item which the list lacks says so."""
    (kit,) = drawn(with_kit("Disc kit, incl. items 3-5, 19")).kits
    assert any("item 19" in w for w in kit.why)


def test_a_sentence_under_the_list_names_the_items_of_a_kit():
    """ "Overhaul kit … consists of items 3 to 5" below a list is read with that list."""
    rows = with_kit("Thrust plate")
    found = drawn(rows, below=["Overhaul kit 4471-300 consists of items 3 to 5."]).kits
    assert said(found) == [("4471-300", DISCS, "doubtful")]


@pytest.mark.parametrize(
    "below",
    [
        "* = contained in disc kit 4471-300",
        "Parts marked * are supplied in kit 4471-300.",
        "Kit 4471-300 consists of the items marked *.",
    ],
)
def test_items_with_the_mark_of_a_kit_are_its_contents_in_doubt(below):
    """An asterisk tells which parts a kit has; how many, the list says only for the unit."""
    rows = [(i, f"{p} *", d, q) for i, p, d, q in COMPONENTS]
    found = drawn(with_kit("Thrust plate", "", rows), below=[below]).kits
    assert said(found) == [("4471-300", DISCS, "doubtful")]


FIVE = (70, 110, 190, 380, 440)


def test_a_column_of_marks_with_a_legend_is_a_kit_in_doubt():
    """A column K1 with crosses and "K1 = disc kit …" below: the parts are sure, the counts are not."""
    rows = [
        (*HEADS, "K1"),
        ("1", "4471-101", "Housing", "1", ""),
        *((*(c.format("") for c in row), "x") for row in COMPONENTS),
    ]
    found = drawn(rows, FIVE, below=["K1 = disc kit 4471-300"]).kits
    assert said(found) == [("4471-300", DISCS, "doubtful")]


def test_a_column_of_counts_under_a_kits_number_is_settled():
    """Counts under "Kit 4471-300" are the kit's own."""
    rows = [
        (*HEADS, "Kit 4471-300"),
        ("1", "4471-101", "Housing", "1", "-"),
        *((*(c.format("") for c in row), row[3]) for row in COMPONENTS),
    ]
    found = drawn(rows, FIVE).kits
    assert said(found) == [("4471-300", DISCS, "settled")]


@pytest.mark.parametrize("ruled", [False, True])
def test_a_table_of_kits_gives_each_its_contents(ruled):
    """ "Kit No. | Contents": a kit a row."""
    rows = [
        ("Kit No.", "Contents"),
        ("4471-208", "10 friction discs, 10 steel discs, 2 seal rings"),
        ("4471-209", "6 friction discs, 7 steel discs"),
    ]
    found = drawn(rows, (70, 190), ruled=ruled).kits
    assert said(found) == [
        ("4471-208", ["10 friction disc", "10 steel disc", "2 seal ring"], "settled"),
        ("4471-209", ["6 friction disc", "7 steel disc"], "settled"),
    ]


def test_a_table_with_groups_of_rows_gives_each_kit_its_group():
    """ "Kit No. | Part No. | Description | Qty": the kit's number stands on the first row of its group."""
    rows = [
        ("Kit No.", "Part No.", "Description", "Qty"),
        ("4471-208", "4471-110", "Friction disc", "10"),
        ("", "4471-111", "Steel disc", "10"),
        ("4471-209", "4471-115", "Gasket", "3"),
        ("", "4471-116", "O-ring", "4"),
    ]
    found = drawn(rows, (70, 150, 230, 420), ruled=True).kits
    assert said(found) == [
        ("4471-208", ["10 friction disc", "10 steel disc"], "settled"),
        ("4471-209", ["3 gasket", "4 o-ring"], "settled"),
    ]


def test_a_notice_box_tells_contents():
    """Words in a drawn frame are read like any others."""
    board = Board()
    board.text(70, 60, "Rebuild manual PX 88", 9)
    y = board.step(70, 120, 440, "1.", "Soak the discs in clean oil for at least 30 minutes.")
    y = board.step(70, y + 4, 440, "2.", "Fit the piston and the return spring.")
    board.canvas.rect(70, 842 - y - 50, 450, 50)
    board.prose(
        80, y + 20, 430, "NOTE Disc kit 4471-208 contains 10 friction discs, 10 steel discs and 2 seal rings."
    )
    board.centre(800, "12")
    board.canvas.showPage()
    board.canvas.save()
    laid = lay_out(read_sheets(board._bytes.getvalue(), "m.pdf")[0])
    found = read_manual(laid, "m.pdf").manual.kits
    assert said(found) == [("4471-208", ["10 friction disc", "10 steel disc", "2 seal ring"], "settled")]
    assert found[0].source.page == "12"


# Parts lists as such.


def test_a_parts_list_gives_number_name_and_count():
    """Every row of an aligned list, with narrow columns and rows set in, is read."""
    manual = drawn(with_kit("Disc kit", "   "))
    assert [(p.part, p.description, p.quantity) for p in manual.parts] == [
        ("4471-101", "Housing", 1),
        ("4471-208", "Disc kit", 1),
        ("4471-110", "Friction disc", 10),
        ("4471-111", "Steel disc", 10),
        ("4471-112", "Seal ring, large", 2),
        ("4471-120", "Output shaft", 1),
        ("4471-121", "Oil seal", 1),
    ]


def test_several_quantity_columns_give_no_count():
    """Counts for several models are nobody's until the model is known: none is taken rather than a wrong
    one."""
    rows = [
        ("Item", "Part No.", "Description", "Qty RX 52", "Qty RX 64"),
        ("1", "4471-110", "Friction disc", "8", "10"),
        ("2", "4471-111", "Steel disc", "8", "10"),
        ("3", "4471-112", "Seal ring", "2", "2"),
    ]
    manual = drawn(rows, FIVE)
    assert [(p.part, p.quantity) for p in manual.parts] == [
        ("4471-110", None),
        ("4471-111", None),
        ("4471-112", None),
    ]


def test_the_reference_column_is_not_taken_for_the_part_number():
    """ "Ref. No." beside "Part No." numbers the figure's parts."""
    rows = [
        ("Ref. No.", "Part No.", "Description", "Qty"),
        ("101", "4471-110", "Friction disc", "10"),
        ("102", "4471-111", "Steel disc", "AR"),
    ]
    manual = drawn(rows, (70, 130, 210, 420))
    assert [(p.part, p.quantity) for p in manual.parts] == [("4471-110", 10), ("4471-111", None)]


def test_a_description_that_goes_on_in_the_next_line_is_joined():
    """A row of words alone that begins in the middle belongs to the description above; a group's title does
    not."""
    rows = [
        HEADS,
        ("1", "4471-110", "Friction disc for", "10"),
        ("", "", "the forward pack", ""),
        ("", "", "Oil pump", ""),
        ("2", "4471-400", "Pump case", "1"),
    ]
    manual = drawn(rows)
    assert [p.description for p in manual.parts] == ["Friction disc for the forward pack", "Pump case"]


def test_dots_tell_the_level_of_a_row():
    """A row with as few dots as the kit's own is beside it and ends it; dots alone do not say that the kit
    holds the rows."""
    rows = [
        HEADS,
        ("1", "4471-208", ". Kit, overhaul, clutch", "1"),
        ("2", "4471-110", ". . Plate, friction", "10"),
        ("3", "4471-111", ". . Plate, steel", "10"),
        ("4", "4471-120", ". Shaft", "1"),
    ]
    assert said(drawn(rows).kits) == [("4471-208", ["10 plate, friction", "10 plate, steel"], "doubtful")]


def test_remarks_that_name_a_kit_give_its_parts_in_doubt():
    """ "in kit 4471-300" beside a row tells that the kit has the part, and not how many."""
    rows = [
        ("Pos", "Part No.", "Designation", "Qty", "Remarks"),
        ("1", "4471-110", "Friction disc", "10", "in kit 4471-300"),
        ("2", "4471-111", "Steel disc", "10", "in kit 4471-300"),
        ("3", "4471-112", "Shaft", "1", ""),
    ]
    found = drawn(rows, (70, 110, 190, 330, 390)).kits
    assert said(found) == [("4471-300", ["10 friction disc", "10 steel disc"], "doubtful")]


def test_kits_side_by_side_have_their_own_counts():
    """A column of counts for each kit, blank or a dash where the kit has none."""
    rows = [
        ("Description", "Kit 4471-300", "Kit 4471-301"),
        ("Friction disc", "10", "6"),
        ("Steel disc", "11", "7"),
        ("Seal ring", "2", "-"),
    ]
    assert said(drawn(rows, (70, 250, 350), ruled=True).kits) == [
        ("4471-300", ["10 friction disc", "11 steel disc", "2 seal ring"], "settled"),
        ("4471-301", ["6 friction disc", "7 steel disc"], "settled"),
    ]


def test_a_parts_list_below_an_order_for_a_kit_is_not_its_contents():
    """Words that only name a kit do not make the list below them its contents."""
    rows = [
        ("Order kit 4471-300 for the overhaul.", "", ""),
        ("Part No.", "Description", "Qty"),
        ("4471-110", "Friction disc", "10"),
        ("4471-111", "Steel disc", "10"),
    ]
    assert not drawn(rows, (70, 170, 400)).kits


def test_brackets_on_how_many_kits_are_needed_are_no_contents():
    """ "(2 required)" and "(for 2 pumps)" tell of the kit's use."""
    rows = [
        HEADS,
        ("1", "4471-208", "Disc kit (2 required)", "2"),
        ("2", "4471-209", "Gasket kit (for 2 pumps)", "1"),
    ]
    assert not drawn(rows).kits


HOSTILE = (
    "kit 4471-208 ",
    "consists of items 4, ",
    "K1 = ",
    "A-1 A-1 ",
    "(8 a ",
    "1-1-1-",
    "in kit ",
    "((((",
)


@pytest.mark.parametrize(
    "module", [manualkitslists, manualkitsmarks, manualkitsprose, manualkitstables, partslists]
)
def test_no_pattern_is_slow_on_hostile_text(module):
    """Each pattern goes through 20 kB of text made to mislead it in well under a quarter of a second even on
    a busy machine (50 ms on a free one)."""
    patterns = [v for v in vars(module).values() if isinstance(v, re.Pattern)]
    assert patterns
    for pattern in patterns:
        for words in HOSTILE:
            text = (words * 20000)[:20000]
            start = time.process_time()
            sum(1 for _ in pattern.finditer(text))
            assert time.process_time() - start < 0.25, (pattern.pattern, words)
