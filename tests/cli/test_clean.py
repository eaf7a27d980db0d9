"""Cleaning, old and new words, wording, initials, the screen."""

import doctest
import io
import time
import unicodedata

import pytest
from benchleaf.cli import changes, clean, say
from benchleaf.cli.changes import changed_words
from benchleaf.cli.options import initials_of
from benchleaf.cli.screen import Column, Piece, Screen
from benchleaf.cli.trouble import json_wanted
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.model import Applies
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console


def drawn(width: int = 80) -> tuple[Screen, io.StringIO]:
    held = io.StringIO()
    return Screen(Console(file=held, width=width, force_terminal=False, color_system=None)), held


@pytest.mark.parametrize("module", [changes, clean, say])
def test_examples_in_docstrings(module) -> None:
    """The examples in the docstrings hold."""
    assert doctest.testmod(module).failed == 0


@given(st.text())
def test_clean_text_holds_nothing_that_steers(text: str) -> None:
    """No control, format or surrogate sign is left but the line break; printable text is untouched."""
    plain = clean.clean(text)
    assert all(unicodedata.category(sign) not in ("Cc", "Cf", "Cs") for sign in plain if sign != "\n")
    kept = "".join(s for s in text if s.isprintable() and unicodedata.category(s) not in ("Cf", "Cs"))
    assert "".join(s for s in plain if s.isprintable()).replace(" ", "") == kept.replace(" ", "")


WORDS = st.lists(st.sampled_from(["fit", "the", "disc", "29", "31", "N·m", "screw."]), max_size=12).map(
    " ".join
)


@given(WORDS, WORDS)
def test_old_and_new_words_can_be_read_back(was: str, now: str) -> None:
    """Leaving out what went gives the new words; leaving out what came gives the old ones."""
    run = changed_words(was, now)
    assert " ".join("".join(s.text for s in run if s.mark != "was").split()) == now
    assert " ".join("".join(s.text for s in run if s.mark != "now").split()) == was


def test_unlike_wordings_stand_whole() -> None:
    """Two wordings with little in common are not mixed word by word."""
    run = [
        s for s in changed_words("Fit the seal dry.", "Oil the lip, then press it home.") if s.text.strip()
    ]
    assert [s.mark for s in run] == ["was", "now"]


def test_changed_words_of_long_texts_is_quick() -> None:
    """20 kB of words without one in common take less than a second."""
    start = time.process_time()
    changed_words(" ".join(f"a{n}" for n in range(4000)), " ".join(f"b{n}" for n in range(4000)))
    changed_words("a" * 20_000, " " * 20_000)
    assert time.process_time() - start < 1


@pytest.mark.parametrize(
    ("applies", "words"),
    [
        (Applies(), "all units"),
        (Applies(as_printed="see text"), "see text"),
        (Applies(models=("A 1", "B 2"), serial_from="10", serial_to="20"), "A 1, B 2, serial 10 to 20"),
        (Applies(serial_from="10"), "serial 10 and up"),
        (Applies(serial_to="20", excepted=("15",)), "serial up to 20, except 15"),
        (Applies(serial_from="7", serial_to="7", kits=("K 1",)), "serial 7, with kit K 1"),
    ],
)
def test_units_in_words(applies: Applies, words: str) -> None:
    """Which units a note holds for, in plain words; bounds are inclusive (interface)."""
    assert say.units(applies) == words


def test_initials() -> None:
    """Initials are letters, with dots and hyphens at most; none, blanks and "rule" are refused."""
    assert initials_of(" J.-P.B. ") == "J.-P.B."
    for wrong in (None, "", "  ", "...", "Rule", "123", "ninesigns"):
        with pytest.raises(WrongUse):
            initials_of(wrong)


def test_json_is_wanted_only_before_the_end_of_options() -> None:
    """`find -- --json` searches for the word."""
    assert json_wanted(["find", "--json", "x"])
    assert not json_wanted(["find", "--", "--json"])


@given(st.text(max_size=60), st.integers(20, 120))
def test_a_wrapped_line_loses_no_letter(text: str, width: int) -> None:
    """Wrapping at any width keeps every printable letter."""
    screen, held = drawn(width)
    screen.labelled("5a", text)
    letters = [s for s in clean.clean(text) if s.isalnum()]
    assert [s for s in held.getvalue() if s.isalnum()] == ["5", "a", *letters]


def test_numbers_stay_whole_while_there_is_room() -> None:
    """In a table running words wrap before a part number is broken; on a narrow screen nothing is lost."""
    for width, whole in ((60, True), (20, False)):
        screen, held = drawn(width)
        columns = [Column("Part", whole=True), Column("Description")]
        screen.table(columns, [["KLM 4410-2278-A", "a long description that must wrap somewhere"]])
        assert ("KLM 4410-2278-A" in held.getvalue()) is whole
        assert sum(s.isdigit() for s in held.getvalue()) == 8


def test_struck_words_are_named_in_plain_text() -> None:
    """Where nothing can be struck, words say what was."""
    screen, held = drawn()
    screen.line("to ", Piece("29", "was"), " ", Piece("31", "now"))
    assert held.getvalue() == "to [was: 29] 31\n"
