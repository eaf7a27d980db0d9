"""Whose word a kit's lines are: partial words, cancelled ones, later numbers, sets, the kit before."""

import dataclasses

import pytest
from benchleaf.graph.kits.kit import KitAnswer, kit_answer, parse_got
from benchleaf.graph.kits.listing import partial
from benchleaf.graph.kits.packwords import read_pack
from benchleaf.graph.model import KitLine
from fake_shelf import FakeShelf, became, cancels, contains, day, manual, note

LISTED = (
    KitLine("4470-1", "friction disc", 5),
    KitLine("4470-2", "steel disc", 5),
    KitLine("4470-3", "seal ring", 1),
    KitLine("4470-4", "O-ring", 2),
)
KIT = "4470-900"
FULL = "5 x 4470-1, 5 x 4470-2, 4470-3, 2 x 4470-4"


def shelf(*notes) -> FakeShelf:
    """A shop whose manual lists the kit itself, and these notes."""
    book = manual({"4-12": [("5", "Wash the parts.")]}, date=day("1990-01-01"))
    told = contains(KIT, LISTED, note=book.number, date=day("1990-01-01"))
    return FakeShelf([dataclasses.replace(book, kits=(told,))], notes)


def judged(got: str, *notes) -> KitAnswer:
    return kit_answer(shelf(*notes), KIT, parse_got(got))


def said(answer: KitAnswer) -> str:
    return " | ".join(answer.reasons)


def test_the_manuals_own_list_is_a_word() -> None:
    """A kit that no note speaks of is compared with what the manual says it contains."""
    assert judged(FULL).verdict == "as-listed"
    short = judged("5 x 4470-1, 4 x 4470-2, 4470-3, 2 x 4470-4")
    assert (short.verdict, short.hold) == ("unexplained", True)


def test_a_partial_word_leaves_the_rest_as_it_was() -> None:
    """A note that speaks of one line changes that line; the others stay as the manual lists them."""
    six = note("N 1", "2000-01-01", contains(KIT, (KitLine("4470-2", "steel disc", 6),)))
    assert judged("5 x 4470-1, 6 x 4470-2, 4470-3, 2 x 4470-4", six).verdict == "explained"
    assert judged(FULL, six).verdict == "unexplained"
    counted = judged("5 x 4470-1, 6 x 4470-2", six)
    assert "1 seal ring (4470-3)" in said(counted) and "does not speak of it" in said(counted)


def test_a_line_that_a_word_takes_out_is_out() -> None:
    """ "One joint instead of one gasket" leaves no gasket to expect."""
    new = contains(KIT, (KitLine("4470-5", "joint", 1),), (KitLine("4470-3", "seal ring", 1),))
    answer = judged("5 x 4470-1, 5 x 4470-2, 4470-5, 2 x 4470-4", note("N 1", "2000-01-01", new))
    assert answer.verdict == "explained" and "4470-3" not in {line.part for line in answer.lines}


def test_a_full_list_is_not_partial() -> None:
    """A list with other lines than plates stands for itself; a lone line, or plates alone, does not."""
    assert not partial(contains(KIT, LISTED[:3]), LISTED)
    assert partial(contains(KIT, LISTED[:2]), LISTED)
    assert partial(contains(KIT, LISTED[2:3]), LISTED)


def test_a_cancelled_word_does_not_count_beside_another() -> None:
    """What a cancelled note lists is told and not expected where the manual lists the kit."""
    six = note("N 1", "2000-01-01", contains(KIT, (KitLine("4470-2", "steel disc", 6),)))
    gone = note("N 2", "2001-01-01", cancels("N 1"))
    assert judged(FULL, six, gone).verdict == "as-listed"
    answer = judged("5 x 4470-1, 6 x 4470-2, 4470-3, 2 x 4470-4", six, gone)
    assert answer.verdict == "unexplained" and "cancelled by N 2" in said(answer)


@pytest.mark.parametrize(
    ("fields", "verdict"),
    [
        ({"stock": "scrap"}, "unexplained"),
        ({"interchange": "new for old"}, "as-listed"),
        ({"interchange": "new for old", "stock": "use up"}, "as-listed"),
        ({"interchange": "both ways"}, "as-listed"),
        ({}, "as-listed"),
    ],
)
def test_an_old_number_in_the_box(fields: dict[str, str], verdict: str) -> None:
    """An old number that a later note bars holds the kit; one that may be used up does not."""
    later = note("N 1", "2000-01-01", became("4470-3", "4470-8", **fields))
    answer = judged(FULL, later)
    assert answer.verdict == verdict and "N 1" in said(answer)
    assert judged("5 x 4470-1, 5 x 4470-2, 4470-8, 2 x 4470-4", later).verdict == "explained"


def test_a_set_stands_for_its_lines_once() -> None:
    """A seal set takes the place of the ring and both O-rings; O-rings beside it are over."""
    words = "One seal set 4470-7 takes the place of one 4470-3 and two 4470-4."
    merged = note("N 1", "2000-01-01", became(("4470-3", "4470-4"), "4470-7", relation="all of", quote=words))
    assert judged("5 x 4470-1, 5 x 4470-2, 4470-7", merged).verdict == "explained"
    both = judged("5 x 4470-1, 5 x 4470-2, 4470-7, 2 x 4470-4", merged)
    assert both.verdict == "unexplained" and "4470-7 came too" in said(both)


def test_what_rests_on_a_cancelled_supersession_is_no_explanation() -> None:
    """A number brought by a note that was cancelled is not listed, and the answer says why."""
    brought = note("N 1", "2000-01-01", became("4470-3", "4470-8"))
    gone = note("N 2", "2001-01-01", cancels("N 1"))
    answer = judged("5 x 4470-1, 5 x 4470-2, 4470-8, 2 x 4470-4", brought, gone)
    assert answer.verdict == "unexplained" and "4470-8 came by N 1, which N 2 cancelled" in said(answer)


def test_the_kit_before_is_known_by_the_note_that_replaced_it() -> None:
    """A note that says what its kit held before tells the contents of the kit that it replaces."""
    swap = note(
        "N 1",
        "2000-01-01",
        became("4470-901", "4470-902", quote="kit 4470-902 replaces kit 4470-901"),
        contains("4470-902", (KitLine(None, "friction disc", 6),), (KitLine(None, "friction disc", 5),)),
    )
    right = kit_answer(shelf(swap), "4470-901", parse_got("5 friction disc"))
    wrong = kit_answer(shelf(swap), "4470-901", parse_got("6 friction disc"))
    assert not any(line.wrong for line in right.lines) and wrong.verdict == "unexplained"


def test_a_newer_doubtful_list_is_not_passed_over() -> None:
    """What came by the old list is held while a newer reading, not settled, lists otherwise."""
    doubt = contains(KIT, (KitLine("4470-2", "steel disc", 6),), standing="doubtful", why=("a question",))
    answer = judged(FULL, note("N 1", "2000-01-01", doubt))
    assert answer.hold and "not settled" in said(answer)


@pytest.mark.parametrize(
    ("words", "first", "last"),
    [
        ("As the first, an outer lamella is laid in. 4 outer and 4 inner lamellae.", "steel", "friction"),
        ("Begin at the piston with a steel plate; 6 steel and 5 friction plates.", "steel", "steel"),
        ("5 lined and 4 plain discs; the pack closes with a lined disc.", "friction", "friction"),
        ("5 steel and 5 friction discs. The last is a friction disc at the end disc.", "steel", "friction"),
    ],
)
def test_more_words_for_first_and_last(words: str, first: str, last: str) -> None:
    """Other ways of saying which plate comes first and last. Common practice, no source."""
    read = read_pack(words)
    assert read is not None and (read.first, read.last) == (first, last)


def test_callouts_of_a_drawing_are_no_counts() -> None:
    """Figures in brackets beside the plates count nothing where the step counts them in words."""
    words = (
        "Begin with a lined disc (2) on the plate, then separator plates (3) in turn. Four lined discs and"
        " three separator plates are used; the last plate, next to the piston, is again a lined disc."
    )
    read = read_pack(words)
    assert read is not None
    assert (read.first, read.last, read.friction, read.steel) == ("friction", "friction", 4, 3)


def test_a_listed_number_keeps_the_date_of_its_own_word() -> None:
    """A later word that names a line without a number does not make its old, barred number new again."""
    barred = note("N 1", "2000-01-01", became("4470-3", "4470-8", stock="scrap"))
    later = note("N 2", "2001-01-01", contains(KIT, (KitLine(None, "seal ring", 1),)))
    answer = judged(FULL, barred, later)
    assert answer.hold and "the old one must not be fitted" in said(answer)
    assert judged("5 x 4470-1, 5 x 4470-2, 4470-8, 2 x 4470-4", barred, later).verdict == "explained"
