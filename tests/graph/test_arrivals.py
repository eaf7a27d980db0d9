"""A table of made-up kit arrivals, each with its verdict, its hold and a word of its reasons.

The papers are invented. Every arrival is judged through the whole answer, as the parts counter gets it.
"""

import pytest
from benchleaf.graph.kits.kit import kit_answer, parse_got
from benchleaf.graph.model import KitLine
from fake_shelf import FakeShelf, became, contains, lines, manual, note, override

PACK = "Stack 11 friction discs and 10 steel discs in turn, a friction disc first and last."
NEW_PACK = "Stack 11 friction discs and 12 steel discs in turn, a steel disc first and last."
BOOK = manual({"4-12": [("5", PACK)]})
DISCS = (KitLine("4031-1", "friction disc", 11), KitLine("4031-2", "steel disc", 12))
SMALL = (
    KitLine("4044-01", "seal ring", 2),
    KitLine("4044-05", "retaining ring", 1),
    KitLine("4044-07", "cover screw", 10),
    KitLine("4044-09", "shim", None),
)
PACKED = (
    KitLine("51-01", "pair of thrust washers", 1),
    KitLine("51-02", "seal ring per side", 2),
    KitLine("51-03", "pack of 10 cover screws", 1),
    KitLine("51-04", "set of 4 springs", 1),
)
THICK = (KitLine("61-1", "steel disc 2.0 mm", 6), KitLine("61-2", "steel disc 2.5 mm", 1))
SHELF = FakeShelf(
    [BOOK],
    [
        note("N 1", "2000-01-01", contains("7001-01", lines(friction_disc=11, steel_disc=10))),
        note(
            "N 2",
            "2001-01-01",
            became("7001-01", "7001-02", quote="kit 7001-02 replaces kit 7001-01"),
            contains("7001-02", (*DISCS, *SMALL), lines(friction_disc=11, steel_disc=10)),
            override("replace", "5", text=NEW_PACK),
        ),
        note("N 3", "2002-01-01", became("4044-01", "4044-02")),
        note("N 4", "2003-01-01", became("4044-05", "4044-06", interchange="both ways")),
        note("N 5", "2003-02-01", contains("8100-01", PACKED)),
        note("N 6", "2003-03-01", contains("8200-01", (*THICK, KitLine("61-3", "friction disc", 6)))),
        note(
            "N 7",
            "2003-04-01",
            contains("8300-01", lines(seal_ring=2), standing="doubtful", why=("a question",)),
        ),
        note("N 8", "2003-05-01", became("7001-02", "7001-03", quote="kit 7001-03 replaces kit 7001-02")),
    ],
)
FULL = "11 x 4031-1, 12 x 4031-2, 2 x 4044-01, 1 x 4044-05, 10 x 4044-07"
BY_NAME = "11 friction disc, 12 steel disc, 2 seal ring, 1 retaining ring, 10 cover screw"
GOOD_PACKED = "2 thrust washers, 4 seal rings, 10 cover screws, 4 springs"

ARRIVALS = [
    # explained: the newest note's list, under its own numbers, names or successors
    ("7001-02", FULL, "explained", ""),
    ("7001-02", BY_NAME, "explained", ""),
    ("7001-02", f"{FULL}, 3 x 4044-09", "explained", ""),
    ("7001-02", "10 x 4044-07; 1 x 4044-05; 2 x 4044-01; 12 x 4031-2; 11 x 4031-1", "explained", ""),
    ("7001-02", BY_NAME.replace("friction disc", "lined plates"), "explained", ""),
    ("7001-02", BY_NAME.replace("steel disc", "plain plates"), "explained", ""),
    ("7001-02", BY_NAME.replace("retaining ring", "snap ring"), "explained", ""),
    ("7001-02", BY_NAME.replace("retaining ring", "circlip"), "explained", ""),
    ("7001-02", FULL.replace("4044-01", "4044-02"), "explained", "4044-02 came for 4044-01: N 3"),
    ("7001-02", FULL.replace("4044-05", "4044-06"), "explained", "4044-06 came for 4044-05: N 4"),
    ("7001-02", FULL.replace("2 x 4044-01", "1 pair 4044-01 seal ring"), "explained", "1 × pair = 2"),
    ("7001-02", FULL.replace("10 x 4044-07", "1 pack of 10 cover screws"), "explained", "pack of 10"),
    ("7001-02", FULL.replace("10 x 4044-07", "2 packs of 5 cover screws"), "explained", "2 × pack of 5 = 10"),
    ("7001-02", "11 friction, 12 steel", "explained", "not counted: 2 seal ring"),
    (
        "7001-02",
        "5 x 4031-1, 6 x 4031-1, 12 x 4031-2, 2 x 4044-01, 1 x 4044-05, 10 x 4044-07",
        "explained",
        "",
    ),
    # short
    ("7001-02", FULL.replace("11 x 4031-1", "10 x 4031-1"), "unexplained", "1 too few"),
    ("7001-02", FULL.replace("12 x 4031-2", "11 x 4031-2"), "unexplained", "1 too few"),
    ("7001-02", FULL.replace("2 x 4044-01", "1 x 4044-01"), "unexplained", "seal ring: 2 expected, 1 came"),
    ("7001-02", FULL.replace("2 x 4044-01", "1 x 4044-02"), "unexplained", "1 too few"),
    ("7001-02", BY_NAME.replace("1 retaining ring", "no retaining ring"), "unexplained", "1 too few"),
    (
        "7001-02",
        f"{BY_NAME}\nretaining ring: none".replace("1 retaining ring, ", ""),
        "unexplained",
        "1 too few",
    ),
    ("7001-02", FULL.replace("10 x 4044-07", "pack of 5 cover screws"), "unexplained", "5 too few"),
    ("7001-02", FULL.replace("11 x 4031-1, ", ""), "unexplained", "friction discs were not counted"),
    # over
    ("7001-02", FULL.replace("11 x 4031-1", "12 x 4031-1"), "unexplained", "1 too many"),
    ("7001-02", FULL.replace("10 x 4044-07", "1 dozen cover screws"), "unexplained", "2 too many"),
    (
        "7001-02",
        FULL.replace("1 x 4044-05", "1 x 4044-05, 1 x 4044-06"),
        "unexplained",
        "not listed: 1 4044-06",
    ),
    ("7001-02", f"{FULL}, 1 gasket", "unexplained", "not listed: 1 gasket"),
    # other numbers and names
    ("7001-02", FULL.replace("2 x 4044-01", "2 x 4044-0I"), "unexplained", "look alike"),
    ("7001-02", FULL.replace("2 x 4044-01", "2 x 9999-77 seal ring"), "unexplained", "no note held links"),
    ("7001-02", FULL.replace("11 x 4031-1", "11 x 4031-2"), "unexplained", "too many"),
    # the wrong kit, or two mixed
    ("7001-02", "11 friction disc, 10 steel disc", "unexplained", "those of before"),
    ("7001-01", "11 friction disc, 12 steel disc", "unexplained", "2 too many"),
    ("7001-02", f"{FULL}, 2 x 6151-01 thrust washer", "unexplained", "not listed: 2 6151-01"),
    ("7001-01", "11 friction disc, 10 steel disc", "as-listed", "replaced by 7001-03"),
    ("7001-03", FULL, "explained", "7001-02 before it"),
    ("7001-03", FULL.replace("12 x 4031-2", "10 x 4031-2"), "unexplained", "2 too few"),
    # units of packing on the list
    ("8100-01", GOOD_PACKED, "as-listed", "right for two"),
    ("8100-01", GOOD_PACKED.replace("4 seal", "2 seal"), "as-listed", "right for one"),
    ("8100-01", GOOD_PACKED.replace("4 seal", "3 seal"), "unexplained", "neither one nor two"),
    ("8100-01", GOOD_PACKED.replace("2 thrust", "1 thrust"), "unexplained", "1 too few"),
    ("8100-01", GOOD_PACKED.replace("10 cover", "1 cover"), "unexplained", "9 too few"),
    ("8100-01", GOOD_PACKED.replace("4 springs", "1 set of 4 springs"), "as-listed", "set of 4"),
    # two thicknesses
    ("8200-01", "6 steel disc 2.0 mm, 1 steel disc 2.5 mm, 6 friction disc", "as-listed", ""),
    ("8200-01", "7 steel discs, 6 friction discs", "as-listed", "see which is which"),
    ("8200-01", "1 steel disc 2.0 mm, 6 steel disc 2.5 mm, 6 friction disc", "unexplained", "5 too few"),
    # no settled word
    ("8300-01", "2 seal ring", "unexplained", "a question"),
    ("9999-01", "2 seal ring", "not-known", "no paper held names"),
]


@pytest.mark.parametrize(("kit", "got", "verdict", "word"), ARRIVALS)
def test_an_arrival(kit: str, got: str, verdict: str, word: str) -> None:
    """The verdict is the one of the table, the reasons say why, and nothing unexplained goes without a
    hold."""
    answer = kit_answer(SHELF, kit, parse_got(got))
    assert answer.verdict == verdict, answer.reasons
    assert answer.hold == (verdict not in ("explained", "as-listed"))
    assert word in " | ".join(answer.reasons)


def test_the_table_is_long_enough() -> None:
    """At least forty different arrivals stand in the table."""
    assert len({(kit, got) for kit, got, _, _ in ARRIVALS}) >= 40
