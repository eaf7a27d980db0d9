"""Regular expressions of the packages on hostile texts, made from its own words and general ones.

The whole of it, within the limit: `python tests/faults/pattern_times.py`.
"""

import json
import re
import subprocess
import sys
from pathlib import Path

from pattern_texts import LETTERS, Maker, hostile
from pattern_times import Found, slow


def test_expressions_are_quick() -> None:
    """Of every fortieth expression none takes over 50 ms for 20,000 letters, twice that allowed for a busy
    machine; the script times all of them."""
    here = Path(__file__).parent
    line = [sys.executable, "-B", str(here / "pattern_times.py"), "--seeds", "1", "--brief", "--part", "1/40"]
    done = subprocess.run(line, capture_output=True, text=True, check=False, encoding="utf-8")
    told = json.loads(done.stdout)
    assert told["patterns"] > 25 and told["searches"] > 8 * told["patterns"]
    assert told["over"] == []


def test_a_slow_expression_is_found() -> None:
    """Texts from an expression's own words find a search whose time grows with the square of the text."""
    spent, _, _ = slow(Found(re.compile(r"[ ,]*it\b")), hostile(re.compile(r"[ ,]*it\b"), 2), 0.05)
    assert spent > 0.05


def test_texts_follow_the_expression() -> None:
    """A made text matches its expression; the hostile ones have their length."""
    pattern = re.compile(r"kit (?P<n>[0-9]{2,4}) (?:is|was) (?:replaced|cancelled) by \d+[a-z]?")
    assert pattern.fullmatch(Maker(pattern, 1).sample())
    assert {len(t) for t in hostile(pattern, 2)} == {LETTERS}
