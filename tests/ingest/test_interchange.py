"""What later sentences say of interchange and old stock, and of which part.

All texts and numbers are invented; wordings are common practice, no source.
"""

import time

import pytest
from benchleaf.graph.model import Supersession
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.interchange import fits
from benchleaf.ingest.phrases.statements import read_statements

CHANGE = "Ring 318 604 22 is replaced by ring 318 604 57."


def heard(text: str) -> list[tuple[str, str | None]]:
    found = read_statements(header_of(text), "note").statements
    return [(s.interchange, s.stock) for s in found if isinstance(s, Supersession)]


@pytest.mark.parametrize(
    ("said", "way", "stock"),
    [
        ("The new ring may be fitted in place of the old.", "new for old", None),
        ("318 604 57 may be fitted in place of ring 318 604 22.", "new for old", None),
        ("The old ring 318 604 22 must not be fitted in place of the new ring.", "new for old", None),
        ("Never fit 318 604 22 in place of 318 604 57.", "new for old", None),
        ("You may use 318 604 57 for 318 604 22, but not 318 604 22 for 318 604 57.", "new for old", None),
        ("It can be used in all units instead of the old one.", "new for old", None),
        ("Both rings may be used, the new for the old and the old for the new.", "both ways", None),
        ("Either ring may be fitted to any unit.", "both ways", None),
        ("The new for the old may be fitted, and the old for the new.", "both ways", None),
        ("The new must not be used instead of the old, nor the old instead of the new.", "none", None),
        ("Neither ring may be fitted in place of the other.", "none", None),
        ("Rings 318 604 22 are not to be used any more.", "unstated", "scrap"),
        ("Scrap any stock of 318 604 22, loose or in kits.", "unstated", "scrap"),
        ("Please send any remaining 318 604 22 back to us.", "unstated", "scrap"),
        ("Any 318 604 22 found in stock must be thrown away.", "unstated", "scrap"),
        ("The use of 318 604 22 is no longer permitted.", "unstated", "scrap"),
        ("Stock of 318 604 22 may be used up.", "unstated", "use up"),
        ("Rings 318 604 22 on the shelf can be used as they are.", "unstated", "use up"),
        ("Remaining rings 318 604 22 can be used until stocks are exhausted.", "unstated", "use up"),
        ("Finish your stock of 318 604 22 first.", "unstated", "use up"),
    ],
)
def test_what_a_sentence_says(said: str, way: str, stock: str | None) -> None:
    """Each wording tells the way of the interchange or what becomes of old stock, in the same paragraph
    and in one of its own."""
    assert heard(f"{CHANGE} {said}") == [(way, stock)]
    assert heard(f"{CHANGE}\n\nThe reason is a better edge.\n\n{said}") == [(way, stock)]


@pytest.mark.parametrize(
    "said",
    [
        "If the bore is worn, the new ring may be fitted in place of the old.",
        "It is not true that the new ring may be fitted in place of the old.",
        "May the new ring be fitted in place of the old?",
        "The new ring may be fitted in place of the old on units with a bush.",
        "Do not scrap stock of 318 604 22.",
        "Stocks of 318 604 22 need not be scrapped.",
        "The old plates may be used up.",
        "Scrap any stock of 318 604 99.",
        "The old ring may be used in place of the new, but not the new in place of the old.",
    ],
)
def test_what_says_nothing(said: str) -> None:
    """A condition, a denial, a question, another part: nothing is taken from it."""
    way, stock = heard(f"{CHANGE} {said}")[0]
    assert way == "unstated" and stock is None


def test_two_changes_keep_apart() -> None:
    """With two changes in a note a sentence counts for the one that it names, and for none where it names
    neither."""
    two = f"{CHANGE} Plate 318 604 30 is replaced by plate 318 604 31.\n\nThe reason is wear.\n\n"
    found = read_statements(
        header_of(f"{two}318 604 31 may be used in place of 318 604 30."), "note"
    ).statements
    ways = {s.old[0]: s.interchange for s in found if isinstance(s, Supersession)}
    assert ways == {"318 604 22": "unstated", "318 604 30": "new for old"}
    assert heard(f"{two}The old must not be fitted in place of the new.") == [("unstated", None)] * 2
    both = "Seal 318 604 22 is replaced by 318 604 57 and plate 318 604 30 by plate 318 604 31."
    assert heard(f"{both} The old must not be fitted in place of the new.") == [("unstated", None)] * 2


def test_kits_that_hold_the_old_part() -> None:
    """Kits named beside the old stock do not hide whose stock it is."""
    said = f"{CHANGE} Destroy remaining stock, also rings that lie in kits 318 604 90."
    assert heard(said) == [("unstated", "scrap")]


def test_contradictions_are_left_unsaid() -> None:
    """A note that says both to scrap and to use up leaves the stock unsaid."""
    said = (
        f"{CHANGE}\n\nThe reason"
        f" is wear.\n\nScrap stock of 318 604 22.\n\nStock of 318 604 22 may be used up."
    )
    assert heard(said) == [("unstated", None)]


def test_a_set_used_together() -> None:
    """That the parts of a split are used together is no condition of their interchange."""
    said = (
        "Screw 318 604 22 is replaced by screw 318 604 57 and washer 318 604 58.\n\n"
        "Interchangeable both ways, provided that screw and washer are used together."
    )
    assert heard(said) == [("both ways", None)]
    assert heard(f"{CHANGE}\n\nInterchangeable both ways, provided that the shaft is new.") == [
        ("unstated", None)
    ]


def test_names_fit() -> None:
    """A noun that the change does not speak of is another thing; "part" may be any."""
    assert fits(" rings", CHANGE) and fits(" part", CHANGE) and not fits(" plates", CHANGE)


def test_hostile_text_is_quick() -> None:
    """20 kB of the words that the forms look for are read in less than a second beside the phrase book."""
    from benchleaf.ingest.phrases import interchange

    said = "send any \x02 remaining stock may not be \x03 the new for the old "
    text = said * (20_000 // len(said))
    forms = (
        *interchange._SCRAP,
        *interchange._USE_UP,
        interchange._LINK,
        interchange._PRONOUN,
        interchange._SAME,
    )
    for form in (*forms, interchange.TOGETHER, interchange._BOTH, interchange._EXHAUSTED):
        start = time.perf_counter()
        list(form.finditer(text))
        assert time.perf_counter() - start < 0.25, form.pattern
