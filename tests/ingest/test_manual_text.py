"""Small pages typed as plain text, each with one difficulty in the numbering or the flow of steps."""

import pytest
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.text import read_text


def read(text):
    return read_manual(lay_out(read_text(text.strip("\n").encode())), "page.txt")


def steps(text):
    """Label and words of each step."""
    return [(i.label, i.text) for p in read(text).manual.pages for i in p.items]


def test_numbered_headings_above_numbered_steps_are_sections():
    """`1. Removal` above its own count from (1) is a heading; `12 Nm` at a line start is no step."""
    text = """
1. Removal

(1) Drain the oil and remove the cover plate from the
    rear of the case.
(2) Take out the 12 screws.

2. Fitting

(1) Fit the cover with a new gasket.
(2) Tighten the screws to
    12 Nm in two stages.
(3) Fill with oil.
"""
    items = [i for p in read(text).manual.pages for i in p.items]
    assert [(i.label, i.section) for i in items] == [
        ("1", "1. Removal"),
        ("2", "1. Removal"),
        ("1", "2. Fitting"),
        ("2", "2. Fitting"),
        ("3", "2. Fitting"),
    ]
    assert items[3].text == "Tighten the screws to 12 Nm in two stages."


def test_capital_letters_number_steps_if_used_throughout():
    """`A.` with (1) and (a) below it: the letter is the step, the rest its sub-steps."""
    text = """
REMOVAL OF PUMP

A. Remove the pump as follows:
   (1) Drain the oil.
   (2) Disconnect the pipes:
       (a) suction pipe;
       (b) pressure pipe.
   (3) Lift the pump off.
B. Inspect the pump for wear.
C. Renew the seals.
"""
    assert steps(text) == [
        (
            "A",
            "Remove the pump as follows: Drain the oil. Disconnect the pipes: suction pipe; pressure pipe. "
            "Lift the pump off.",
        ),
        ("B", "Inspect the pump for wear."),
        ("C", "Renew the seals."),
    ]


def test_sub_steps_at_the_step_s_own_indent_stay_inside_it():
    """a) and b) set flush with the numbers are still sub-steps."""
    text = """
Fitting the pump

1. Fit the pump over the dowels.
a) Wait five minutes.
b) Check it is flush.
2. Tighten the screws.
3. Fill with oil.
"""
    assert steps(text)[0] == ("1", "Fit the pump over the dowels. Wait five minutes. Check it is flush.")
    assert len(steps(text)) == 3


def test_an_extract_may_begin_at_any_number_and_a_gap_is_a_finding():
    """A loose page begins at 17; that 19 is missing, and 1 to 16 are, is said."""
    text = """
17. Fit the pump over the dowels.
18. Tighten the screws to 9 Nm.
20. Fill with oil.
21. Check the level.
"""
    assert [label for label, _ in steps(text)] == ["17", "18", "20", "21"]
    messages = [f.message for f in read(text).findings]
    assert any("between steps 18 and 20" in m for m in messages)
    assert any("begin at 17" in m for m in messages)


def test_numbers_wrapped_in_block_paragraphs_are_no_steps():
    """Bare step numbers, and wrapped quantities at the very same indent."""
    text = """
Cover

1 Fit the cover over the dowels and tighten the screws to
12 Nm. Turn the shaft by hand through
3 turns and check that the play is not more than
0.3 mm.
2 Fill the unit with
4 litres of oil.
3 Check the level after
5 minutes.
"""
    assert [label for label, _ in steps(text)] == ["1", "2", "3"]
    assert steps(text)[0][1].endswith("the play is not more than 0.3 mm.")


def test_a_sentence_that_wraps_to_a_number_with_a_full_stop_is_no_step():
    """`in step / 2. of the section` and `in Fig. / 3. Then` wrap to what looks like a mark."""
    text = """
Charge pump

1. Fit the rotor as told in step
2. of the section before and turn it as in Fig.
3. Then go on.
2. Fit the vanes.
3. Fit the cover.
4. Fill.
"""
    assert [label for label, _ in steps(text)] == ["1", "2", "3", "4"]


def test_levels_of_decimals_below_headings():
    """5.1 heads, 5.1.1 is the step; `2.5 Nm` wrapped to a line start is neither."""
    text = """
5 OIL PUMP

5.1 Removal

5.1.1 Drain the oil.
5.1.2 Remove the pump.

5.2 Fitting

5.2.1 Fit the pump.
5.2.2 Tighten the screws to
      2.5 Nm.
"""
    assert steps(text) == [
        ("5.1.1", "Drain the oil."),
        ("5.1.2", "Remove the pump."),
        ("5.2.1", "Fit the pump."),
        ("5.2.2", "Tighten the screws to 2.5 Nm."),
    ]


def test_decimals_below_a_step_are_steps_of_their_own():
    """1.1 can be cited by itself, so it is a step; the step above keeps its own words."""
    text = """
OIL PUMP

1. Remove the pump from the case.
   1.1 Drain the oil.
   1.2 Undo the screws.
2. Fit the new pump.
   2.1 Place the gasket.
   2.2 Tighten the screws.
3. Run the unit.
"""
    assert [label for label, _ in steps(text)] == ["1", "1.1", "1.2", "2", "2.1", "2.2", "3"]


def test_a_notice_before_the_first_step_hangs_on_that_step():
    """Where a section has no step before it, a notice belongs to the next; later ones to the step above."""
    text = """
Brake pack

WARNING: The spring is under load. Use the press
and release it slowly.

1. Compress the spring.
2. Take out the ring.
   NOTE: Keep the shims in order.

   Wipe the groove afterwards.
3. Release the press.
"""
    items = read(text).manual.pages[0].items
    assert items[0].notices[0].kind == "WARNING"
    assert items[0].notices[0].text == "The spring is under load. Use the press and release it slowly."
    assert [(n.kind, n.text) for n in items[1].notices] == [("NOTE", "Keep the shims in order.")]
    assert items[1].text == "Take out the ring. Wipe the groove afterwards."
    assert {i.section for i in items} == {"Brake pack"}


def test_note_as_a_verb_opens_no_notice():
    """`Note the position` is an instruction."""
    text = """
Selector

1. Turn the shaft until it stops.
   Note the position of the fork.
2. Remove the fork.
3. Remove the shaft.
"""
    item = read(text).manual.pages[0].items[0]
    assert item.text == "Turn the shaft until it stops. Note the position of the fork."
    assert item.notices == ()


def test_numbers_inside_a_notice_are_no_steps():
    """A notice may number its points; the steps' count goes on."""
    text = """
Brake pack

1. Compress the spring.
   NOTES:
   1. Use the press.
   2. Keep clear.
2. Take out the ring.
3. Release the press.
"""
    assert [label for label, _ in steps(text)] == ["1", "2", "3"]


def test_rows_of_a_parts_list_are_parts_and_no_steps():
    """A parts list numbers its rows; they become the manual's parts with quantities."""
    text = """
Fitting

1. Fit the pump.
2. Fit the cover.
3. Fill with oil.

Parts list

Item  Part No.   Description       Qty
1     210-44-1   Seal ring         2
2     210-44-2   Plain plate       6
3     210-44-3   Jointing paste    AR
4     210-44-4   Circlip           1
"""
    manual = read(text).manual
    assert [i.label for p in manual.pages for i in p.items] == ["1", "2", "3"]
    assert [(k.part, k.description, k.quantity) for k in manual.parts] == [
        ("210-44-1", "Seal ring", 2),
        ("210-44-2", "Plain plate", 6),
        ("210-44-3", "Jointing paste", None),
        ("210-44-4", "Circlip", 1),
    ]


def test_the_key_to_a_figure_is_no_run_of_steps():
    """Names beside callout numbers below a caption are a legend, in one column or two."""
    text = """
Fig. 4  Charge pump
1 Housing      4 Seal ring
2 Rotor        5 Cover
3 Vane         6 Dowel

Charge pump

1 Fit the rotor.
2 Fit the vanes with the round
  edge outwards.
3 Fit the cover.
"""
    assert steps(text) == [
        ("1", "Fit the rotor."),
        ("2", "Fit the vanes with the round edge outwards."),
        ("3", "Fit the cover."),
    ]


def test_callouts_of_a_figure_beside_the_text_are_no_words_of_it():
    """Numbers of a figure at the height of the text, far to its right, are left out."""
    text = """
Cover

1  Fit the cover over the dowels.             1
2  Tighten the screws to 9 Nm.                    3
3  Fill with oil.                            2
4  Check the level.                               5
"""
    assert steps(text)[1] == ("2", "Tighten the screws to 9 Nm.")


def test_a_number_on_a_line_of_its_own_heads_its_step():
    """`Step 1` may stand above its text."""
    text = """
Fitting the pack

Step 1
Soak the plates in oil for 20 minutes.

Step 2
Stack the plates in the basket, a plain plate
first.

Step 3
Measure the clearance.
"""
    assert steps(text)[1] == ("2", "Stack the plates in the basket, a plain plate first.")


def test_bullets_go_and_their_words_stay():
    """Bullets and list dashes are marks of sub-steps; a dash inside a sentence is a word."""
    text = """
Fitting

1. Stack the plates:
   - plain plate first
   - lined plate last
2. Measure the pack \u2013 with the
   plates dry \u2013 in three places.
3. Fit the ring.
"""
    found = dict(steps(text))
    assert found["1"] == "Stack the plates: plain plate first lined plate last"
    assert found["2"] == "Measure the pack \u2013 with the plates dry \u2013 in three places."


def test_indented_first_lines_with_text_at_the_margin():
    """Typewritten steps: the number is indented, the lines after it are not."""
    text = """
Fitting the pack

   1. Soak the plates in oil for at least 20 minutes
and let them drip on a grid.
   2. Stack the plates in the basket with a plain plate
first and the two kinds in turn.
   3. Measure the clearance.
"""
    assert steps(text)[0] == (
        "1",
        "Soak the plates in oil for at least 20 minutes and let them drip on a grid.",
    )


def test_a_paragraph_at_the_margin_after_a_step_is_no_part_of_it():
    """An unnumbered paragraph belongs to a step only if it is indented like the step's text."""
    text = """
Fitting the pack

1. Soak the plates in oil.
2. Stack the plates in the basket with a
   plain plate first.

The pack may be stored for a week in this state.

3. Measure the clearance.
"""
    assert steps(text)[1] == ("2", "Stack the plates in the basket with a plain plate first.")


def test_steps_set_as_a_table_are_steps():
    """A table headed Step and Operation holds steps; its other cells follow the words."""
    text = """
Step  Operation                                   Tool

1     Fit the rotor into the body                 M-44
2     Fit the vanes with the round edge outwards  none
3     Fit the cover and tighten the screws        M-12
4     Turn the shaft by hand to check it          none
"""
    assert [label for label, _ in steps(text)] == ["1", "2", "3", "4"]
    assert steps(text)[0][1].startswith("Fit the rotor into the body")


def test_change_bars_printed_as_characters_are_passed_over():
    """A bar before a changed line is no word and hides no number."""
    text = """
Fitting the pack

  1. Soak the plates in oil.
| 2. Stack the plates in the basket with a
|    plain plate first.
  3. Measure the clearance.
  4. Fit the ring.
"""
    assert steps(text)[1] == ("2", "Stack the plates in the basket with a plain plate first.")


def test_a_broken_word_is_mended_and_a_part_number_is_not():
    """The hyphen of a word cut at a line end goes; that of a number stays."""
    text = """
Fitting

1. Fit the cover to the hous-
   ing with seal 210-
   44-1 and wait.
2. Fit the ring.
3. Fill with oil.
"""
    assert steps(text)[0][1] == "Fit the cover to the housing with seal 210-44-1 and wait."


@pytest.mark.parametrize("text", ["No steps here at all.\n", "1\n2\n3\n4\n5\n", "12 Nm\n25 Nm\n38 Nm\n"])
def test_pages_without_steps_give_none(text):
    """Prose, bare callouts and columns of values hold no steps."""
    assert steps(text) == []


def test_no_pages_at_all_make_an_empty_manual():
    """Nothing in, nothing out, named by its file."""
    reading = read_manual((), "loose.pdf")
    assert reading.manual.pages == () and reading.manual.number == "loose"
    assert any("file name" in f.message for f in reading.findings)
