"""The missing note: what the arithmetic says against a kit, what would explain it, whom to ask what.

All papers are invented. That plates of two kinds alternate, and that more plates at an unchanged height are
thinner, is common practice, no source; 1 in = 25.4 mm is from NIST SP 811.
"""

import time
from dataclasses import replace
from itertools import pairwise, product

import pytest
from benchleaf.graph.applicability import Unit
from benchleaf.graph.binding import Family, plate_counts
from benchleaf.graph.kits.expected import expected_contents
from benchleaf.graph.kits.heights import (
    equal_height,
    in_mm,
    line_thickness,
    step_thicknesses,
    together,
)
from benchleaf.graph.kits.missingnote import MissingNote, missing_note, packs_for_unknown
from benchleaf.graph.kits.packstep import Links
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.model import Applies, Citation, KitLine, SheetText
from benchleaf.graph.overrides import Case
from benchleaf.graph.store import Store
from fake_shelf import (
    FakeShelf,
    became,
    cancels,
    contains,
    day,
    lines,
    manual,
    note,
    override,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from store_papers import document, put

KIT = "9000-1"
PLAIN = "Stack 10 friction discs and 10 steel discs in turn, a friction disc first."
THICK = "Stack 10 friction discs and 10 steel discs, 2.0 mm thick, in turn, a friction disc first."
ELEVEN = "Stack 10 friction discs and 11 steel discs, a steel disc first and last."
FIVE_SIX = "Stack 5 friction discs and 6 steel discs, a steel disc first and last."
TEN = manual({"31": [("3", "Oil the discs."), ("4", PLAIN)]})
TEN_THICK = manual({"31": [("3", "Oil the discs."), ("4", THICK)]})
UNIT = Unit("K7")


def _ask(shelf, got: str, kit: str = KIT, unit: Unit = UNIT, on=None) -> MissingNote | None:
    """As the counter asks: the kit's own links first, then what may be meant."""
    family = Family(shelf, [kit])
    expected = expected_contents(shelf, kit, family, on)
    links = Links(shelf, kit, family, Case(unit, on=on), expected)
    packs = links.find() or packs_for_unknown(shelf, unit, on)
    came = parse_got(got)
    counts = plate_counts(KitLine(r.part, r.description, r.quantity) for r in came)
    return missing_note(shelf, kit, family, unit, counts, packs, expected, came, on)


def _told(shelf, got: str, **more) -> MissingNote:
    answer = _ask(shelf, got, **more)
    assert answer is not None
    return answer


def test_no_bulletin_held_the_order_cannot_be_built() -> None:
    """With a manual alone the counter says: ten and eleven cannot be laid as the step asks, and why."""
    answer = _told(FakeShelf([TEN]), "10 friction disc, 11 steel disc")
    assert answer.hold
    assert answer.arithmetic[0] == (
        "10 friction and 11 steel plates can only stack with a steel plate first and last; step 4 on page 31"
        " of RX 40 asks for a friction plate first and a steel plate last: with 10 friction and 11 steel that"
        " cannot be built"
    )
    assert answer.arithmetic[1].endswith("the kit holds 10 and 11: one steel plate more")
    assert answer.held == () and answer.more_held == 0 and answer.cited_missing == ()
    assert answer.ask == (
        f"Which note changes the order of the plates for kit {KIT} of model K7? It holds 10 friction and 11"
        " steel plates; step 4 on page 31 of RX 40 is for 10 and 10 with a friction plate first and a steel"
        " plate last."
    )


def test_what_would_explain_it_is_ranked_and_says_why() -> None:
    """Another order first, then thinner plates, then the end plate; each with its reason."""
    said = _told(FakeShelf([TEN_THICK]), "10 friction disc, 11 steel disc").would_explain
    assert [s.split(",")[0].split(":")[0] for s in said[:3]] == [
        "another order of stacking",
        "thinner steel plates",
        "a thinner end plate or backing plate",
    ]
    assert "about 1.82 mm each instead of 2.0 mm" in said[1] and "take up 2.0 mm more" in said[2]


def test_thickness_known_gives_the_height_and_the_thickness_wanted() -> None:
    """Eleven of 2.0 mm for ten are 2.0 mm higher; 10 * 2.0 / 11 = 1.82 mm keeps the height."""
    answer = _told(FakeShelf([TEN_THICK]), "10 friction disc, 11 steel disc")
    assert answer.arithmetic[2] == (
        "11 steel plates of 2.0 mm (step 4 on page 31 of RX 40) instead of 10 make the pack 2.0 mm higher;"
        " at equal height each must be 1.82 mm: measure them"
    )


def test_thickness_unknown_says_what_to_measure_and_the_ratio() -> None:
    """Where no paper gives a thickness: the ratio 10/11 in per cent, and which plates to measure."""
    said = " ".join(_told(FakeShelf([TEN]), "10 friction disc, 11 steel disc").arithmetic)
    assert "10/11 as thick as before, 90.9 %" in said and "measure an old steel plate" in said


def test_thickness_comes_from_the_parts_list_too() -> None:
    """The manual's parts list gives the thickness; where it lists a choice, nothing is computed from it."""
    one = replace(TEN, parts=(KitLine("8001-1", "Disc, steel, 2.0 mm", 10),))
    assert "parts list of RX 40" in _told(FakeShelf([one]), "10 friction disc, 11 steel disc").arithmetic[2]
    two = replace(one, parts=(*one.parts, KitLine("8001-2", "Disc, steel, 2.2 mm", 1)))
    said = _told(FakeShelf([two]), "10 friction disc, 11 steel disc").arithmetic
    assert not any("make the pack" in s for s in said)
    assert any("more than one thickness is printed" in s for s in said)


def test_thickness_written_with_the_kit_is_compared() -> None:
    """Thinner plates that keep the height do not call for another end plate."""
    thicker = manual({"31": [("4", THICK.replace("2.0 mm", "2.2 mm"))]})
    level = _told(FakeShelf([thicker]), "10 friction disc, 11 steel disc 2.0 mm")
    assert any("the pack height stays" in s for s in level.arithmetic)
    assert any("2.0 mm instead of 2.2 mm: the height then stays" in s for s in level.would_explain)
    assert not any("end plate or backing" in s for s in level.would_explain)
    same = _told(FakeShelf([TEN_THICK]), "10 friction disc, 11 steel disc 2.0 mm")
    assert not any("thinner steel" in s for s in same.would_explain)
    assert any("take up 2.0 mm more" in s for s in same.would_explain)


def test_equal_counts_of_other_thickness_hold_the_kit() -> None:
    """The counts are the step's, but the plates are thinner: the pack is lower, and nothing held says so."""
    answer = _told(FakeShelf([TEN_THICK]), "10 friction disc, 10 steel disc 1.8 mm")
    assert answer.hold and len(answer.arithmetic) == 1
    assert "18.0 mm high" in answer.arithmetic[0] and "2.0 mm lower" in answer.arithmetic[0]
    assert "thickness of the plates" in answer.ask and "1.8 mm thick instead of 2.0 mm" in answer.ask


def test_a_printed_tolerance_is_allowed_for() -> None:
    """Ten of 1.98 for ten of 2.0 within 0.05 each is the same height; without a tolerance it is not."""
    loose = manual({"31": [("4", THICK.replace("2.0 mm thick", "2.0 ±0.05 mm thick"))]})
    assert _ask(FakeShelf([loose]), "10 friction disc, 10 steel disc 1.98 mm") is None
    assert _ask(FakeShelf([TEN_THICK]), "10 friction disc, 10 steel disc 1.98 mm") is not None


def test_mixed_plates_are_reckoned_as_a_heap() -> None:
    """Eight of 2.0 and three of 1.8 are 21.4 mm; a line without a thickness leaves the heap unknown."""
    mixed = _told(FakeShelf([TEN_THICK]), "10 friction disc, 8 steel disc 2.0 mm, 3 steel disc 1.8 mm")
    assert any("21.4 mm high" in s and "1.4 mm higher" in s for s in mixed.arithmetic)
    part = _told(FakeShelf([TEN_THICK]), "10 friction disc, 8 steel disc 2.0 mm, 3 steel disc")
    assert not any("mm high," in s for s in part.arithmetic)


@pytest.mark.parametrize(
    "got", ["10 friction disc, 10 steel disc", "10 friction disc", "0 friction disc, 0 steel disc"]
)
def test_no_gap_no_missing_note(got: str) -> None:
    """The step's own counts, plates not counted, and an empty box are no sign of a missing note."""
    assert _ask(FakeShelf([TEN_THICK]), got) is None


def test_over_by_many_cannot_alternate() -> None:
    """Ten and fourteen stack in no order: no other order is offered, spare plates are."""
    answer = _told(FakeShelf([TEN_THICK]), "10 friction disc, 14 steel disc")
    assert answer.hold and "cannot alternate" in answer.arithmetic[0]
    assert not any("another order" in s or "thinner" in s for s in answer.would_explain)
    assert any(s.startswith("spare plates in the box: 4 steel plates") for s in answer.would_explain)
    assert "the number of plates" in answer.ask


def test_twice_and_half_the_pack_are_recognised() -> None:
    """Twenty and twenty are two packs of ten and ten, five and five half of one: said first."""
    twice = _told(FakeShelf([TEN_THICK]), "20 friction disc, 20 steel disc")
    assert twice.would_explain[0].startswith("a kit for 2 packs or 2 units")
    half = _told(FakeShelf([TEN_THICK]), "5 friction disc, 5 steel disc")
    assert half.would_explain[0].startswith("2 kits to a pack")
    assert not any("measure" in s for a in (twice, half) for s in a.arithmetic)


def test_only_one_kind_in_the_box() -> None:
    """A set of steel plates alone is offered as an explanation, and still holds."""
    answer = _told(FakeShelf([TEN]), "0 friction disc, 11 steel disc")
    assert answer.hold and any("a set of steel plates only" in s for s in answer.would_explain)


def test_an_end_plate_counted_with_the_steel_is_looked_for_first() -> None:
    """Eleven steel less one are the step's ten: look whether an end plate was counted."""
    assert any(
        "end plate was counted" in s
        for s in _told(FakeShelf([TEN]), "10 friction disc, 11 steel disc").first_look
    )
    assert not any(
        "end plate" in s for s in _told(FakeShelf([TEN]), "10 friction disc, 13 steel disc").first_look
    )


def test_step_that_contradicts_itself_wants_a_correction() -> None:
    """A step whose own counts do not build its own order is told as such."""
    book = manual(
        {"31": [("4", "Stack 10 friction discs and 11 steel discs in turn, a friction disc first and last.")]}
    )
    answer = _told(FakeShelf([book]), "10 friction disc, 11 steel disc")
    assert answer.hold and answer.would_explain[0].startswith("a correction of step 4 on page 31")


def test_another_pack_of_just_these_counts_is_named() -> None:
    """A step of another model's manual that counts just so many is the likeliest answer."""
    other = manual({"40": [("9", ELEVEN)]}, number="ZB 9", models=("Q9",))
    answer = _told(FakeShelf([TEN, other]), "10 friction disc, 11 steel disc")
    assert (
        answer.would_explain[0]
        == "a kit for another pack: step 9 on page 40 of ZB 9 (model Q9) counts just 10 and 11"
    )


def test_predecessor_known_and_no_step() -> None:
    """With the kit before it alone: the counts differ, and by the counts the ends of the pack are others."""
    told = note("N 2", "2000-01-01", contains("9000-0", lines(friction_disc=10, steel_disc=10)),
                became("9000-0", KIT))  # fmt: skip
    answer = _told(FakeShelf([], [told]), "10 friction disc, 11 steel disc")
    assert answer.hold and answer.arithmetic[0].startswith("by N 2 the kit before it has 10 friction and 10")
    assert any(s.endswith("the order is another") for s in answer.arithmetic)
    assert "N 2" in answer.ask and [n.number for n in answer.held] == ["N 2"]
    assert _ask(FakeShelf([], [told]), "10 friction disc, 10 steel disc") is None


def test_a_settled_note_that_brings_counts_and_order_leaves_nothing_missing() -> None:
    """Where the note is held, settled and fits, no note is missing; doubtful, it is listed and holds."""
    now = lines(friction_disc=10, steel_disc=11)
    text = "Stack 10 friction discs and 11 steel discs in turn, a steel disc first and last."
    said = (contains(KIT, now, lines(friction_disc=10, steel_disc=10)), became("9000-0", KIT))
    settled = note("N 1", "2001-01-01", *said, override("replace", "4", page="31", text=text))
    assert _ask(FakeShelf([TEN_THICK], [settled]), "10 friction disc, 11 steel disc") is None
    doubtful = note(
        "N 1",
        "2001-01-01",
        *said,
        override("replace", "4", page="31", text=text, standing="doubtful", why=("unsure",)),
    )
    answer = _told(FakeShelf([TEN_THICK], [doubtful]), "10 friction disc, 11 steel disc")
    assert answer.hold and [(n.number, n.state) for n in answer.held] == [("N 1", "doubtful")]
    assert answer.held[0].standing == "doubtful reading 3: settle it first"
    assert "may change step 4 on page 31 of RX 40" in answer.held[0].reasons


def test_note_cited_and_missing_is_asked_for() -> None:
    """A note that a relevant note cites, and that is not held, stands in the question; a cancelled one is
    listed but not asked for."""
    told = note("N 3", "2003-01-01", contains(KIT, lines(seal_ring=2)), cancels("N 0"))
    told = replace(told, cites=(Citation("note", "N 8"), Citation("publication", "RX 41", "7")))
    answer = _told(FakeShelf([TEN], [told]), "10 friction disc, 11 steel disc")
    assert {m.number for m in answer.cited_missing} == {"N 0", "N 8", "RX 41"}
    assert answer.ask.endswith("Is it N 8, which we do not have?")


def test_held_notes_say_how_they_stand_most_relevant_first() -> None:
    """Cancelled, for other units, unread and settled are told apart; the model alone comes last."""
    notes = (
        note(
            "N 1",
            "2001-01-01",
            override("replace", "4", page="31", text=PLAIN),
            applies=Applies(models=("Q9",)),
        ),
        note("N 2", "2002-01-01", contains(KIT, lines(seal_ring=2))),
        note("N 3", "2003-01-01", override("caution", "4", page="31", text="Oil them.")),
        note("N 4", "2004-01-01", cancels("N 3")),
        note("N 5", "2005-01-01", applies=Applies(models=("K7",))),
        note("N 6", "2006-01-01", override("replace", "3", page="31", text="Oil the discs well.")),
        note("N 7", "2007-01-01", override("replace", "8", page="90", text="x", quote=f"as sent with {KIT}")),
    )
    held = {n.number: n for n in _told(FakeShelf([TEN], notes), "10 friction disc, 11 steel disc").held}
    assert next(iter(held)) == "N 2" and list(held)[-1] == "N 5" and "N 4" not in held
    states = {n: h.state for n, h in held.items()}
    assert states == {"N 1": "other units", "N 2": "settled", "N 3": "cancelled", "N 5": "unread",
                      "N 6": "settled", "N 7": "settled"}  # fmt: skip
    assert held["N 3"].standing == "cancelled by N 4" and "model Q9" in held["N 1"].standing
    assert held["N 7"].reasons == (f"its words name {KIT}",)


def test_many_notes_are_counted() -> None:
    """At most twelve are listed, the rest counted; notes later than the day asked for are left out."""
    notes = [note(f"M {i}", f"20{i:02}-01-01", applies=Applies(models=("K7",))) for i in range(20)]
    answer = _told(FakeShelf([TEN], notes), "10 friction disc, 11 steel disc")
    assert (len(answer.held), answer.more_held) == (12, 8)
    early = _told(FakeShelf([TEN], notes), "10 friction disc, 11 steel disc", on=day("2004-06-01"))
    assert len(early.held) == 5


def test_the_store_is_searched_by_its_own_words(tmp_path) -> None:
    """A note from which nothing was read is found by the number in its text, on a real store."""
    with Store.open(tmp_path, write=True, create=True) as store:
        put(store, document("manual.pdf", "manual", manual=TEN))
        words = SheetText(1, "1", f"Discs of kit {KIT} are thinner from now on.")
        put(store, document("n.pdf", notes=(note("N 55", "2005-01-01"),), sheets=(words,)))
        answer = _told(store, "10 friction disc, 11 steel disc")
    assert [(n.number, n.state, n.reasons) for n in answer.held] == [
        ("N 55", "unread", (f"its words name {KIT}",))
    ]


def test_unknown_kit_with_a_model() -> None:
    """The model's pack steps are those that may be meant, all of them; one that fits is enough."""
    two = manual({"31": [("4", PLAIN)], "50": [("2", FIVE_SIX)]})
    other = manual({"7": [("1", PLAIN)]}, number="ZB 9", models=("Q9",))
    shelf = FakeShelf([two, other])
    packs = packs_for_unknown(shelf, UNIT)
    assert [(p.step.publication, p.step.page, p.link) for p in packs] == [
        ("RX 40", "31", "model"),
        ("RX 40", "50", "model"),
    ]
    assert _ask(shelf, "5 friction disc, 6 steel disc", kit="4711-9") is None
    answer = _told(shelf, "6 friction disc, 5 steel disc", kit="4711-9")
    assert sum("cannot be built" in s for s in answer.arithmetic) == 2
    assert "page 50" in next(s for s in answer.arithmetic if "counts" in s)  # the nearer pack first
    assert packs_for_unknown(shelf, Unit("W1")) == () and packs_for_unknown(shelf, Unit()) == ()


def test_single_pack_step_without_a_model_is_assumed_and_said() -> None:
    """One manual with one pack step and no model given: compared, and the assumption told."""
    answer = _told(FakeShelf([TEN]), "10 friction disc, 11 steel disc", unit=Unit(), kit="4711-9")
    assert answer.hold and len(answer.assumed) == 1
    assert "no model is given" in answer.assumed[0] and "RX 40, is assumed" in answer.assumed[0]
    assert packs_for_unknown(FakeShelf([TEN]), Unit("W1")) == ()  # the manual names other models
    nameless = replace(TEN, models=())
    assert "does not say which models" in packs_for_unknown(FakeShelf([nameless]), Unit("W1"))[0].warnings[0]
    twice = manual({"31": [("4", PLAIN), ("5", PLAIN)]})
    assert packs_for_unknown(FakeShelf([twice]), Unit()) == () == packs_for_unknown(FakeShelf(), Unit())


def test_changed_step_for_an_unknown_kit_is_told() -> None:
    """A step that a note changed is taken so, and the answer says that this kit's claim to it is unknown."""
    changed = note("N 1", "2001-01-01", override("replace", "4", page="31", text=PLAIN + " Oil them."))
    (pack,) = packs_for_unknown(FakeShelf([TEN], [changed]), UNIT)
    assert any("as N 1 left it" in w for w in pack.warnings)


def _stackings(friction: int, steel: int):
    """Every alternating stack of just these plates, laid one by one."""
    for stack in product("FS", repeat=friction + steel):
        if stack.count("F") == friction and all(a != b for a, b in pairwise(stack)):
            yield stack


ENDS = {None: "", "F": "friction", "S": "steel"}


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 5), st.integers(0, 5), st.sampled_from("FS"), st.sampled_from([None, "F", "S"]))
def test_arithmetic_speaks_exactly_where_brute_force_finds_no_stack(
    friction: int, steel: int, first: str, last: str | None
) -> None:
    """For any counts and any order asked for, the sentence stands exactly where no stack has these ends."""
    words = f"Lay the friction discs and the steel discs in turn, starting with a {ENDS[first]} disc"
    words += f" and ending with a {ENDS[last]} disc." if last else "."
    shelf = FakeShelf([manual({"31": [("4", words)]})])
    family, came = Family(shelf, [KIT]), (friction, steel)
    expected = expected_contents(shelf, KIT, family)
    packs = Links(shelf, KIT, family, Case(UNIT), expected).find() or _loose(shelf)
    assert [(p.words.first, p.words.last) for p in packs] == [(ENDS[first], ENDS[last] or None)]
    answer = missing_note(shelf, KIT, family, UNIT, came, packs, expected)
    wanted = [s for s in _stackings(friction, steel) if s and s[0] == first and last in (None, s[-1])]
    speaks = answer is not None and any("cannot" in s for s in answer.arithmetic)
    assert speaks == (not wanted and friction + steel > 0)


def _loose(shelf: FakeShelf):
    """The step of a manual whose words give one end and no counts is no whole pack step: link it by hand."""
    from benchleaf.graph.chapter import Chapter
    from benchleaf.graph.chosen import Chosen
    from benchleaf.graph.kits.packstep import PackStep
    from benchleaf.graph.kits.packwords import read_pack

    (book,) = shelf.publications()
    (step,) = Chapter(shelf, Chosen(book, book.pages[0].items), Case(UNIT)).run().steps
    words = read_pack(step.text or "")
    assert words is not None
    return (PackStep(step, words, words, "model"),)


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 14), st.integers(1, 14))
def test_whatever_came_other_than_the_step_counts_is_held_with_a_way_out(friction: int, steel: int) -> None:
    """For any counts unlike the step's there is a hold, a sentence, an explanation and a question; for its
    own there is nothing."""
    answer = _ask(FakeShelf([TEN_THICK]), f"{friction} friction disc, {steel} steel disc")
    assert (answer is None) == ((friction, steel) == (10, 10))
    if answer is not None:
        assert answer.hold and answer.arithmetic and answer.would_explain and "?" in answer.ask
        assert any("another order" in s for s in answer.would_explain) == (abs(friction - steel) == 1)


@given(st.integers(1, 40), st.integers(1, 40), st.floats(0.5, 9.0))
def test_equal_height_keeps_the_height(old: int, new: int, thickness: float) -> None:
    """So many plates of the thickness given are just as high as the old ones."""
    assert new * equal_height(old, thickness, new) == pytest.approx(old * thickness)


@pytest.mark.parametrize(("words", "found"), [
    ("Stack 10 friction discs 2.5 mm thick and 10 steel discs, 2.0 mm thick.",
     [("friction", 2.5), ("steel", 2.0)]),
    ("Fit 2.0 mm steel plates (10) and lined plates (2,5 mm).", [("steel", 2.0), ("friction", 2.5)]),
    ("Steel discs: thickness 1.8 mm ±0.05.", [("steel", 1.8)]),
    ("Insert 10 steel plates of .079 in.", [("steel", 2.0066)]),
    ("Renew steel discs warped more than 0.5 mm.", []),
    ("The clearance between the steel discs 1.0 mm.", []),
    ("Measure the steel discs, max. 1.0 mm wear.", []),
    ("Fit the steel end plate 5.0 mm thick.", []),
    ("Fit the steel discs. Tighten the ring, 2.0 mm.", []),
])  # fmt: skip
def test_thickness_is_read_only_beside_a_plate(words: str, found: list[tuple[str, float]]) -> None:
    """Only a measure right beside a plate's name is its thickness; wear, clearance and warp are none."""
    assert [(t.kind, pytest.approx(t.mm, abs=1e-3)) for t in step_thicknesses(words, "")] == found


@pytest.mark.parametrize(("name", "mm"), [
    ("steel disc 2.0 mm", 2.0), ("Disc, steel, 190 x 140 x 2,0 mm", 2.0),
    ("steel plate t=1.8 mm, 12 mm", 1.8),
    ("steel disc 2.0 mm / 2.2 mm", None), ("steel disc dia 8 mm", None), ("steel disc 150 mm", None),
    ("end plate, steel, 5.0 mm", None), ("steel disc 1.6-2.4 mm", None), ("steel disc 2.0-2.1 mm", 2.05),
])  # fmt: skip
def test_thickness_in_a_kit_line(name: str, mm: float | None) -> None:
    """A description with one plausible measure gives the thickness; two, a diameter or a choice give none."""
    found = line_thickness(KitLine(None, name, 10), "the list")
    assert [t.mm for t in found] == ([pytest.approx(mm)] if mm else [])


def test_papers_that_disagree_give_no_thickness() -> None:
    """A later paper that lists only others contradicts; one that lists this among a choice does not."""
    two, other = (line_thickness(KitLine(None, f"steel disc {t} mm", 1), t) for t in ("2.0", "2.2"))
    assert together("steel", [two, [*two, *other]]).one == two[0]
    assert together("steel", [two, other]).one is None and len(together("steel", [two, other]).apart) == 2
    assert together("friction", [two]).one is None
    assert (in_mm(19.999), in_mm(0.25), in_mm(2)) == ("20.0 mm", "0.25 mm", "2.0 mm")


@pytest.mark.parametrize("hostile", ["steel disc " * 1900, "1.1 mm " * 2900, "9" * 20000, "1,1-" * 5000,
                                     "steel disc, (" * 1500, "steel " * 3300, "2.0 to " * 2800])  # fmt: skip
def test_reading_thickness_is_quick_on_hostile_words(hostile: str) -> None:
    """20 kB of hostile words take under 50 ms (best of three)."""
    spent = []
    for _ in range(3):
        begun = time.perf_counter()
        step_thicknesses(hostile, "")
        line_thickness(KitLine(None, hostile, 1), "")
        spent.append(time.perf_counter() - begun)
    assert min(spent) < 0.05
