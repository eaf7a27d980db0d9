"""Pages made to hurt: reading stays quick, and nothing is raised."""

import random
import re
import time
from collections.abc import Callable

import pytest
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets import folios, glyphs, lines, outerrows, paragraphs, ruledtables, tables, words
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.pdf import read_pdf
from benchleaf.ingest.sheets.text import read_text
from drawing_board import Board, sentence

MODULES = (folios, glyphs, lines, outerrows, paragraphs, ruledtables, tables, words)
PATTERNS = [
    *(v for m in MODULES for v in vars(m).values() if isinstance(v, re.Pattern)),
    *(form for form, _ in folios._FORMS),
]
HOSTILE = [
    "a" * 20_000,
    "1" * 20_000,
    "1-" * 10_000,
    "Page " * 4_000,
    "." * 20_000,
    " " * 20_000,
    "(" * 20_000,
    "A. B: C) " * 2_500,
    "- 1 . | " * 2_500,
    "x" + " " * 19_999,
    "9.9.9." * 3_300,
]


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda p: p.pattern[:30])
def test_every_pattern_is_quick_on_hostile_text(pattern: re.Pattern[str]) -> None:
    """Each pattern, matched whole and searched, needs under 50 ms for 20,000 hostile characters."""
    for text in HOSTILE:
        for use in (pattern.fullmatch, pattern.search):
            start = time.process_time()
            use(text)
            assert time.process_time() - start < 0.05, (pattern.pattern, text[:20])


def strokes() -> tuple[Page, ...]:
    pick, board = random.Random(1), Board()
    for _ in range(6000):
        x, y = pick.uniform(40, 540), pick.uniform(40, 780)
        board.rule(x, y, x + pick.uniform(-10, 10), y + pick.uniform(-10, 10))
    return read_pdf(board.pdf())


def crossing_rules() -> tuple[Page, ...]:
    pick, board = random.Random(2), Board()
    for i in range(1400):
        x, y = pick.uniform(40, 440), pick.uniform(40, 680)
        board.rule(x, y, x + 100 * (i % 2), y + 100 * (1 - i % 2))
    return read_pdf(board.pdf())


def scattered() -> tuple[Page, ...]:
    pick, board = random.Random(3), Board()
    for i in range(2500):
        board.text(pick.uniform(40, 540), pick.uniform(40, 790), f"w{i}", 5)
    return read_pdf(board.pdf())


def long_text() -> tuple[Page, ...]:
    return read_text("\n".join(sentence(i, 3 + i % 12) for i in range(3000)).encode())


def long_list() -> tuple[Page, ...]:
    rows = (f"{i:5d}    part {i % 7}      AB {i * 37 % 9999}-{i % 97}   {'x' * (i % 9)}" for i in range(3000))
    return read_text("\n".join(rows).encode())


def one_line() -> tuple[Page, ...]:
    return read_text(b"word " * 60_000)


@pytest.mark.parametrize("page", [strokes, crossing_rules, scattered, long_text, long_list, one_line])
def test_a_hostile_page_is_read_in_seconds(page: Callable[[], tuple[Page, ...]]) -> None:
    """Thousands of strokes, rules, scattered words or lines take no more than a few seconds altogether."""
    start = time.process_time()
    for laid in lay_out(page()):
        flow(laid)
    assert time.process_time() - start < 6


@pytest.mark.parametrize("seed", range(40))
def test_a_damaged_pdf_is_refused_or_read_and_never_breaks(seed: int) -> None:
    """Bytes turned over at random give a refusal with a remedy or pages, never another error."""
    from benchleaf.graph.errors import RefusedFile

    pick = random.Random(seed)
    board = Board()
    board.prose(50, 80, 480, sentence(seed, 60))
    board.table(60, 300, [90, 90], [["Old number", "New number"], ["11-1", "11-2"]])
    data = bytearray(board.pdf())
    for _ in range(pick.choice([1, 5, 40, 400])):
        data[pick.randrange(len(data))] = pick.randrange(256)
    if pick.random() < 0.3:
        del data[pick.randrange(len(data)) :]
    try:
        for laid in lay_out(read_pdf(bytes(data))):
            flow(laid)
    except RefusedFile as refused:
        assert refused.remedy
