"""Changes told in the cells of tables, below a line that names the step, or by "that letter" and "that
paragraph"; kits told as differences. All texts and numbers are invented; wordings are common practice, no
source."""

from dataclasses import replace

import pytest
from benchleaf.graph.model import Box, Contents, Override, Statement, Supersession
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.kitdifferences import told
from benchleaf.ingest.phrases.references import tag
from benchleaf.ingest.phrases.statements import read_statements
from benchleaf.ingest.shapes import Cell, Table

LEAD = "Corrections to workshop manual HB 35."
HEADS = ("Page", "Step", "Correction")
SIDES = ("Page", "Step", "Existing", "Revised")


def table(*rows: tuple[str, ...]) -> Table:
    def cell(text: str, x: int, y: int) -> Cell:
        return Cell(text, Box(90 * x, 100 + 12 * y, 90 * x + 80, 110 + 12 * y))

    made = tuple(tuple(cell(t, x, y) for x, t in enumerate(row)) for y, row in enumerate(rows))
    return Table(1, Box(0, 100, 400, 300), made, True)


def read(text: str, *blocks: Table | str) -> tuple[Statement, ...]:
    header = header_of(text)
    body = list(header.body)
    for block in blocks:
        body.extend(header_of(block).body if isinstance(block, str) else (block,))
    return read_statements(replace(header, body=tuple(body)), "n").statements


def one(text: str, *blocks: Table | str) -> Override:
    found = [s for s in read(text, *blocks) if isinstance(s, Override)]
    assert len(found) == 1, found
    return found[0]


@pytest.mark.parametrize(
    ("cell", "action", "text", "was", "now"),
    [
        ("Add after this step: “Fit two shims.”", "insert-after", "Fit two shims.", None, None),
        ("New step to follow: “Fit two shims.”", "insert-after", "Fit two shims.", None, None),
        ("Insert before this step: Fit two shims.", "insert-before", "Fit two shims.", None, None),
        ("For “9 Nm” substitute “11 Nm”. The rest is kept.", "change-value", None, "9 Nm", "11 Nm"),
        ("Read “11 Nm” instead of “9 Nm”", "change-value", None, "9 Nm", "11 Nm"),
        ("Now reads: “Fit two shims.”", "replace", "Fit two shims.", None, None),
        ("Step withdrawn (washer no longer used)", "delete", None, None, None),
    ],
)
def test_a_cell_that_tells_a_change(
    cell: str, action: str, text: str | None, was: str | None, now: str | None
) -> None:
    """A cell that is a sentence of its own is read as one about the step of its row."""
    found = one(LEAD, table(HEADS, ("26", "4", cell)))
    assert (found.action, found.text, found.was, found.now) == (action, text, was, now)
    assert (found.target.page, found.target.item, found.standing) == ("26", "4", "settled")


@pytest.mark.parametrize("cell", ["Delete “lightly”", "Fit two shims.", "Do not delete.", "Is it deleted?"])
def test_a_cell_that_leaves_it_open(cell: str) -> None:
    """A part struck out, words without a verb of the editor, a denial and a question settle nothing."""
    assert one(LEAD, table(HEADS, ("26", "4", cell))).standing == "doubtful"


def test_a_cell_that_says_nothing_changes() -> None:
    """ "No change" in a row states nothing."""
    assert not read(LEAD, table(HEADS, ("26", "4", "No change")))


@pytest.mark.parametrize(
    ("was", "now", "action", "standing"),
    [
        ("“140 bar”", "“165 bar”", "change-value", "settled"),
        ("whole step", "deleted (test not needed)", "delete", "settled"),
        ("Whole text", "“Turn the hub by hand.”", "replace", "settled"),
        ("“and wire it”", "deleted", "delete", "doubtful"),
        (
            "“grease the studs with grey paste”",
            "“grease the studs with red paste”",
            "change-value",
            "settled",
        ),
        ("4 mm", "Delete “lightly”", "replace", "doubtful"),
    ],
)
def test_existing_and_revised(was: str, now: str, action: str, standing: str) -> None:
    """Old and new words side by side: a value, a whole step, or a part of it that alone may be struck out."""
    found = one(LEAD, table(SIDES, ("25", "4", was, now)))
    assert (found.action, found.standing) == (action, standing)


@pytest.mark.parametrize(
    ("words", "items", "doubt"),
    [
        ("page 22, paragraph 5.2, step d)", ("d",), False),
        ("para 5.2 d), page 22", ("d",), False),
        ("step d) of paragraph 5.2 on page 22", ("d",), False),
        ("page 22, paragraph 5, step 4", ("4",), True),
        ("page 22, step 4, paragraph 2", ("4(2)",), True),
        ("page 22, steps 4 and 5", ("4", "5"), False),
        ("paragraph (b) of step 3 on page 22", ("3(b)",), False),
    ],
)
def test_a_step_named_within_another(words: str, items: tuple[str, ...], doubt: bool) -> None:
    """A heading with its step, or a step with its part, is one step and not two."""
    found = [t.content for _, t in sorted(tag(f"{words} is deleted").tags.items())]
    assert [(r.items, bool(r.why)) for r in found] == [(items, doubt)]


@pytest.mark.parametrize(
    ("below", "action"),
    [
        ("for “20 bar” read “12 bar”", "change-value"),
        ("20 bar becomes 12 bar.", "change-value"),
        ("Raise the pressure from 12 bar to 20 bar and hold it.", "replace"),
    ],
)
def test_what_stands_below_the_step(below: str, action: str) -> None:
    """A paragraph that only changes a value is no new text; one that tells work is."""
    found = one(f"HB 35, page 24, step 2 is amended as follows:\n\n{below}")
    assert (found.action, found.target.item, found.standing) == (action, "2", "settled")


def test_two_kits_under_their_numbers() -> None:
    """A list under "NUMBER – NAME" is of that kit where the note calls the number one of its new kits."""
    text = "The seal kit 47-3100 is discontinued and two kits, 47-3101 and 47-3102, take over from it."
    heads = ("Item", "Description", "Qty")
    found = read(
        f"{text}\n\n47-3101 – Seals",
        table(heads, ("1", "Seal", "3"), ("2", "Wiper", "3")),
        "47-3102 – Rings",
        table(heads, ("1", "Ring", "6"), ("2", "Paste", "1")),
    )
    kits = {s.kit: [x.quantity for x in s.lines] for s in found if isinstance(s, Contents)}
    assert kits == {"47-3101": [3, 3], "47-3102": [6, 1]}
    assert {s.standing for s in found} == {"settled"}


def test_differences_with_their_totals() -> None:
    """A difference with its total is a count; one without it is a doubt."""
    text = "Kit 47-3100 comes with two more plates (8 in total, previously 6) and the same 16 springs."
    found = next(s for s in read(text) if isinstance(s, Contents))
    assert [x.quantity for x in found.lines] == [8, 16] and [x.quantity for x in found.previous] == [6, 16]
    assert found.standing == "settled"
    bare = read("Kit 47-3100 comes with two more friction plates and two more steel plates.")
    assert all(s.standing == "doubtful" for s in bare)


def test_differences_that_do_not_add_up() -> None:
    """Two more than six are not nine."""
    found = told("two more plates (9 in total, previously 6)")
    assert found is not None and found.why


@pytest.mark.parametrize(
    ("text", "page"),
    [("Paragraph 30 of I.B. 35 is deleted.", None), ("Paragraph 30 on page 9 of I.B. 35 is deleted.", "9")],
)
def test_a_book_named_by_initials(text: str, page: str | None) -> None:
    """ "I.B. 35" is a book's number; the page of a paragraph may be left to the book."""
    found = one(text)
    assert (found.target.publication, found.target.page, found.target.item) == ("I.B. 35", page, "30")
    assert not [t for _, t in tag("Use oil S.A.E. 30 only.").tags.items()]


def test_another_books_figure() -> None:
    """What somebody had done by another manual's figure changes no step."""
    assert not read("Both had been tightened to 740 Nm, the figure on page 26 of HB 420 step 4.")


def test_replaced_with_words_between() -> None:
    """ "replaced, for this type, by" is one change; "if you wish" between the words makes it a doubt."""
    sure = read("The set 318 604 22 is replaced, for this type and from this number, by set 318 604 57.")
    open_still = read("The set 318 604 22 is replaced, if you so wish, by set 318 604 57.")
    assert [(type(s), s.standing) for s in sure] == [(Supersession, "settled")]
    assert all(s.standing == "doubtful" for s in open_still)
