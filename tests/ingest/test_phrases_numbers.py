"""Wordings of part numbers, kits and cancelled notes, from text to statement. Texts and numbers are invented;
wordings are common practice, no source."""

import time

import pytest
from benchleaf.graph.model import Cancels, Contents, KitLine, Supersession, Withdrawn
from benchleaf.ingest.phrases.examples import failures, header_of, unproved
from benchleaf.ingest.phrases.kitcounts import comparison, paired, without_per
from benchleaf.ingest.phrases.numbers import part_numbers
from benchleaf.ingest.phrases.phrasebook import Phrase, load
from benchleaf.ingest.phrases.statements import read_statements

BOOK = load()
MINE = tuple(BOOK.of("supersession", "withdrawn", "contents", "cancels", "rider"))


@pytest.mark.parametrize("phrase", MINE, ids=lambda p: p.name)
def test_every_pattern_is_proved_both_ways(phrase: Phrase) -> None:
    """Each pattern for numbers, kits, notes and riders has a sentence it reads and one it must not."""
    assert list(unproved(phrase, BOOK)) == []
    assert list(failures(phrase, BOOK)) == []


def pairs(text: str) -> list[tuple[str, str]]:
    found = read_statements(header_of(text), "n").statements
    assert all(s.standing == "settled" for s in found), [s.why for s in found]
    return sorted((" ".join(s.old), " ".join(s.new)) for s in found if isinstance(s, Supersession))


@pytest.mark.parametrize(
    "text",
    [
        "The shaft seal 7714.20.3 is superseded with immediate effect by seal 7714.20.5.",
        "We have discontinued 7714.20.3. In its stead please order 7714.20.5.",
        "We now deliver 7714.20.5 where you ordered 7714.20.3.",
        "Do not order 7714.20.3 any more: order 7714.20.5.",
        "Our order number for the seal is henceforth 7714.20.5 (up to now 7714.20.3).",
        "The seal's part number goes from 7714.20.3 to 7714.20.5.",
        "7714.20.3 subst. by 7714.20.5",
        "Improved seal, 7714.20.5, introduced in lieu of 7714.20.3.",
        "Seal 7714.20.3 used up to now is replaced by 7714.20.5.",
        "The seal previously stocked as 7714.20.3 is henceforth stocked as 7714.20.5.",
        "7714.20.3 (obsolete, see 7714.20.5)",
    ],
)
def test_one_to_one(text: str) -> None:
    """One number became another, in the words of many hands."""
    assert pairs(text) == [("7714.20.3", "7714.20.5")]


@pytest.mark.parametrize(
    "text",
    [
        "88.17.044 was superseded by 88.17.109, which in turn has been superseded by 88.17.204.",
        "Bush 88.17.044 was superseded in 1966 by bush 88.17.109 and in 1971 by bush 88.17.204.",
        "88.17.204 was formerly listed as 88.17.109 and, before that, as 88.17.044.",
    ],
)
def test_chain_in_one_sentence(text: str) -> None:
    """A sentence with three numbers in a row gives two changes."""
    assert pairs(text) == [("88.17.044", "88.17.109"), ("88.17.109", "88.17.204")]


def test_several_pairs_in_one_sentence() -> None:
    """ "A becomes B, C becomes D and E becomes F" gives three changes, B and C no list."""
    text = "40-11771 becomes 40-11821, 40-11772 becomes 40-11822 and 40-11773 becomes 40-11823."
    assert pairs(text) == [(f"40-1177{n}", f"40-1182{n}") for n in (1, 2, 3)]


@pytest.mark.parametrize(
    "text",
    [
        "40-11771 is not available as a spare part; order pump assembly 40-11821.",
        "NSS - order assy 40-11821 for 40-11771.",
        "Alternative to 40-11771: 40-11821.",
        "40-11771 = 40-11821",
        "40-11821 has been developed to overcome the breakage of 40-11771.",
        "It is intended to replace 40-11771 by 40-11821 next year.",
        "Replacement of disc 40-11771 with 40-11821 is under test.",
    ],
)
def test_what_is_no_plain_change_is_never_settled(text: str) -> None:
    """The next higher assembly, an alternative, an equals sign, a plan, a trial: at most a doubt."""
    found = read_statements(header_of(text), "n").statements
    assert [s for s in found if s.standing == "settled"] == []


@pytest.mark.parametrize(
    ("text", "wants"),
    [
        ("Bulletins 3 to 7 are withdrawn.", ["3", "4", "5", "6", "7"]),
        ("Service letters SL-14 through SL-16 are cancelled.", ["SL-14", "SL-15", "SL-16"]),
        ("Bulletins 44 and 45 are hereby cancelled in full.", ["44", "45"]),
        ("Please destroy your copies of Technical Note 44-2.", ["44-2"]),
        ("Revision B, replaces revision A.", []),
        ("It is not true that bulletins 3 to 7 are withdrawn.", []),
    ],
)
def test_cancelled_notes(text: str, wants: list[str]) -> None:
    """A run of notes is every note of it; a revision of the same note cancels nothing."""
    found = read_statements(header_of(text), "n").statements
    assert [s.cancels for s in found if isinstance(s, Cancels) and s.standing == "settled"] == wants


def test_withdrawn_in_other_words() -> None:
    """No successor, in words of other hands."""
    for said in ("is no longer made and nothing takes its place", "is obsolete. There is no successor"):
        (one,) = read_statements(header_of(f"The gasket 40-11771 {said}."), "n").statements
        assert isinstance(one, Withdrawn) and one.standing == "settled"


@pytest.mark.parametrize(
    "text",
    [
        "Kit 60-1141 contains 12 gaskets instead of the 9 formerly supplied.",
        "Kit 60-1141 contains 12 gaskets, three more than before.",
        "Kit 60-1141 contains 12 gaskets. That is three gaskets more than the one before it.",
        "Kit 60-1141 contains 12 gaskets. Previously it contained 9 gaskets.",
    ],
)
def test_previous_quantity(text: str) -> None:
    """What the kit held before is read or computed: 12 is three more than 9."""
    (one,) = read_statements(header_of(text), "n").statements
    assert isinstance(one, Contents) and one.standing == "settled"
    assert one.lines == (KitLine(None, "gasket", 12),) and one.previous == (KitLine(None, "gasket", 9),)


@pytest.mark.parametrize(
    "text",
    [
        "Kit 60-1141 contains 4 seals per side.",
        "One extra steel plate is included in kit 60-1141.",
        "Kit 60-1141 now includes 7 steel plates instead of 6. The other contents are unchanged.",
    ],
)
def test_partial_contents_are_a_doubt(text: str) -> None:
    """A count per side, one part more, or "the others stay" does not tell what the kit holds."""
    (one,) = read_statements(header_of(text), "n").statements
    assert isinstance(one, Contents) and one.standing == "doubtful" and one.why


def test_counts() -> None:
    """Pairs count double; "per kit" is no doubt, "per side" is; a comparison needs its two sides."""
    assert paired("2 pairs of circlips") == "4 circlips"
    assert without_per("4 seals per kit") == ("4 seals", ())
    assert without_per("4 seals per side")[1] != ()
    assert comparison("three gaskets more than the old one had.") == (3, "gaskets")
    assert comparison("three gaskets more") is None


def test_number_with_a_group_behind_a_blank() -> None:
    """ "15-01 418" is one number before a mark or a verb, and none before a noun that it counts."""
    assert [s.text for s in part_numbers("Shim 15-01 418 is replaced.")] == ["15-01 418"]
    assert [s.text for s in part_numbers("Order 15-01 418 shims.")] == []


def contents(text: str) -> list[tuple[str, str, list[tuple[int | None, str]]]]:
    found = read_statements(header_of(text), "n").statements
    kits = [s for s in found if isinstance(s, Contents)]
    return [(s.kit, s.standing, [(x.quantity, x.description) for x in s.lines]) for s in kits]


@pytest.mark.parametrize(
    "text",
    [
        "The pin 7714.20.3 is replaced by 7714.20.5. For the clutch there is repair kit 40-2200. In the box"
        " are 8 lined discs and 9 plain discs.",
        "A shop asked what it should find in the tin. The repair kit 40-2200 is made up of 8 lined discs"
        " and 9 plain discs.",
        "The repair kit 40-2200 is reduced. Contents hitherto: 9 lined discs and 10 plain discs. Contents"
        " from now on: 8 lined discs and 9 plain discs.",
        "The repair kit 40-2200 consists of 8 lined discs and 9 plain discs; the seals are no longer"
        " part of it.",
    ],
)
def test_kit_is_the_one_just_named(text: str) -> None:
    """The contents belong to the kit of the sentence before, whatever other part the note renumbers; words of
    the sentence before, and what the kit holds no more, are no part of them."""
    assert contents(text) == [("40-2200", "settled", [(8, "lined disc"), (9, "plain disc")])]


def test_both_needs_two() -> None:
    """ "Both are replaced" speaks of two numbers: behind one it says nothing that could be settled."""
    found = read_statements(header_of("We keep 7714.20.3. Both are replaced by 7714.20.5."), "n").statements
    assert all(s.standing != "settled" for s in found)


def test_hundreds_with_four_decimals_are_a_number() -> None:
    """ "417.0633" is an article number, "12.0633" may be a measure. Common practice, no source."""
    assert [s.text for s in part_numbers("417.0633 and KS 417.0882, 12.0633")] == ["417.0633", "KS 417.0882"]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("The plunger 31.7002 has become 31.7020.", ["31.7002", "31.7020"]),
        ("The bore of the ring, 25.1250, becomes 25.1260.", []),
        ("Grind the shaft 25.1250 to 25.1255 in.", []),
        ("25.1250 becomes 25.1260.", []),
    ],
)
def test_two_digits_and_four_are_a_number_behind_a_part(text: str, found: list[str]) -> None:
    """ "Plunger 31.7002" is an order number; a bore of 25.1250 and a bare figure are not. Common practice,
    no source."""
    assert [s.text for s in part_numbers(text)] == found


def test_many_numbers_of_two_and_four_are_read_quickly() -> None:
    """Whether a text names parts is asked once for the text: 20 kB of such numbers take under two seconds."""
    began = time.perf_counter()
    part_numbers("31.4407 " * 2500)
    assert time.perf_counter() - began < 2
