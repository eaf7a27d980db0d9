"""What notes of shops never seen before say of sets, kits and their numbers. All makers, numbers and
sentences are invented; the wordings are common practice, no source."""

from dataclasses import replace

import pytest
from benchleaf.graph.model import Cancels, Contents, Supersession, Withdrawn
from benchleaf.ingest.head.limits import statement_applies
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.numbers import codes
from benchleaf.ingest.phrases.statements import read_statements


def read(text, number="XB 12/99"):
    """The statements of a note with this text."""
    return read_statements(replace(header_of(text), number=number), "note.txt").statements


def changed(text):
    """Old and new numbers of each change, and its standing."""
    return [(s.old, s.new, s.standing) for s in read(text) if isinstance(s, Supersession)]


def listed(text):
    """The kits that a text lists: number, lines now, lines before, standing."""
    told = [s for s in read(text) if isinstance(s, Contents)]
    return [(k.kit, lines(k.lines), lines(k.previous), k.standing) for k in told]


def lines(some):
    return [f"{li.quantity} {li.description}" for li in some]


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("Plate set 7412.030 is in stock.", "7412.030"),
        ("The packing 412.060 and packing 412.075 are alike.", "412.060"),
        ("Repair set 33.4410 is in stock.", "33.4410"),
        ("Order kit 70412.31 by fax.", "70412.31"),
        ("Spring package 7412.512.10 is in stock.", "7412.512.10"),
        ("Ring 52-0416 is in stock.", "52-0416"),
    ],
)
def test_a_number_in_groups_is_a_part_where_a_part_is_named_before_it(text, number):
    """A number with one stop is no figure where the thing it numbers stands right before it."""
    assert number in [c.text for c in codes(text)]


@pytest.mark.parametrize(
    "text",
    [
        "The sleeve was bored to 120.552 mm.",
        "Relief pressure is 1013.25 and falls to 1002.50.",
        "Grind the shaft 120.552 to 120.560 mm.",
        "A bore of the ring 120.552 is worn.",
        "The set screw gives 1200.50 at rest.",
    ],
)
def test_a_figure_with_a_stop_stays_a_figure(text):
    """What measures something, or has no part's name right before it, is no number of a part."""
    assert codes(text) == ()


def test_numbers_of_other_groups_stay_figures():
    """One part's number does not make a figure of other groups in the same text a number."""
    assert [c.text for c in codes("Set 7412.030 weighs 120.552 in all.")] == ["7412.030"]


def test_a_set_under_a_number_with_one_stop_is_replaced():
    """Sets whose numbers look like decimals are changed, one into one and one into two."""
    assert changed("Plate set 7412.030 is replaced by plate set 7412.035.") == [
        (("7412.030",), ("7412.035",), "settled")
    ]
    two = "Gasket set 7412.050 is split. It is replaced by gasket set 7412.051 and gasket set 7412.052; "
    assert changed(two + "both must be ordered.") == [(("7412.050",), ("7412.051", "7412.052"), "settled")]


def test_it_is_not_the_kit_where_a_part_was_named_too():
    """ "It" behind a sentence that names a kit and a part is settled for neither."""
    found = changed("Kit WQ-510 contains the seal WQ-5120. It is replaced by WQ-5121.")
    assert not any(standing == "settled" for _, _, standing in found)


def test_a_split_into_unlike_parts_with_counts():
    """Two parts that are not alike take the place of one; the sentence that counts them is quoted too."""
    text = (
        "Liner WQ-5140 is replaced by two liners which are not the same: inner liner WQ-5141 and outer liner"
    )
    text += " WQ-5142. For each WQ-5140 fit one WQ-5141 and one WQ-5142."
    (found,) = [s for s in read(text) if isinstance(s, Supersession)]
    assert (found.old, found.new, found.relation, found.standing) == (
        ("WQ-5140",),
        ("WQ-5141", "WQ-5142"),
        "all of",
        "settled",
    )
    assert "For each WQ-5140" in found.quote


def test_a_kit_that_holds_a_part_is_not_its_successor():
    """ "Both are packed in set A instead of part B" makes set A no new number of part B."""
    text = "Packing 52-0416 is replaced by upper packing 52-0421 and lower packing 52-0422. Both are packed"
    text += " in plate set 7412.030 and in gasket set 7412.050 instead of 52-0416."
    assert changed(text) == [(("52-0416",), ("52-0421", "52-0422"), "settled")]


@pytest.mark.parametrize(
    ("said", "way"),
    [
        ("Both seals may be exchanged one for the other.", "both ways"),
        ("The two seals can be interchanged one against the other.", "both ways"),
        ("The new seal may be fitted in all pumps. The old seal must not be used.", "new for old"),
        ("The new seal suits every pump, but the old seal must not be mounted.", "new for old"),
        ("The new seal does not fit in all pumps. The old seal must no longer be fitted.", "unstated"),
        ("It is not true that both seals may be exchanged one for the other.", "unstated"),
    ],
)
def test_interchange_in_other_words(said, way):
    """One for the other is both ways; a new part for all units and no old one any more is one way."""
    (found,) = [
        s for s in read(f"Seal WQ-5120 is replaced by WQ-5122. {said}") if isinstance(s, Supersession)
    ]
    assert found.interchange == way


def test_sets_on_stock_that_remain_good_may_be_used_up():
    """ "Sets A in stock stay usable" lets the old set be used up."""
    text = "Plate set 7412.030 is replaced by plate set 7412.035. Sets 7412.030 in stock stay usable."
    (found,) = [s for s in read(text) if isinstance(s, Supersession)]
    assert found.stock == "use up"


@pytest.mark.parametrize(
    ("text", "now", "before"),
    [
        ("Set 33.4410 no longer includes the felt 33.4481 (formerly 1).", ["0 felt"], ["1 felt"]),
        ("Kit WQ-510 is no longer supplied with the two pins WQ-5113.", ["0 pin"], ["2 pin"]),
        ("Kit WQ-510 is now supplied without ring WQ-5120.", ["0 ring"], []),
        ("Seals WQ-5120 have been left out of kit WQ-510.", ["0 seal"], []),
    ],
)  # fmt: skip
def test_a_kit_that_lost_a_part(text, now, before):
    """A part that a kit holds no longer is a line of none, and a line of before where its count is told."""
    (found,) = listed(text)
    assert found[1:] == (now, before, "settled")


@pytest.mark.parametrize(
    "text",
    [
        "Kit WQ-510 no longer contains seal WQ-5120 if it is ordered for the small pump.",
        "Kit WQ-510 no longer contains paper.",
        "Kit WQ-510 no longer contains seal WQ-5120?",
    ],
)
def test_a_kit_that_may_have_lost_a_part_is_not_settled(text):
    """A condition, a name without a number, a question: nothing is settled."""
    assert not any(standing == "settled" for *_, standing in listed(text))


def test_names_turned_round_in_a_sentence():
    """ "3 shaft seals, front" is one line with its name turned round."""
    text = "Kit WQ-510 now contains 3 shaft seals, front (previously 2), 9 plates, outer, and 2 rings."
    (found,) = listed(text)
    assert found[1] == ["3 shaft seal, front", "9 plate, outer", "2 ring"]


def test_what_a_kit_of_the_earlier_contents_held():
    """Earlier contents in brackets are those of the kit just listed."""
    text = "Kit WQ-510 contains 10 inner plates and 11 outer plates. Kits with the old contents (9 inner"
    text += " plates and 9 outer plates) can still be used."
    (found,) = listed(text)
    assert found[2] == ["9 inner plate", "9 outer plate"]


def test_a_list_of_now_and_before_is_no_change_of_numbers():
    """Parts that a kit's list names now and before are not read as a change of parts too."""
    text = "Kit WQ-510 now contains five plates WQ-5108 (previously four WQ-5107) and five discs WQ-5111"
    text += " (previously three WQ-5110). All other contents are unchanged."
    assert changed(text) == []
    assert [k for k, *_ in listed(text)] == ["WQ-510"]


@pytest.mark.parametrize(
    ("own", "text", "cancelled"),
    [
        ("14/05", "Service Message 14/02 of 3 May 2002 is cancelled.", "14/02"),
        ("14/05", "SM 14/02 is cancelled.", "14/02"),
        ("SM 14/05", "SM 14/02 is cancelled.", "SM 14/02"),
    ],
)
def test_a_message_is_cancelled_under_its_short_name(own, text, cancelled):
    """A note with or without the initials of its kind is the same note, and no part."""
    found = read(text, own)
    assert [s.cancels for s in found if isinstance(s, Cancels)] == [cancelled]
    assert not any(isinstance(s, Withdrawn) for s in found)


@pytest.mark.parametrize(
    ("text", "kits"),
    [
        ("With plate set 7412.035, step 7 on page 3 is replaced.", ("7412.035",)),
        ("When disc set WQ-5204 is fitted, step 7 is void.", ("WQ-5204",)),
        ("When set to 25 mm the rod is free.", ()),
        ("With set screw M8 tight, go on.", ()),
    ],
)
def test_a_set_may_limit_a_step(text, kits):
    """A set with its number limits a sentence as a kit does; the verb "set" does not."""
    found = statement_applies(text)
    assert (found.kits if found else ()) == kits


def test_a_number_of_units_is_no_part():
    """ "From pump number 44100 onwards" names units: no number is left unexplained."""
    text = "From pump number 44100 onwards the seal WQ-5120 is replaced by WQ-5122."
    assert changed(text) == [(("WQ-5120",), ("WQ-5122",), "settled")]
