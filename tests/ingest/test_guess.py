"""Guesses: wordings that no phrase has still show where they could matter, and never settle anything.

All sentences are invented; that hands differ in their wording is common practice, no source.
"""

import re
import time
import tomllib
from collections.abc import Iterator
from importlib import resources
from types import ModuleType

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.keys import key
from benchleaf.graph.model import Cancels, Contents, Override, Statement, Supersession
from benchleaf.ingest.phrases import (
    guessguards,
    guesskits,
    guesslists,
    guessoverrides,
    guessparts,
    guessscene,
    guesssteps,
    guessvalues,
    statements,
)
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.guesscues import cues_of, load_cues
from benchleaf.ingest.phrases.guessunread import leave_unread

MODULES = (
    guessguards,
    guesskits,
    guesslists,
    guessoverrides,
    guessparts,
    guessscene,
    guesssteps,
    guessvalues,
)
STEPS = (
    ("You can forget about item 7 on page 9 of HB 350; it has been dropped.", "delete", "9", "7"),
    (
        "There is neither a rod nor a ring, so that step 7 on page 9 of HB 350 must be disregarded.",
        "delete",
        "9",
        "7",
    ),
    (
        "Right behind step 5 on page 11 of HB 350 belongs another step, namely:\n\nBlow out the oil ways.",
        "insert-after",
        "11",
        "5",
    ),
    ("Ahead of step 5 on page 11 of HB 350 do this as well: Blow out the ways.", "insert-before", "11", "5"),
    ("Step 9 on page 20 of HB 350 gets a warning.\n\nWARNING: The spring is loaded.", "caution", "20", "9"),
    ("Henceforth step 6 on page 13 of HB 350 goes like this: Fit the ring dry.", "replace", "13", "6"),
    ("Step 6 on page 13 of HB 350 was badly put. It should be: Fit the ring dry.", "replace", "13", "6"),
    ("The wording of 5.4.1 on page 13 of HB 350 is out of date.", "replace", "13", "5.4.1"),
    ("Step 3 on page 7 of HB 350: not 45 Nm but 38 Nm.", "change-value", "7", "3"),
    ("The 45 Nm in step 3 on page 7 of HB 350 were too much; take 38 Nm.", "change-value", "7", "3"),
    (
        "Set the pump to 16 to 19 bar in place of 14 to 17 bar. See HB 350, page 8, step 2.",
        "change-value",
        "8",
        "2",
    ),
)
PARTS = (
    ("Seal 318 604 22 has had its day; we now ship 318 604 57.", "318 604 22", "318 604 57"),
    (
        "318 604 22 ran out last month. Its successor carries the number 318 604 57.",
        "318 604 22",
        "318 604 57",
    ),
    ("318 604 57 steps into the shoes of 318 604 22.", "318 604 22", "318 604 57"),
    ("Fit 318 604 57 wherever 318 604 22 was fitted up to now.", "318 604 22", "318 604 57"),
    (
        "Where ring 318 604 22 used to be fitted, ring 318 604 57 and cap 318 604 58 are needed.",
        "318 604 22",
        "318 604 57 318 604 58",
    ),
)
NOTHING = (
    "Step 3 on page 7 of HB 350 takes about an hour.",
    "The fitter had finished step 3 on page 7 of HB 350 when the hoist failed.",
    "As to step 3 on page 7 of HB 350, everything stays as it was.",
    "Photographs of steps 3 to 5 on page 7 of HB 350 can be had from us.",
    "Rings 318 604 22 and 318 604 57 are kept in stock at Brinley.",
    "Ring 318 604 22 fits the small drum, ring 318 604 57 the large one.",
    "Please count the rings 318 604 22 and 318 604 57 at the end of the year.",
    "The torque in step 3 on page 7 of HB 350 is 45 Nm.",
    "After step 3 on page 7 of HB 350 the unit may be left overnight.",
    "Step 4 on page 18 of HB 350 was often forgotten; do not forget it.",
    "Never leave out step 4 on page 18 of HB 350.",
    "Step 4 on page 18 of HB 350 need not be repeated.",
    "It is being said that step 4 on page 18 of HB 350 has gone.",
    "We are thinking about doing without step 4 on page 18 of HB 350.",
    "Can one do without step 4 on page 18 of HB 350?",
)


# Wordings that the phrase book reads by now, and may settle.
LEARNT = (
    "There is neither a rod nor a ring, so that step 7 on page 9 of HB 350 must be disregarded.",
    "Step 3 on page 7 of HB 350: not 45 Nm but 38 Nm.",
)


@pytest.fixture(autouse=True)
def _whole_look(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rests of sentences are looked at too, whoever calls the reader."""
    monkeypatch.setattr(statements, "_leave_unread", leave_unread, raising=False)


def read(text: str) -> tuple[Statement, ...]:
    """The statements of a note with this text."""
    return statements.read_statements(header_of(text), "note").statements


@pytest.mark.parametrize(("text", "action", "page", "item"), STEPS)
def test_step_is_guessed(text: str, action: str, page: str, item: str) -> None:
    """A step spoken of in unheard words gives the likeliest action on the right step: a doubt, unless the
    phrase book has learnt the words since."""
    (one,) = (s for s in read(text) if isinstance(s, Override))
    assert (one.action, one.target.page, one.target.item) == (action, page, item)
    assert (one.standing == "doubtful" and one.why) or text in LEARNT


@pytest.mark.parametrize(("text", "old", "new"), PARTS)
def test_succession_is_guessed(text: str, old: str, new: str) -> None:
    """Numbers that unheard words make old and new give a doubt in the right direction."""
    (one,) = (s for s in read(text) if isinstance(s, Supersession))
    assert ("".join(map(key, one.old)), "".join(map(key, one.new))) == (key(old), key(new))
    assert one.standing == "doubtful" and one.why


@pytest.mark.parametrize("text", NOTHING)
def test_mention_gives_nothing(text: str) -> None:
    """A step or part that is only mentioned, denied, planned or asked about gives no statement."""
    assert not [s for s in read(text) if s.standing != "refused"]


def test_values_and_words_are_taken() -> None:
    """A guessed change holds both values with their units, a guessed new step its words."""
    (one,) = read("For the torque in step 3 on page 7 of HB 350 take 38 Nm, no longer 45 Nm.")
    assert isinstance(one, Override) and (one.was, one.now) == ("45 Nm", "38 Nm")
    (two,) = read("Ahead of step 5 on page 11 of HB 350 the fitter does this as well: Blow out the oil ways.")
    assert isinstance(two, Override) and two.text == "Blow out the oil ways."


def test_two_steps_of_one_sentence_are_told_apart() -> None:
    """What one clause says of its step is not said of the step of another."""
    found = read(
        "On page 7 of HB 350 the 45 Nm of step 3 become 38 Nm, and after this step must be put in a further"
        " one: Turn the shaft."
    )
    assert {(s.action, s.target.item) for s in found if isinstance(s, Override)} == {
        ("change-value", "3"),
        ("insert-after", "3"),
    }


def test_list_of_rewritten_steps() -> None:
    """Steps listed below a sentence that announces them are each written anew."""
    found = read(
        "Two operations on page 27 of HB 350 have a new wording, thus:\n\n(1) Clean the spigot.\n\n"
        "(4) Fill with oil."
    )
    assert [(s.target.item, s.text) for s in found if isinstance(s, Override)] == [
        ("1", "Clean the spigot."),
        ("4", "Fill with oil."),
    ]
    assert {s.target.page for s in found if isinstance(s, Override)} == {"27"}


def test_same_is_said_of_another_step() -> None:
    """ "The same applies to operation 70" says of it what was said last."""
    found = read("Step 9 on page 12 of HB 350 is deleted.\n\nThe same applies to step 70 on page 24.")
    assert [(s.action, s.target.page, s.target.item) for s in found if isinstance(s, Override)] == [
        ("delete", "12", "9"),
        ("delete", "24", "70"),
    ]
    assert found[1].standing == "doubtful"


def test_struck_out_and_written_anew() -> None:
    """A step that is struck out and then written anew is not settled as struck out."""
    found = read(
        "On page 13 of HB 350 old step 5 is void. New step 5:\n\nStack the springs the same way round."
    )
    assert any(isinstance(s, Override) and s.action == "replace" for s in found)
    assert not [s for s in found if s.standing == "settled"]


def test_kit_and_note_are_guessed() -> None:
    """A kit's list below a sentence in unheard words, and a note that loses its force."""
    (kit,) = read(
        "The carton of kit 318 604 90 is packed anew; inside are 8 friction discs and 9 steel discs."
    )
    assert isinstance(kit, Contents) and [line.quantity for line in kit.lines] == [8, 9]
    (note,) = read("Circular XB 3/97 was not agreed with us and loses its validity.")
    assert isinstance(note, Cancels) and note.cancels == "XB 3/97" and note.standing == "doubtful"


def test_page_told_by_its_place_is_a_doubt() -> None:
    """ "On the following page" settles no step; "on the following page, 28" names the page in its number."""
    start = "Step 1 on page 27 of HB 350 is deleted. "
    found = read(start + "On the following page, step 7 is deleted.")
    assert not [s for s in found[1:] if s.standing == "settled"]
    found = read(start + "On the following page, 28, step 7 is deleted.")
    assert [s.target.page for s in found if isinstance(s, Override) and s.target.item == "7"] == ["28"]


def test_cues_refuse_what_they_do_not_know() -> None:
    """An unknown kind, and an entry without words or weight, are refused by name."""
    for entry in ({"kind": "colour", "weight": 1, "words": ["red"]}, {"kind": "delete", "words": ["gone"]}):
        with pytest.raises(WrongUse, match=entry["kind"]):
            cues_of({"cue": [entry]})


def test_every_cue_is_found_by_its_own_words() -> None:
    """Each word of the cue book is found in a text that holds it."""
    book = resources.files("benchleaf.ingest.phrases").joinpath("book/cues.toml").read_text(encoding="utf-8")
    cues = load_cues()
    for entry in tomllib.loads(book)["cue"]:
        for words in entry["words"]:
            said = f"the part {words.replace('*', 'ed').replace('~', 'be made')} here"
            assert cues.weight(entry["kind"], said) >= entry["weight"], words


def patterns(module: ModuleType) -> Iterator[re.Pattern[str]]:
    """The patterns that a module keeps."""
    return (value for value in vars(module).values() if isinstance(value, re.Pattern))


@pytest.mark.parametrize(
    "hostile", ["a ", "not ", "1 ", "step 3 ", "(", "from 3 to ", "\ue008 , the ", "not a a a "]
)
def test_patterns_are_quick_on_hostile_text(hostile: str) -> None:
    """Every pattern of the guesses stays under 50 ms on 20 kB of repeated words."""
    text = hostile * (20000 // len(hostile))
    cues = [p for found in load_cues().patterns.values() for p, _ in found]
    for pattern in (*cues, load_cues().denying, *(p for m in MODULES for p in patterns(m))):
        best = 9.0
        for _ in range(3):
            started = time.process_time()
            pattern.search(text)
            best = min(best, time.process_time() - started)
        assert best < 0.05, pattern.pattern[:80]
