"""The phrase book against published split sentences: the remedies of the ISO 639-3 retirement table.

Source: as in retirements.py. The table says "Split into Nong Zhuang [zhn]; Yang Zhuang [zyg]; …" of a retired
code. Language codes are no part numbers, so each is written as a number of its own, one to one; the sentence
stays as published, with the retired number before it.
"""

import datetime as dt
import re
from collections import Counter

import pytest
from benchleaf.graph.model import Applies, Box, Supersession
from benchleaf.ingest.phrases.statements import read_statements
from benchleaf.ingest.shapes import Header, Paragraph
from retirements import Retirement, retirements

CODE = re.compile(r"\[([a-z]{3})\]")
SPLITS = [row for row in retirements() if row.reason == "S"]


def as_number(code: str) -> str:
    """A code as a number of part-number shape: abc is the 28th of all three-letter codes."""
    place = sum((ord(letter) - ord("a")) * 26**power for power, letter in enumerate(reversed(code)))
    return f"{4000 + place // 100:04d}-{place % 100:03d}"


def read(row: Retirement) -> list[Supersession]:
    """What the phrase book makes of a row's sentence."""
    words = CODE.sub(lambda code: f"[{as_number(code[1])}]", row.remedy).rstrip(".")
    said = f"{as_number(row.code)} was {words[0].lower()}{words[1:]}."
    body = (Paragraph(said, Box(0, 0, 1, 1), 1),)
    head = Header("ISO 639-3", dt.date(2020, 1, 1), None, None, "maker", None, Applies(), (), body)
    return [s for s in read_statements(head, "table").statements if isinstance(s, Supersession)]


def outcome(row: Retirement) -> str:
    """How one published sentence was read: right, wrong or not at all, and with which standing."""
    found = read(row)
    if not found:
        return "not read"
    want = ((as_number(row.code),), tuple(map(as_number, CODE.findall(row.remedy))))
    right = len(found) == 1 and (found[0].old, found[0].new) == want
    return f"{'right' if right else 'wrong'}, {found[0].standing}"


@pytest.fixture(scope="module")
def counts():
    return Counter(map(outcome, SPLITS))


def test_four_of_five_published_sentences_are_read_right(counts):
    """Of the table's 102 split sentences at least four in five give just the codes (ISO 639-3)."""
    right = counts["right, settled"] + counts["right, doubtful"]
    assert right >= 0.8 * len(SPLITS), counts
    assert counts["right, settled"] >= 0.7 * len(SPLITS), counts


def test_no_published_sentence_is_read_wrong_and_settled(counts):
    """A sentence that is not understood whole, names with brackets of their own for one, is never settled."""
    assert len(SPLITS) > 100
    assert counts["wrong, settled"] == 0, counts
