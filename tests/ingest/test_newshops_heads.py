"""Letterheads drawn as tables, values that end at a paragraph's gap, a maker's order of day and month, short
dotted numbers, and tables of other makers. All makers, numbers and words are invented; the layouts and
wordings are common practice, no source."""

import datetime as dt

import pytest
from benchleaf.graph.model import Contents, Override, Supersession
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths
from benchleaf.ingest.book.identity import number_in
from benchleaf.ingest.dayorder import series_of
from benchleaf.ingest.document import read_document
from benchleaf.ingest.head.issuers import names_department
from drawing_board import BOLD, Board

NOW = dt.datetime(2026, 11, 25, 9)
BODY = (
    "The housing is now painted inside and needs no other work before it is built up again.",
    "The paint is proof against oil and is applied by the works before the bores are machined.",
)
HEAD = """Orbeck Drives Ltd.
SERVICE BULLETIN No. SB-41
Date: 4 June 1998
Subject: Various
Models: KX-4

"""


def letter(rows, units="KX-40, KX-55", gap=9.0, body=BODY, labels=True):
    """A drawn note: a ruled letterhead of two columns, two fields, then the body `gap` points below them."""
    board = Board()
    deep = 16.0
    for n, row in enumerate(rows):
        for x, cell in zip((66, 400), row, strict=True):
            board.text(x, 62 + deep * n + 10, cell, 10, BOLD)
    bottom = 60 + deep * len(rows) + 4
    for y in (60, bottom):
        board.rule(60, y, 540, y)
    for x in (60, 395, 540):
        board.rule(x, 60, x, bottom)
    y = bottom + 20
    if labels:
        board.text(60, y, "Subject: Paint of the housing")
        board.text(60, y + 14, f"Units affected: {units}")
        y += 14
    y += 10 + gap
    for line in body:
        board.text(60, y, line)
        y += 12
    board.sheet()
    return next(iter(read_document(board.pdf(), "letter.pdf").notes), None)


LETTERHEADS = [
    (("Orbeck Marine Drives, Inc.", "OM-640"), ("Field Memo", "04/13/2007")),
    (("Orbeck Marine Drives", "Field Memo"), ("", "OM-640"), ("", "April 13, 2007")),
    (("ORBECK GEARS LTD", "Service Letter OM-640"), ("Stainby", "13 April 2007")),
    (("Orbeck & Sons", "OM-640"), ("Technical Information", "13.04.2007")),
    (("Orbeck Pumps GmbH", "Memo No. OM-640"), ("Service Department", "2007-04-13")),
]


@pytest.mark.parametrize("rows", LETTERHEADS)
def test_a_letterhead_drawn_as_a_table_names_the_maker(rows):
    """Without any label, the cells above the text give number, date and maker, and no word of the body."""
    note = letter(rows)
    assert (note.number, note.date) == ("OM-640", dt.date(2007, 4, 13))
    assert note.issuer is not None and note.issuer.lower().startswith("orbeck")
    assert note.applies.models == ("KX-40", "KX-55")
    assert note.subject == "Paint of the housing"


@pytest.mark.parametrize(
    "rows", [(("Old number", "New number"), ("44711", "44712")), (("Gasket", "44711"), ("Seal", "44712"))]
)
def test_a_table_of_parts_at_the_top_is_no_letterhead(rows):
    """A table above all text that pairs parts and numbers names no maker and no note."""
    note = letter(rows, labels=False)
    assert note is None or (note.issuer is None and note.number == "letter")


UNITS = [
    ("KX-40, S/N 61001 and up", ("KX-40",), "61001", None),
    ("KX-40, KX-55", ("KX-40", "KX-55"), None, None),
    ("KX-40 and KX-55, all serial numbers", ("KX-40", "KX-55"), None, None),
    ("KX-40, up to and including S/N 64230", ("KX-40",), None, "64230"),
    ("KX-40 from S/N 61020 thru 61450", ("KX-40",), "61020", "61450"),
]
STEP = ("Step 31 on page 4-3 shall now read as follows:", "Clean the faces with acetone and let them dry.")


@pytest.mark.parametrize("gap", [8.0, 9.0, 12.0, 20.0])
@pytest.mark.parametrize(("units", "models", "first", "last"), UNITS)
def test_a_value_ends_at_a_paragraphs_gap(units, models, first, last, gap):
    """The sentence below the last field is the body's, however near it stands, and names no model."""
    note = letter(LETTERHEADS[0], units, gap, STEP)
    assert note.applies.models == models
    assert (note.applies.serial_from, note.applies.serial_to) == (first, last)
    assert [s.target.item for s in note.statements if isinstance(s, Override)] == ["31"]


@pytest.mark.parametrize(
    ("printed", "more", "last"),
    [("KX-40, S/N 61001 to", "61450", "61450"), ("KX-40, S/N", "61001 and up", None)],
)
def test_a_value_that_breaks_off_goes_on_below(printed, more, last):
    """A value that ends in the middle takes the next line, which stands as near as lines of one paragraph."""
    board = Board()
    board.text(60, 60, "Orbeck Drives Ltd.", 10, BOLD)
    board.text(60, 80, "Field Memo OM-640 of 13 April 2007")
    board.text(60, 100, f"Units affected: {printed}")
    board.text(60, 112, more)
    board.lines(60, 140, BODY)
    board.sheet()
    applies = read_document(board.pdf(), "memo.pdf").notes[0].applies
    assert (applies.models, applies.serial_from, applies.serial_to) == (("KX-40",), "61001", last)


MEMO = """{maker}FIELD MEMO

MEMO:     {number}
DATE:     {date}
FROM:     {sender}
UNITS:    {models}
SUBJECT:  Seals

Seal 4471-208 has been replaced by seal 4471-{new}.
"""


@pytest.fixture
def dated(tmp_path):
    """Takes memos (number, date, maker's line, models) and gives the first one's date and doubts."""

    def take(*memos, sender="Product Support"):
        paths = []
        for n, (number, date, maker, models) in enumerate(memos):
            paths.append(tmp_path / f"memo{n}.txt")
            words = {"maker": f"{maker}\n" if maker else "", "sender": sender, "new": 300 + n}
            paths[-1].write_text(MEMO.format(number=number, date=date, models=models, **words))
        with Store.open(tmp_path / "store", create=True) as store:
            add_paths(store, paths, NOW)
            return next((n.date, bool(n.unclear)) for n in store.notes() if n.number == memos[0][0])

    return take


MONTH_FIRST = (dt.date(2007, 4, 11), False)
ORBECK, OTHER = "Orbeck Marine Drives, Inc.", "Halvern Gears Ltd."


def test_the_makers_name_above_a_department_proves_the_order(dated):
    """`FROM: Product Support` names no maker; the line above does, and his other paper tells the order."""
    assert (
        dated(("OM-640", "04/11/2007", ORBECK, "KX-40"), ("OM-117", "03/27/2006", ORBECK, "KX-55"))
        == MONTH_FIRST
    )


def test_another_maker_proves_nothing(dated):
    """The order of one maker is not another's, though both write from a `Product Support`."""
    assert dated(("OM-640", "04/11/2007", ORBECK, "KX-40"), ("OM-117", "03/27/2006", OTHER, "KX-40"))[1]


def test_papers_of_one_series_for_the_same_units_prove_the_order(dated):
    """Where no maker is named, a paper of the same series of numbers for the same model tells."""
    assert (
        dated(("OM-640", "04/11/2007", "", "KX-40"), ("OM-117", "03/27/2006", "", "KX-40, KX-55"))
        == MONTH_FIRST
    )


@pytest.mark.parametrize(
    "others",
    [
        [("OM-117", "03/27/2006", "", "DL 9")],
        [("SB-117", "03/27/2006", "", "KX-40")],
        [("OM-117", "03/27/2006", "", "KX-40"), ("OM-110", "27/03/2005", "", "KX-40")],
        [("OM-117", "03/27/2006", ORBECK, "KX-40"), ("OM-110", "03/27/2005", OTHER, "KX-55")],
    ],
)
def test_a_series_that_two_makers_may_share_proves_nothing(dated, others):
    """Other units, other letters, dates that disagree, or two makers in the series: the doubt stays."""
    assert dated(("OM-640", "04/11/2007", "", "KX-40"), *others)[1]


def test_a_series_needs_letters():
    """A number of figures, or of one letter, tells no series; a department no maker."""
    assert (series_of("OM-640"), series_of("TD/B 7"), series_of("7/2003"), series_of("M 12")) == (
        "OM",
        "TDB",
        None,
        None,
    )
    assert names_department("Product Support") and not names_department("Orbeck Gears")


@pytest.mark.parametrize(
    ("printed", "number"),
    [
        ("Form 4410-C Printed June 2003", "Form 4410-C"),
        ("FORM 12-340", "FORM 12-340"),
        ("Form No. 33-12", "33-12"),
        ("Form: 4410", "4410"),
        ("Publication 4410-C", "4410-C"),
        ("Form KM 310", "KM 310"),
    ],
)
def test_a_books_number_keeps_the_word_form_where_it_is_printed_so(printed, number):
    """`Form 4410-C` is the book's name in its maker's notes; a label with `No.` or a colon is no part."""
    found = number_in(printed)
    assert found is not None and found[0] == number


def said(text):
    """The statements of a typed note with these words."""
    notes = read_document((HEAD + text + "\n").encode(), "note.txt").notes
    return notes[0].statements if notes else ()


def changes(text):
    return [(s.old, s.new, s.standing) for s in said(text) if isinstance(s, Supersession)]


@pytest.mark.parametrize(
    "text",
    [
        "The repair kit 14.240 is replaced by the repair kit 14.245.",
        "Seal set: the seal set 14.240 is replaced by the seal set 14.245.",
        "Part no. 14.240 has been superseded by part no. 14.245.",
        "Kit 14.240 is no longer supplied. Use kit 14.245.",
        "Ident. no. 14.240 is replaced by ident. no. 14.245.",
    ],
)
def test_a_short_dotted_number_is_a_number_where_the_text_calls_it_one(text):
    """`14.240` has the shape of a measure; behind `kit` or `part no.` it is a number."""
    assert changes(text) == [(("14.240",), ("14.245",), "settled")]


@pytest.mark.parametrize(
    "text",
    [
        "The bore of 14.240 is replaced by one of 14.245.",
        "Kit 4471-20 has shims of thickness 14.240 replaced by shims of 14.245.",
        "Set 14.240 on the gauge; it is replaced by 14.245.",
    ],
)
def test_a_measure_of_that_shape_stays_a_measure(text):
    """Without such a label the figures are a size: nothing is settled."""
    assert not [c for c in changes(text) if c[2] == "settled"]


@pytest.mark.parametrize(
    ("text", "old", "new"),
    [
        ("Thrust washer 20617A is replaced by bearing 20988.", "20617A", "20988"),
        ("Gasket 4471A has been superseded by gasket 4471B.", "4471A", "4471B"),
        ("Ring 207352L is replaced by ring 207353L.", "207352L", "207353L"),
    ],
)
def test_a_change_letter_is_no_unit(text, old, new):
    """`20617A` is a part with its change letter, and no current of so many amperes."""
    assert changes(text) == [((old,), (new,), "settled")]


def test_amperes_stay_amperes():
    """Few figures with an A are a current."""
    found = said("In step 4 on page 3-1 change 15 A to 20 A.")
    assert [(s.was, s.now) for s in found if isinstance(s, Override)] == [("15 A", "20 A")]


WAS_IS = """The parts system has been cleaned up. Order by the number in the IS column.

WAS                   IS                    REMARKS
20922A                20922B                gasket, new material
21440                 21446                 seal, double lip
20735                 20735                 spacer, no change
22308A                22315                 drain plug, magnetic
"""


def test_was_and_is_head_old_and_new_numbers():
    """Each row is a change but the one whose number stays, which is told as neither change nor unread."""
    document = read_document((HEAD + WAS_IS).encode(), "note.txt")
    found = [s for s in document.notes[0].statements if isinstance(s, Supersession)]
    assert [(s.old, s.new) for s in found] == [
        (("20922A",), ("20922B",)),
        (("21440",), ("21446",)),
        (("22308A",), ("22315",)),
    ]
    assert not [f for f in document.findings if "20735" in f.message]


KIT = """The kit 14.221 is delivered from now on in the following composition:

{heads}
1           9             Piston with slipper                         3.108.0301
2           4             Steel washer                                3.108.0310
3           1             Cylinder spring                             3.108.0312
"""
HEADS = [
    "Pos.        Pieces        Denomination                                Ident. no.",
    "Item        Qty           Description                                 Ident. number",
    "Pos.        Pcs.          Designation                                 Material no.",
    "No.         Quantity      Name                                        Code",
    "Pos.        Off           Part name                                   Spare part no.",
]


@pytest.mark.parametrize("heads", HEADS)
def test_a_kits_table_reads_whatever_its_column_of_numbers_is_called(heads):
    """Counts, names and dotted numbers of each row, the kit from the sentence above."""
    (kit,) = [s for s in said(KIT.format(heads=heads)) if isinstance(s, Contents)]
    assert (kit.kit, kit.standing) == ("14.221", "settled")
    assert [(li.part, li.description, li.quantity) for li in kit.lines] == [
        ("3.108.0301", "piston with slipper", 9),
        ("3.108.0310", "steel washer", 4),
        ("3.108.0312", "cylinder spring", 1),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "It is provided to replace the seal 3.108.0401 by the seal 3.108.0402 in the course of the year.",
        "The seal 3.108.0401 is to be replaced by the seal 3.108.0402. No final decision has been taken yet.",
        "The seal 3.108.0401 is replaced by the seal 3.108.0402. A decision has not fallen yet.",
        "It is foreseen to replace the seal 3.108.0401 by the seal 3.108.0402.",
        "The seal 3.108.0401 is replaced by the seal 3.108.0402. Nothing has been decided yet.",
    ],
)
def test_a_plan_states_nothing(text):
    """What is provided for, or is still to be decided, is no change that a shop could act on."""
    assert all(standing == "refused" for _, _, standing in changes(text))


@pytest.mark.parametrize(
    "text",
    [
        "The seal 3.108.0401 is replaced by the seal 3.108.0402. The decision has been taken.",
        "The seal 3.108.0401 is replaced by the seal 3.108.0402. The price is not fixed by the works yet.",
    ],
)
def test_what_is_decided_stands(text):
    """A decision that was taken, or one about something else, takes nothing back."""
    assert changes(text) == [(("3.108.0401",), ("3.108.0402",), "settled")]


@pytest.mark.parametrize("mark", ["{n})", "{n}.", "Step {n}."])
def test_steps_rewritten_together_each_get_their_own_words(mark):
    """Below `Use these instead:` each paragraph begins with its step's number."""
    text = "Steps 35 and 36, page 5-1, have been rewritten. Use these instead:\n\n"
    text += "\n\n".join(
        f"{mark.format(n=n)} {words}" for n, words in ((35, "Oil the ring."), (36, "Fit it."))
    )
    found = [(s.target.item, s.text, s.standing) for s in said(text) if isinstance(s, Override)]
    assert found == [("35", "Oil the ring.", "settled"), ("36", "Fit it.", "settled")]


@pytest.mark.parametrize("text", ["have not been rewritten", "have been rewritten. If you have no lathe"])
def test_steps_rewritten_under_a_condition_or_not_at_all_are_never_settled(text):
    """A denial or a condition before the new words keeps them from being in force."""
    words = f"Steps 35 and 36, page 5-1, {text}, use these instead:\n\n35) Oil the ring.\n\n36) Fit it."
    assert not [s for s in said(words) if isinstance(s, Override) and s.standing == "settled"]
