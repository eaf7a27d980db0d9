"""Kits whose own row heads the rows of their parts, and further wordings. All makers and numbers are
invented; the layouts are common practice, no source."""

import re
import time

import pytest
from benchleaf.ingest.book import manualkitsgroups, manualkitsturns
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pages import read_sheets
from benchleaf.ingest.sheets.text import read_text
from drawing_board import BOLD, Board

CLUTCH = [("4471-110", "Friction disc", "10"), ("4471-111", "Steel disc", "11"), ("4471-112", "Shim", "AR")]
PUMP = [("4471-310", "Shaft seal", "1"), ("4471-311", "O-ring", "2")]
HEADS = ("Kit", "Part", "What it is", "In kit")
WIDE = (70, 150, 240, 430)
BOTH = [
    ("4471-208", [("friction disc", 10), ("steel disc", 11), ("shim", None)], "settled"),
    ("4471-209", [("shaft seal", 1), ("o-ring", 2)], "settled"),
]


def drawn(*sheets, places=WIDE, title="Overhaul kits", ruled=False):
    """The kits of drawn sheets: number, lines and standing."""
    board = Board()
    for number, rows in enumerate(sheets):
        board.text(70, 60, "Rebuild manual PX 88", 9)
        board.text(70, 100, title, 13, BOLD)
        for n, row in enumerate(rows):
            for x, cell in zip(places, row, strict=True):
                board.text(x, 140 + 14 * n, cell)
            for y in (130 + 14 * n, 144 + 14 * n) if ruled else ():
                board.rule(66, y, 500, y)
            for x in (*(p - 4 for p in places), 500) if ruled else ():
                board.rule(x, 130 + 14 * n, x, 144 + 14 * n)
        board.centre(800, f"5-{number + 1}")
        board.sheet()
    manual = read_manual(lay_out(read_sheets(board.pdf(), "kits.pdf")[0]), "kits.pdf").manual
    return said(manual.kits)


def said(kits):
    return [(k.kit, [(li.description, li.quantity) for li in k.lines], k.standing) for k in kits]


def grouped(heads, kit, part):
    groups = (("4471-208", "Clutch repair kit", CLUTCH), ("4471-209", "Pump reseal kit", PUMP))
    return [heads, *(r for k, name, rows in groups for r in (kit(k, name), *(part(*p) for p in rows)))]


def in_own_column(heads=HEADS):
    return grouped(heads, lambda k, n: (k, "", n, ""), lambda *p: ("", *p))


@pytest.mark.parametrize("ruled", [False, True])
@pytest.mark.parametrize("heads", [HEADS, ("Kit No.", "Part No.", "Description", "Qty")])
def test_a_kits_own_row_heads_the_rows_of_its_parts(heads, ruled):
    """The kit's number and name stand on a row without a count; its parts follow, whatever the headings;
    `AR` is a line without a count and no doubt."""
    assert drawn(in_own_column(heads), ruled=ruled) == BOTH


@pytest.mark.parametrize("ruled", [False, True])
def test_a_kits_row_may_use_the_columns_of_its_parts(ruled):
    """ "4471-208 | Clutch repair kit" in bold over its parts in a table under the title of kits."""
    rows = grouped(("Part No.", "Description", "Quantity"), lambda k, n: (k, n, ""), lambda *p: p)
    assert drawn(rows, places=(70, 170, 430), ruled=ruled) == BOTH


def test_the_kits_number_may_stand_on_each_row_of_its_parts():
    """A column of kit numbers, filled on every row."""
    rows = [("Repair kit", "Component", "Designation", "Qty/kit")]
    rows += [(k, *p) for k, parts in (("4471-208", CLUTCH), ("4471-209", PUMP)) for p in parts]
    assert drawn(rows) == BOTH


def test_a_kit_first_in_a_list_of_parts_is_not_sure_to_hold_the_rest():
    """Without a word that the list is of kits, rows below a kit may be the unit's own parts."""
    rows = [("Part No.", "Description", "Quantity"), ("4471-208", "Clutch repair kit", ""), *CLUTCH]
    assert {k[2] for k in drawn(rows, places=(70, 170, 430), title="Parts of the clutch")} <= {"doubtful"}


def test_counts_for_a_unit_are_not_the_kits():
    """ "Qty per unit" counts what the unit holds."""
    found = drawn(in_own_column(("Kit", "Part", "Description", "Qty per unit")))
    assert [k[2] for k in found] == ["doubtful", "doubtful"]


def test_a_group_that_goes_on_overleaf_is_doubtful_and_one_that_ends_is_not():
    """A sheet that opens with a part's row goes on with the kit above; one that opens with a kit does not.
    Parts that no kit on their sheet heads leave the kits below them unsure."""
    rows = in_own_column()
    assert [k[2] for k in drawn(rows[:3], [HEADS, *rows[3:]])] == ["doubtful", "doubtful"]
    assert drawn(rows[:5], [HEADS, *rows[5:]]) == BOTH


def test_a_mark_beside_a_part_leaves_the_kit_unsure():
    """An asterisk refers to a note that may limit the line."""
    rows = [tuple(c + " *" if c == "Shaft seal" else c for c in row) for row in in_own_column()]
    assert [k[2] for k in drawn(rows)] == ["settled", "doubtful"]


LISTED = "8 lined plates, 8 steel plates and 2 seal rings"


@pytest.mark.parametrize(
    "words",
    [
        f"Kit V41-9012, forward pack. Comprises {LISTED}.",
        f"Kit V41-9012 - forward pack. Contains {LISTED}.",
        f"Repair kit No. V41-9012 for the forward pack: {LISTED}.",
        f"The repair kit V41-9012 is composed of the following parts: {LISTED}.",
        f"In the set V41-9012 are contained: {LISTED}.",
        f"{LISTED} are supplied together as kit V41-9012.",
    ],
)
def test_a_kit_named_with_its_use_tells_its_contents(words):
    """A kit's number, what it is for, and its contents in a sentence of their own."""
    (kit,) = typed(words)
    assert [(li.description, li.quantity) for li in kit.lines] == [
        ("lined plate", 8),
        ("steel plate", 8),
        ("seal ring", 2),
    ]
    assert (kit.kit, kit.standing) == ("V41-9012", "settled")


@pytest.mark.parametrize(
    "words",
    [
        f"Kit V41-9012, forward pack. Does not comprise {LISTED}.",
        f"Kit V41-9012, forward pack. Formerly comprised {LISTED}.",
        f"Kits V41-9012 and V41-9014, forward pack. Comprise {LISTED}.",
        "Kit V41-9012, forward pack. Fit 8 lined plates and 8 steel plates.",
    ],
)
def test_a_denial_or_a_former_state_settles_nothing(words):
    """What a kit does not hold, held once, or is fitted with, is not what it contains."""
    assert not [k for k in typed(words) if k.standing == "settled"]


def typed(words):
    page = f"FITTING THE PACK\n\n(1) Oil the plates.\n(2) Fit the piston.\n\n{words}\n\nHang a card on it.\n"
    return read_manual(lay_out(read_text(page.encode())), "manual.txt").manual.kits


def test_no_pattern_of_groups_is_slow_on_hostile_text():
    """Each pattern passes 20 kB of misleading text in under a quarter of a second on a busy machine."""
    patterns = [v for v in vars(manualkitsgroups).values() if isinstance(v, re.Pattern)]
    patterns += [pattern for pattern, _ in manualkitsturns.TURNED]
    assert patterns
    for pattern in patterns:
        for words in ("kit 4471-208 ", "11 11 ", "A-1-1-", "in the kit ", "((("):
            start = time.process_time()
            sum(1 for _ in pattern.finditer((words * 20000)[:20000]))
            assert time.process_time() - start < 0.25, (pattern.pattern, words)
