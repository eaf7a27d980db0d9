"""The chain of numbered steps, on candidates made by hand and by hypothesis."""

import hypothesis.strategies as st
import pytest
from benchleaf.ingest.book.chain import Candidate, best_runs
from benchleaf.ingest.book.marks import Mark, bullet_length, read_mark, read_marks, read_roman
from hypothesis import given, settings


def candidate(row, label, x=0.0, worth=1.5, section=0, page=0, style="n."):
    mark = read_mark({"n.": f"{label}. Fit", "(n)": f"({label}) Fit", "n": f"{label} Fit"}[style])
    return Candidate(row, mark, x, x + 8, x + 22, worth, page, section)


def labels(runs):
    return [[c.mark.label for c in run.members] for run in runs]


@pytest.mark.parametrize(
    ("text", "style", "label"),
    [
        ("1. Fit the ring", "n.", "1"),
        ("1.Fit the ring", "n.", "1"),
        ("12) Fit", "n)", "12"),
        ("(3) Fit", "(n)", "3"),
        ("[3] Fit", "(n)", "3"),
        ("7 Fit", "n", "7"),
        ("07 Fit", "n", "7"),
        ("Step 4 Fit", "word step", "4"),
        ("STEP 4: Fit", "word step", "4"),
        ("Item 5 Fit", "word item", "5"),
        ("Op. 20 Fit", "word op", "20"),
        ("1 - Fit", "n-", "1"),
        ("5.3.1 Fit", "levels 3", "5.3.1"),
        ("A. Fit", "A.", "A"),
        ("A) Fit", "A)", "A"),
        ("(b) fit", "(a)", "b"),
        ("5a. Fit", "n.", "5a"),
        ("⑤ Fit", "circled", "5"),
    ],
)
def test_each_form_of_number_is_read_as_a_mark_with_its_label(text, style, label):
    """A step's number is read in every form that the trade prints, and its label has no punctuation."""
    mark = read_mark(text)
    assert (mark.style, mark.label) == (style, label)


@pytest.mark.parametrize(
    "text", ["Fit 3 bolts", "Fig. 3", "1995 edition", "10mm wide", "Steps 3 and 4", "A bolt"]
)
def test_what_only_resembles_a_number_of_a_step_is_no_mark(text):
    """Quantities inside a line, captions, years and measures lead no step."""
    assert read_mark(text) is None


def test_scanned_look_alikes_are_read_as_numbers_only_by_ocr():
    """`(l)` is the letter in a text layer, and may be a misread `(1)` on a scan."""
    assert [m.label for m in read_marks("(l) Fit")] == ["l"]
    assert "1" in [m.label for m in read_marks("(l) Fit", by_ocr=True)]


def test_roman_numerals_and_bullets_are_marks_of_sub_steps():
    """`(iv)` counts four; a bullet and a dash take one character, a word none."""
    assert read_roman("(iv) wait").last == 4
    assert [bullet_length(t) for t in ("• wait", "– wait", "wait", "-12 °C")] == [1, 1, 0, 0]


def test_a_run_is_found_among_strays_at_other_indents():
    """Callouts and wrapped values at other indents are no part of the run."""
    steps = [candidate(2 * n, n) for n in range(1, 9)]
    strays = [candidate(5, 9, x=140), candidate(7, 2, x=60), candidate(11, 12, x=22)]
    runs = best_runs(sorted([*steps, *strays], key=lambda c: c.row))
    assert ["1", "2", "3", "4", "5", "6", "7", "8"] in labels(runs)


def test_a_wrapped_number_at_the_same_indent_loses_to_the_sequence():
    """In block paragraphs a wrapped `12 Nm` stands where numbers stand; only the sequence tells."""
    offered = [candidate(n, label) for n, label in enumerate((1, 2, 12, 3, 40, 4, 5))]
    assert labels(best_runs(offered)) == [["1", "2", "3", "4", "5"]]


def test_numbers_that_begin_again_make_a_new_run():
    """A count that restarts at 1 is another run."""
    offered = [candidate(n, label, section=n // 3) for n, label in enumerate((1, 2, 3, 1, 2, 3))]
    assert labels(best_runs(offered)) == [["1", "2", "3"], ["1", "2", "3"]]


def test_a_missing_number_stays_inside_its_run_and_is_told():
    """One number missing does not end the run; the gap is known."""
    (run,) = best_runs([candidate(n, label) for n, label in enumerate((17, 18, 20, 21))])
    assert [(a.mark.label, b.mark.label) for a, b in run.gaps] == [("18", "20")]


def test_a_step_added_with_a_letter_follows_its_number():
    """5a comes between 5 and 6."""
    assert labels(best_runs([candidate(n, label) for n, label in enumerate(("4", "5", "5a", "6"))])) == [
        ["4", "5", "5a", "6"]
    ]


def test_operations_numbered_by_tens_are_one_run():
    """Operations on routing sheets are often numbered by tens (common practice, no source)."""
    marks = [Mark("word op", (10 * n,), str(10 * n), 6) for n in range(1, 6)]
    offered = [Candidate(n, m, 0, 30, 44, 1.5) for n, m in enumerate(marks)]
    assert labels(best_runs(offered)) == [["10", "20", "30", "40", "50"]]


def test_right_aligned_numbers_are_at_one_indent():
    """9 and 10 set flush right have different left edges and are still one run."""
    offered = [Candidate(n, read_mark(f"{n}. Fit"), 0 if n < 10 else -5, 8, 22, 1.5) for n in range(7, 13)]
    assert labels(best_runs(offered)) == [[str(n) for n in range(7, 13)]]


@settings(max_examples=60, deadline=None)
@given(
    lengths=st.lists(st.integers(3, 14), min_size=1, max_size=5),
    noise=st.lists(st.tuples(st.integers(0, 80), st.integers(1, 40), st.floats(30, 200)), max_size=12),
    jitter=st.floats(0, 0.9),
)
def test_runs_are_found_whatever_stands_between_them(lengths, noise, jitter):
    """Every run that counts from 1 is found whole, whatever numbers stand at other indents."""
    rows, offered = 0, []
    for section, length in enumerate(lengths):
        for n in range(1, length + 1):
            offered.append(candidate(rows, n, x=jitter * (n % 2), section=section))
            rows += 2
    offered += [candidate(2 * row + 1, n, x=x, worth=0.3) for row, n, x in noise]
    found = [run for run in best_runs(sorted(offered, key=lambda c: c.row)) if run.x < 20]
    assert labels(found) == [[str(n) for n in range(1, length + 1)] for length in lengths]


def test_many_candidates_take_little_time():
    """Twenty thousand candidates, a book of five hundred sheets, are sorted out within seconds."""
    offered = [candidate(n, n % 40 + 1, section=n // 40, page=n // 40) for n in range(20_000)]
    assert len(best_runs(offered)) == 500


def test_an_empty_document_has_no_runs():
    """No candidates, no runs."""
    assert best_runs([]) == ()
