"""Whole notes: paragraphs and tables to statements, with their places, units, doubts and findings. Texts
invented."""

import datetime as dt

import pytest
from benchleaf.graph.model import (
    Applies,
    Box,
    Cancels,
    Contents,
    Override,
    Statement,
    Supersession,
    Withdrawn,
)
from benchleaf.ingest.phrases.statements import StatementReading
from typed_notes import BOX, only, paragraph, read, table


def test_statement_carries_note_date_place_and_quote() -> None:
    """A statement names its note, date, sheet, printed page and box, and quotes the sentence, not its
    neighbours."""
    said = "Kit 318 604 22 has been replaced by kit 318 604 57."
    (one,) = read(f"Dispose of used oil. {said} Please file this note.").statements
    assert (one.note, one.date, one.quote) == ("TI 99-3", dt.date(1999, 3, 12), said)
    assert (one.source.file, one.source.sheet, one.source.page, one.source.box) == ("ti.pdf", 1, "3", BOX)
    assert one.confidence == 1.0 and not one.source.by_ocr


def test_ocr_paragraph_gives_its_confidence() -> None:
    """Words read by OCR give the paragraph's confidence and mark the source."""
    (one,) = read(paragraph("318 604 57 replaces 318 604 22.", by_ocr=True, confidence=0.71)).statements
    assert one.confidence == 0.71 and one.source.by_ocr


def test_same_statement_twice_is_one_the_better_stays() -> None:
    """A statement that is repeated in other words is kept once, in its surest form."""
    (one,) = read(
        "318 604 57 will replace 318 604 22.", "Kit 318 604 22 is superseded by kit 318 604 57."
    ).statements
    assert one.standing == "settled"


@pytest.mark.parametrize(
    ("text", "interchange", "stock"),
    [
        ("318 604 57 replaces 318 604 22. The two are interchangeable.", "both ways", None),
        ("318 604 57 replaces 318 604 22; they are not interchangeable.", "none", None),
        (
            "318 604 57 replaces 318 604 22. The new part may be used for the old, but not vice versa.",
            "new for old",
            None,
        ),
        ("318 604 57 replaces 318 604 22. Existing stock may be used up.", "unstated", "use up"),
        ("318 604 57 replaces 318 604 22. Old stock must be scrapped.", "unstated", "scrap"),
        ("318 604 57 replaces 318 604 22.\n\nUse up existing stock.", "unstated", "use up"),
        ("318 604 57 replaces 318 604 22.", "unstated", None),
        (
            "318 604 57 replaces 318 604 22. Existing stock may be used up unless it is worn.",
            "unstated",
            None,
        ),
    ],
)
def test_riders(text: str, interchange: str, stock: str | None) -> None:
    """What the sentences behind say of interchange and stock belongs to the supersession; a condition
    undoes it."""
    found = only(read(*text.split("\n\n")).statements, Supersession)
    assert [(s.interchange, s.stock) for s in found if isinstance(s, Supersession)] == [(interchange, stock)]


@pytest.mark.parametrize(
    ("text", "relation", "doubt"),
    [
        ("318 604 22 is replaced by 318 604 57 and 318 604 58.", "all of", False),
        ("318 604 22 is replaced by 318 604 57 or 318 604 58.", "one of", False),
        ("318 604 22 is replaced by 318 604 57, 318 604 58. Both are needed.", "all of", False),
        ("318 604 22 is replaced by 318 604 57, 318 604 58.", "all of", True),
        ("318 604 22 is replaced by 318 604 57 and/or 318 604 58.", "all of", True),
        (
            "318 604 22 is replaced by 318 604 57 or 318 604 58. Both must be ordered together.",
            "all of",
            True,
        ),
    ],
)
def test_several_new_numbers(text: str, relation: str, doubt: bool) -> None:
    """ "and" means all, "or" means one; where it is not said, or contradicted, there is a doubt."""
    (one,) = read(text).statements
    assert isinstance(one, Supersession) and one.relation == relation
    assert (one.standing == "doubtful") is doubt


def test_own_units_before_the_notes() -> None:
    """A sentence that names its own serial range keeps it, with the note's models; others have the note's
    range."""
    head = Applies(models=("DX-4",), serial_from="10000", as_printed="DX-4 from 10000")
    found = read(
        "For units from serial number 20500 on, item 3 on page 4 of HB 350 is deleted.",
        "Item 5 on page 4 of HB 350 is deleted.",
        applies=head,
    ).statements
    first, second = (s for s in found if isinstance(s, Override))
    assert (first.applies.serial_from, first.applies.models) == ("20500", ("DX-4",))
    assert second.applies == head


def test_units_named_behind_the_statement() -> None:
    """ "This applies from serial number …" right behind a statement is its range, and no part of its
    words."""
    text = "Item 3 on page 4 of HB 350 now reads: Oil the ring. This applies from serial number 20500."
    (one,) = read(text).statements
    assert isinstance(one, Override) and one.text == "Oil the ring."
    assert one.applies.serial_from == "20500"


def test_step_bound_to_a_kit() -> None:
    """A step that holds only with a kit says so in its units, and is no doubt for it."""
    (one,) = read(
        "When kit 318 604 57 is fitted, item 3 on page 4 of HB 350 is changed to read: Oil the ring."
    ).statements
    assert isinstance(one, Override) and one.applies.kits == ("318 604 57",) and one.standing == "settled"


def test_manual_from_the_subject_and_page_from_the_heading() -> None:
    """The manual may be named in the subject line alone and the page in a heading."""
    (one,) = read("Page 26", "Item 3 is deleted.", subject="Correction to workshop manual HB 350").statements
    assert isinstance(one, Override)
    assert (one.target.publication, one.target.page, one.target.item) == ("HB 350", "26", "3")


def test_no_manual_named_at_all() -> None:
    """A note that names no manual leaves the publication open."""
    (one,) = read("Page 26: delete item 3.").statements
    assert isinstance(one, Override) and one.target.publication is None and one.target.page == "26"


def test_page_from_far_above_is_a_doubt_where_several_are_named() -> None:
    """A page taken from an earlier paragraph is a doubt where the note names several pages."""
    found = read(
        "On page 26 of HB 350, item 3 is deleted.",
        "On page 27, item 1 is deleted.",
        "Wear gloves.",
        "Delete item 4.",
    )
    last = found.statements[-1]
    assert isinstance(last, Override) and last.target.item == "4" and last.standing == "doubtful"


def test_words_in_the_next_paragraph_with_sub_steps() -> None:
    """New words may stand in the next paragraph, with the step's number and lettered sub-steps."""
    (one,) = read(
        "Item 7 on page 31 of HB 350 is replaced by:",
        "7. Oil the ring:",
        "(a) Turn it twice.",
        "(b) Wipe it.",
        "Please file this note.",
    ).statements
    assert isinstance(one, Override) and one.text == "Oil the ring: (a) Turn it twice. (b) Wipe it."


def test_quotation_over_two_paragraphs() -> None:
    """A quotation that runs over a paragraph's end is one text."""
    (one,) = read(
        "Item 3 on page 26 of HB 350 now reads:",
        "“Fit the ring dry.",
        "Then turn it.” Other steps are unchanged.",
    ).statements
    assert isinstance(one, Override) and one.text == "Fit the ring dry. Then turn it."


def test_words_announced_but_missing_are_a_doubt() -> None:
    """A note that says a step is replaced, without the new words, gives a doubt that says so."""
    (one,) = read("This bulletin replaces item 3 on page 26 of HB 350.").statements
    assert one.standing == "doubtful" and "not found" in one.why[0]


def test_one_text_for_several_steps_is_a_doubt() -> None:
    """One text in place of several steps must be looked at by a person."""
    found = read("Items 4 to 6 on page 26 of HB 350 are replaced by the following: Oil the ring.").statements
    assert [s.standing for s in found] == ["doubtful"] * 3


def test_text_that_speaks_of_changes_is_not_read_for_statements() -> None:
    """Words inside a new step are the step's, even where they sound like a note."""
    (one,) = read(
        'Item 3 on page 26 of HB 350 is changed to read: "If item 5 is omitted, replace 318 604'
        ' 22 by 318 604 57."'
    ).statements
    assert isinstance(one, Override) and one.text == "If item 5 is omitted, replace 318 604 22 by 318 604 57."


def test_unread_sentence_is_a_finding() -> None:
    """A sentence that speaks of a change and names numbers but was not understood is shown, and settles
    nothing."""
    reading = read("The change of 318 604 22 concerns the replacement dealt with under 318 604 57 elsewhere.")
    assert not [s for s in reading.statements if s.standing == "settled"]
    assert reading.findings and reading.findings[0].message.startswith("unread:")


def test_plain_sentences_give_no_finding() -> None:
    """Sentences that only advise or file give neither statement nor finding."""
    reading = read(
        "Always wear gloves and eye protection when working with compressed air.",
        "Please file this information with your manual.",
        "Parts can be ordered from the depot in the usual way.",
        "Customers reported noise at low speed; no safety risk was found.",
    )
    assert reading == StatementReading((), ())


def test_page_without_a_step_is_a_finding() -> None:
    """Replacing a whole page names no step: a finding, no statement."""
    reading = read("Page 26 of HB 350 is replaced by the following: see the sheet enclosed.")
    assert reading.statements == () and reading.findings


def test_header_field_supersedes_cancels() -> None:
    """The head's field "Supersedes" cancels each note it names."""
    found = read("Fit the ring dry.", supersedes=("TI 98-1", "TI 98-2")).statements
    assert [s.cancels for s in found if isinstance(s, Cancels)] == ["TI 98-1", "TI 98-2"]


def test_another_note_that_cancels_is_a_doubt() -> None:
    """What another note is said to have cancelled is a doubt here."""
    (one,) = read("Bulletin TI 97-9 was cancelled by bulletin TI 98-2.").statements
    assert isinstance(one, Cancels) and one.standing == "doubtful"


def test_subject_alone_is_a_doubt() -> None:
    """A supersession that only the subject line states is a doubt."""
    (one,) = read(
        "The new kit has a better lining.", subject="Kit 318 604 22 replaced by kit 318 604 57"
    ).statements
    assert isinstance(one, Supersession) and one.standing == "doubtful"


def test_withdrawn_part_with_a_replacement_is_no_withdrawal() -> None:
    """A part that the same note replaces is superseded, not withdrawn."""
    found = read(
        "318 604 22 is no longer available.", "Kit 318 604 22 is replaced by kit 318 604 57."
    ).statements
    assert not only(found, Withdrawn) and len(only(found, Supersession)) == 1


def test_contents_of_the_kit_before() -> None:
    """What the old kit contained stands as the new kit's previous contents."""
    found = read(
        "Kit 318 604 22 is replaced by kit 318 604 57.",
        "Kit 318 604 22 contained 10 friction discs and 9 steel discs. Kit 318 604 57 contains"
        " 10 friction discs and 11 steel discs.",
    ).statements
    (kit,) = (s for s in found if isinstance(s, Contents))
    assert [(p.quantity, p.description) for p in kit.previous] == [(10, "friction disc"), (9, "steel disc")]


def test_models_and_serials_are_no_parts() -> None:
    """A model's name and serial numbers are not read as part numbers."""
    reading = read(
        "GX-2200 replaces GX-2100 from serial number 318604.", applies=Applies(models=("GX-2200", "GX-2100"))
    )
    assert not reading.statements


def test_manual_number_is_no_part() -> None:
    """A manual that takes another's place is no supersession of parts."""
    reading = read("Workshop manual HB 360-11 replaces workshop manual HB 350-11.")
    assert not only(reading.statements, Supersession)


def test_chain_of_arrows() -> None:
    """ "a → b → c" is two supersessions."""
    found = read("318 604 22 → 318 604 57 → 318 604 91").statements
    assert [(s.old, s.new) for s in found if isinstance(s, Supersession)] == [
        (("318 604 22",), ("318 604 57",)),
        (("318 604 57",), ("318 604 91",)),
    ]


# Tables.


def test_old_and_new_table_in_any_order_of_columns() -> None:
    """Old and new numbers are told by their heads; remarks give interchange, stock and "no replacement"."""
    found = read(
        "The following part numbers have changed:",
        table(
            "New number|Remarks|Old number",
            "318 604 57|interchangeable|318 604 22",
            "|no replacement|318 604 23",
            "318 604 58 + 318 604 59|use up old stock|318 604 24",
        ),
    ).statements
    first, gone, split = found
    assert isinstance(first, Supersession) and (first.old, first.new, first.interchange) == (
        ("318 604 22",),
        ("318 604 57",),
        "both ways",
    )
    assert isinstance(gone, Withdrawn) and gone.part == "318 604 23"
    assert isinstance(split, Supersession) and split.relation == "all of" and split.stock == "use up"
    assert first.source.box == Box(50, 212, 310, 222) and first.standing == "settled"


@pytest.mark.parametrize(
    ("above", "standings"),
    [
        ("The following numbers have not changed:", set()),
        ("It is planned to change these numbers:", {"doubtful"}),
        ("Dealers have reported these changes:", {"refused"}),
        ("Changes of part numbers:", {"settled"}),
    ],
)
def test_table_under_a_guarded_sentence(above: str, standings: set[str]) -> None:
    """The sentence above a table is guarded as any other."""
    found = read(above, table("Old number|New number", "318 604 22|318 604 57")).statements
    assert {s.standing for s in found} == standings


def test_past_interim_and_new_design() -> None:
    """Past, interim and new design are a chain; a blank interim is left out."""
    found = read(
        "Part numbers:",
        table(
            "Past design|Interim design|New design",
            "318 604 22|318 604 30|318 604 57",
            "318 604 23||318 604 58",
        ),
    ).statements
    assert [(s.old[0], s.new[0]) for s in found if isinstance(s, Supersession)] == [
        ("318 604 22", "318 604 30"),
        ("318 604 30", "318 604 57"),
        ("318 604 23", "318 604 58"),
    ]


@pytest.mark.parametrize(
    "rows",
    [
        ("Qty|Part No.|Description", "10|318 604 91|Friction discs", "11|318 604 92|Steel discs"),
        ("Description|Quantity|P/N", "Friction disc|10|318 604 91", "Steel disc|11 pcs.|318 604 92"),
        (
            "Pos.|Part number|Designation|No. off",
            "1|318 604 91|Friction disc|10",
            "2|318 604 92|Steel disc|11",
        ),
        ("1|10|318 604 91|Friction disc", "2|11|318 604 92|Steel disc"),
    ],
)
def test_kit_table(rows: tuple[str, ...]) -> None:
    """A kit list is read by its heads, or by what its columns hold, in any order of columns."""
    (kit,) = read("Contents of kit 318 604 57:", table(*rows)).statements
    assert isinstance(kit, Contents) and kit.kit == "318 604 57" and kit.standing == "settled"
    assert [(line.part, line.description, line.quantity) for line in kit.lines] == [
        ("318 604 91", "friction disc", 10),
        ("318 604 92", "steel disc", 11),
    ]


def test_kit_table_before_and_after() -> None:
    """Columns "previously" and "now" give the kit's lines and those before."""
    (kit,) = read(
        "Kit 318 604 57", table("Description|Previously|Now", "Friction disc|10|10", "Steel disc|9|11")
    ).statements
    assert isinstance(kit, Contents)
    assert [line.quantity for line in kit.lines] == [10, 11] and [line.quantity for line in kit.previous] == [
        10,
        9,
    ]


def test_corrections_table() -> None:
    """Page, item, was and now: values change, longer words replace, a blank page is the one above."""
    found = read(
        "Please make these corrections in manual HB 350:",
        table(
            "Page|Item|Was|Now",
            "26|3|9 Nm|11 Nm",
            "|4|35 Nm|40 Nm",
            "27|1|Fit the ring wet and turn it by hand.|Fit the ring dry and turn it by hand.",
        ),
    ).statements
    told = [
        (s.action, s.target.page, s.target.item, s.was, s.now, s.text)
        for s in found
        if isinstance(s, Override)
    ]
    assert told == [
        ("change-value", "26", "3", "9 Nm", "11 Nm", None),
        ("change-value", "26", "4", "35 Nm", "40 Nm", None),
        (
            "replace",
            "27",
            "1",
            "Fit the ring wet and turn it by hand.",
            None,
            "Fit the ring dry and turn it by hand.",
        ),
    ]
    assert all(isinstance(s, Override) and s.target.publication == "HB 350" for s in found)


def test_was_and_now_under_a_step() -> None:
    """A table of was and now below a step's citation changes that step."""
    (one,) = read("Manual HB 350, page 26, item 3:", table("Was|Now", "9 Nm|11 Nm")).statements
    assert isinstance(one, Override) and (one.target.item, one.was, one.now) == ("3", "9 Nm", "11 Nm")


def test_action_column() -> None:
    """A column of actions tells deletion, insertion and replacement."""
    found = read(
        "Corrections to HB 350:",
        table(
            "Page|Step|Action|Text",
            "26|3|Delete|",
            "26|5|Insert after|Check the end play.",
            "27|2|Replace|Fit the ring dry.",
        ),
    ).statements
    assert [s.action for s in found if isinstance(s, Override)] == ["delete", "insert-after", "replace"]


def test_unreadable_row_is_a_finding() -> None:
    """A row whose cells hold no number where one must stand is shown to a person."""
    reading = read("Changes:", table("Old number|New number", "318 604 22|318 604 57", "see text|318 604 58"))
    assert len(reading.statements) == 1 and len(reading.findings) == 1


# Readings of words that are not in the phrase book.


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Stocks of 318 604 22 have run out and 318 604 57 comes in its stead.", Supersession),
        ("Item 3 on page 26 of HB 350 has seen an amendment in wording, thus: Oil the ring.", Override),
        ("Kindly consider circular TI 98-2 withdrawn from circulation.", Cancels),
        (
            "Packed into kit 318 604 57 go 10 friction discs and 11 steel discs, previously loose.",
            Contents,
        ),
    ],
)
def test_unknown_wording_is_never_settled(text: str, kind: type[Statement]) -> None:
    """A wording that the book does not hold may be guessed at, but only as a doubt that says so."""
    found = read(text).statements
    assert [type(s) for s in found] == [kind]
    assert found[0].standing == "doubtful"


def test_it_takes_the_number_named_before_as_a_doubt() -> None:
    """ "It is replaced by …" speaks of the one number of the sentence before, which is a doubt."""
    (one,) = read("The seal 318 604 22 has been redesigned. It is replaced by 318 604 57.").statements
    assert isinstance(one, Supersession) and one.old == ("318 604 22",) and one.standing == "doubtful"


def test_it_with_several_numbers_before_gives_nothing() -> None:
    """Where the sentence before names two numbers, "it" is neither."""
    found = read("The seals 318 604 22 and 318 604 23 leak. It is replaced by 318 604 57.").statements
    assert not only(found, Supersession)


@pytest.mark.parametrize(
    "text",
    [
        "In item 7 on page 31 of HB 350 tighten from 9 Nm to 11 Nm in two steps.",
        "Increase the pressure slowly from 2 bar to 6 bar as described in item 7 on page 31 of HB 350.",
        "Item 7 on page 31 of HB 350 formerly read: Oil the ring.",
        "Item 7 on page 31 of HB 350, deleted by bulletin TI 98-2, is in force again.",
        "The change to item 7 on page 31 of HB 350 announced in bulletin TI 98-2 is cancelled.",
        "The clearance of 0.3 mm to 0.5 mm in item 7 on page 31 of HB 350 is changed to 0.6 mm.",
        "Item 7 on page 31 of HB 350 was changed from 9 Nm to 11 Nm in 1995 and is now 13 Nm.",
    ],
)
def test_traps_are_never_settled(text: str) -> None:
    """Work steps that name two values, old words, ranges and other notes' changes settle nothing."""
    assert [s for s in read(text).statements if s.standing == "settled"] == []
