"""Covers and running heads of invented publications: number, title, issuer, edition, date, models."""

import datetime as dt
import re
import time

import pytest
from benchleaf.graph.model import Box
from benchleaf.ingest import kind
from benchleaf.ingest.book import candidates, cover, identity, notices, partslists, sections, wording
from benchleaf.ingest.book.cover import read_cover
from benchleaf.ingest.book.identity import edition_of, models_in, number_in
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.shapes import LaidPage, Line, Word


def line(text, top, size=10.0, sheet=1):
    """A line of words in a type of even width; two blanks and more make a wide gap."""
    words, x = [], 70.0
    for part in text.split(" "):
        if part:
            words.append(Word(part, Box(x, top, x + 0.5 * size * len(part), top + size), size))
        x += 0.5 * size * len(part) + 0.3 * size
    box = Box(words[0].box.x0, top, words[-1].box.x1, top + size)
    return Line(tuple(words), box, sheet)


def page(lines, sheet=1, heads=(), feet=(), folio=None):
    body = tuple(line(text, 100 + 30 * n, size, sheet) for n, (text, size) in enumerate(lines))
    head = tuple(line(h, 30, 8, sheet) for h in heads)
    foot = tuple(line(f, 800, 8, sheet) for f in feet)
    return LaidPage(sheet, 595, 842, body, folio, head, foot)


HOLLIN = [
    ("Hollin Gear Works Ltd", 24),
    ("OVERHAUL MANUAL", 18),
    ("Models: RK-20, RK-24 and RK-24S", 12),
    ("Manual No. 4-118/B", 10),
    ("Issue 3, 5 March 1987", 10),
]
LYDDON = [
    ("SERVICE MANUAL", 28),
    ("Transmission types A12 and A14", 14),
    ("Form 8812-3", 9),
    ("Revision C", 9),
    ("Ambrose Lyddon Company", 11),
    ("12 Mill Lane, Dorfield, Tel. 0190 2231", 8),
]
FERROW = [
    ("Ferrow", 22),
    ("Handbook for the multi-plate clutch", 15),
    ("covers MK 4, MK 5 and MK 6", 11),
    ("Book 77 120", 10),
    ("Second edition 1979", 10),
]
WERNOCK = [
    ("WERNOCK HYDRAULICS", 20),
    ("Vane pump VP 30 / VP 45", 16),
    ("Repair Instructions", 16),
    ("Part No. of this book: 611 402 77", 9),
    ("Rev. 4   12 November 1999", 9),
]
OSTREY = [("Workshop Manual", 20), ("Gearbox 5HX", 16), ("Pub. TM-55-20", 9), ("© 1994 Ostrey & Sons Ltd", 8)]
KESTLE = [
    ("Document number: DOC-2210", 9),
    ("Edition: 5", 9),
    ("Date: 2004-05-11", 9),
    ("Kestle Brakes", 26),
    ("Technical Handbook", 18),
    ("For brakes KB100, KB150 and KB200", 12),
]
MARL = [
    ("INSTRUCTION BOOK", 20),
    ("for the", 10),
    ("REVERSING GEAR", 20),
    ("Types L2, L3,", 12),
    ("L4 and L6", 12),
    ("Publication 1120E", 10),
    ("Published by Marl Engine Works, Port Ansel", 9),
]


@pytest.mark.parametrize(
    ("lines", "number", "issuer", "edition", "models"),
    [
        (HOLLIN, "4-118/B", "Hollin Gear Works Ltd", "Issue 3", ("RK-20", "RK-24", "RK-24S")),
        (LYDDON, "Form 8812-3", "Ambrose Lyddon Company", "Revision C", ("A12", "A14")),
        (FERROW, "77 120", "Ferrow", "2", ("MK 4", "MK 5", "MK 6")),
        (WERNOCK, "611 402 77", "WERNOCK HYDRAULICS", "Rev 4", ("VP 30", "VP 45")),
        (OSTREY, "TM-55-20", "Ostrey & Sons Ltd", None, ("5HX",)),
        (KESTLE, "DOC-2210", "Kestle Brakes", "5", ("KB100", "KB150", "KB200")),
        (MARL, "1120E", "Marl Engine Works", None, ("L2", "L3", "L4", "L6")),
    ],
)
def test_covers_are_read(lines, number, issuer, edition, models):
    """Number, issuer, edition and models are told apart on covers of many makes."""
    reading = read_cover([page(lines)])
    assert (reading.number, reading.issuer, reading.edition, reading.models) == (
        number,
        issuer,
        edition,
        models,
    )
    assert reading.labelled


def test_titles_name_the_book_and_its_unit():
    """The title is the line that says what book it is, with the unit it is about."""
    assert read_cover([page(OSTREY)]).title == "Workshop Manual, Gearbox 5HX"
    assert read_cover([page(WERNOCK)]).title == "Repair Instructions, Vane pump VP 30 / VP 45"


def test_full_dates_are_taken_and_a_bare_year_is_a_doubt():
    """5 March 1987 is a date; of `Second edition 1979` only the year is known, and that is said."""
    assert read_cover([page(HOLLIN)]).date == dt.date(1987, 3, 5)
    ferrow = read_cover([page(FERROW)])
    assert ferrow.date == dt.date(1979, 1, 1)
    assert any("gives no day" in doubt for doubt in ferrow.unclear)


def test_a_label_in_the_running_head_is_enough():
    """Without a cover, `Pub. 4410` in the head gives the number."""
    pages = [
        page([("1. Fit", 10)], 1, ["Pub. 4410   Oil pump"], ["31"], "31"),
        page([("2. Fit", 10)], 2, ["Pub. 4410   Clutch"], ["32"], "32"),
    ]
    assert read_cover(pages, {0, 1}).number == "4410"


def test_a_number_without_label_in_every_head_is_taken_with_a_doubt():
    """What opens each running head is taken for the number, and the doubt says so."""
    pages = [
        page([("1. Fit", 10)], n, [f"RX 77 {name}"], [str(30 + n)], str(30 + n))
        for n, name in enumerate(("Oil pump", "Clutch", "Brake"), 1)
    ]
    reading = read_cover(pages, {0, 1, 2})
    assert reading.number == "RX 77" and not reading.labelled
    assert any("running heads" in doubt for doubt in reading.unclear)


def test_the_printed_page_number_is_no_publication_number():
    """A foot that holds number and page number gives only the first."""
    pages = [page([("1. Fit", 10)], n, (), [f"Form 7714-B      {n + 6}"], str(n + 6)) for n in (1, 2, 3)]
    assert read_cover(pages, {0, 1, 2}).number == "Form 7714-B"


def test_two_different_numbers_are_a_doubt():
    """If two labelled numbers are printed, the first is taken and the other named."""
    reading = read_cover([page([("Publication No. KM 310", 10), ("Publication No. KM 311", 10)])])
    assert reading.number == "KM 310"
    assert any("KM 311" in doubt for doubt in reading.unclear)


def test_letters_in_capitals_before_the_number_are_part_of_it():
    """`PUB 5623-1` is printed so; behind a label with its colon or `No.` the letters are a label."""
    assert number_in("PUB 5623-1") == ("PUB 5623-1", 2.0)
    assert number_in("Pub. 5623-1") == ("5623-1", 2.0)
    assert number_in("PUB No. 5623-1") == ("5623-1", 3.0)


def test_a_number_alone_on_the_cover_is_taken_with_a_doubt():
    """One line of the cover that is a document number and nothing else; two of them tell nothing."""
    cover_lines = [("Brunnvik Gear", 20), ("Workshop Manual", 18), ("Brake unit 4KD-18, 4KD-22", 12)]
    one = read_cover([page([*cover_lines, ("3826-EN", 12), ("Issue C · June 1994", 10)])])
    assert (one.number, one.labelled, one.models) == ("3826-EN", False, ("4KD-18", "4KD-22"))
    assert "stands alone on the cover" in one.unclear[0]
    assert read_cover([page([*cover_lines, ("3826-EN", 12), ("77-140", 12)])]).number is None


@pytest.mark.parametrize(
    ("text", "models"),
    [
        ("Reversing gear RT 52 · RT 52 L · RT 64", ("RT 52", "RT 52 L", "RT 64")),
        ("Reversing gear RT 52 / RT 52 L / RT 64", ("RT 52", "RT 52 L", "RT 64")),
        ("Tractor PTO clutch Type 40, Type 42, Type 60", ("Type 40", "Type 42", "Type 60")),
        ("Type 40, Type 42", ("Type 40", "Type 42")),
        ("Anchor winch 4KD-18, 4KD-22", ("4KD-18", "4KD-22")),
        ("Type: MW-35, MW-50", ("MW-35", "MW-50")),
    ],
)
def test_models_of_a_cover_are_those_a_note_would_name(text, models):
    """A cover and a note read the same names from the same words."""
    assert models_in(text)[1] == models


def test_a_manual_without_any_number_goes_by_its_file_and_says_so():
    """Nothing is invented where no number is printed."""
    reading = read_manual([page([("Some words", 10)])], "old-book.pdf")
    assert reading.manual.number == "old-book"
    assert any("no publication number" in f.message for f in reading.findings)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("Publication No. KM 310   Edition 2", "KM 310"),
        ("Publication No. KM 310 Edition 2 1988", "KM 310"),
        ("Manual Number: 55-20-03", "55-20-03"),
        ("Form 12 345, Issue 3", "Form 12 345"),
        ("Pub No TM 9-2520", "TM 9-2520"),
        ("Book: 88/14", "88/14"),
        ("Part number of this manual 410 22 71", "410 22 71"),
        ("Doc. no. A-1188-E rev. 2", "A-1188-E"),
        ("This form shows how the pump is built", None),
        ("Workshop Manual", None),
        ("Order the parts from the list", None),
    ],
)
def test_numbers_after_their_labels(text, number):
    """The number ends where edition, revision or year begin; prose gives none."""
    found = number_in(text)
    assert (found[0] if found else None) == number


@pytest.mark.parametrize(
    ("text", "edition"),
    [
        ("Edition 2", "2"),
        ("2nd edition", "2"),
        ("Third Edition, 1988", "3"),
        ("Issue C", "Issue C"),
        ("Rev. B", "Rev B"),
        ("Edition 2, Revision 4", "2, Revision 4"),
        ("Issued by the works", None),
        ("Issue date: 4 May 2001", None),
    ],
)
def test_editions_as_printed(text, edition):
    """Editions and issues are kept as printed, ordinals as figures."""
    assert edition_of([text]) == edition


@pytest.mark.parametrize(
    "text", ["12 Mill Lane, Box 44, Tel. 5512 A12", "Publication No. RK-20", "Edition 2 1988"]
)
def test_addresses_numbers_and_editions_name_no_models(text):
    """What merely has digits is no list of models."""
    assert models_in(text) == (0.0, ())


HOSTILE = (
    "a" * 20_000,
    "1." * 10_000,
    "(" * 20_000,
    "no. " * 5_000,
    "A1-" * 6_600,
    " " * 20_000,
    "NOTE:" * 4_000,
    ". " * 10_000,
)


@pytest.mark.parametrize(
    "module", [candidates, cover, identity, kind, notices, partslists, sections, wording]
)
def test_no_pattern_hangs_on_hostile_text(module):
    """Every regular expression searches 20 kB of hostile text in 50 ms, twice that on a busy machine."""
    patterns = [p for p in vars(module).values() if isinstance(p, re.Pattern)]
    patterns += [p for _, p in getattr(module, "_LABEL_PATTERNS", ())]
    for pattern in patterns:
        for text in HOSTILE:
            start = time.perf_counter()
            pattern.search(text)
            assert time.perf_counter() - start < 0.1, pattern.pattern


def test_a_number_on_the_cover_that_the_heads_repeat_is_the_number() -> None:
    """Without a label, cover and running heads prove each other; the words behind it in the head are none of
    its own, and a month with its year is no number."""
    front = page([("Hollin Gear Works Ltd", 18), ("REPAIR INSTRUCTION RI 412", 20), ("Edition 10/1984", 9)])
    inner = [
        page([("1. Fit the ring.", 10)], sheet, ["RI 412 DRB hub brakes   Sheet C1   10/1984"])
        for sheet in (2, 3, 4)
    ]
    reading = read_cover([front, *inner], {1, 2, 3})
    assert reading.number == "RI 412" and not any("number" in u for u in reading.unclear)


def test_a_number_between_the_ends_of_a_running_head_counts() -> None:
    """`maker   number   date` is a common head."""
    front = page([("Repair Handbook", 20), ("KR 2210 E", 14)])
    inner = [page([("1. Fit.", 10)], sheet, ["Hollin Works   KR 2210 E   10/1984"]) for sheet in (2, 3, 4)]
    assert read_cover([front, *inner], {1, 2, 3}).number == "KR 2210 E"


def test_a_month_alone_in_the_heads_is_no_number() -> None:
    """10/1984 tells when the sheets were printed."""
    pages = [page([("1. Fit.", 10)], sheet, ["Hub brakes   10/1984"]) for sheet in (1, 2, 3)]
    assert read_cover(pages, {0, 1, 2}).number is None


@pytest.mark.parametrize(
    ("text", "models"),
    [
        ("for the Tarvel 20, Tarvel 30 and Tarvel 30W", ("Tarvel 20", "Tarvel 30", "Tarvel 30W")),
        ("Mk 6, Mk 6A and Mk 9", ("Mk 6", "Mk 6A", "Mk 9")),
        ("Drum brakes QB 160, QB 160 K, QB 250", ("QB 160", "QB 160 K", "QB 250")),
    ],
)
def test_names_with_one_stem_side_by_side_are_models(text: str, models: tuple[str, ...]) -> None:
    """A common stem proves them models, in capitals or not."""
    assert models_in(text)[1] == models


def test_unlike_names_side_by_side_prove_nothing() -> None:
    """Chapters and their pages are no models."""
    assert models_in("Section 3, Page 11 and Sheet 4")[0] < 0.9
