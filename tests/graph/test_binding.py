"""Steps bound to a kit: old and new kits, chains of kits, and steps that a note only happens to carry."""

from benchleaf.graph.applicability import Unit
from benchleaf.graph.binding import Family, bindings, brought, plate_counts
from benchleaf.graph.model import Applies, KitLine
from benchleaf.graph.overrides import Case, Effective, background, in_force
from fake_shelf import FakeShelf, became, contains, lines, manual, note, override

OLD = "Stack 11 friction discs and 10 steel discs in turn, a friction disc first and last."
NEW = "Stack 11 friction discs and 12 steel discs in turn, a steel disc first and last."
NEWER = "Stack 9 friction discs and 10 steel discs in turn, a steel disc first and last."
BOOK = manual({"4-12": [("5", OLD), ("6", "Tighten the pump screws to 9 Nm.")]})
FIRST = note(
    "N 1",
    "2001-01-01",
    became("7001-01", "7001-02", quote="kit 7001-02 replaces kit 7001-01"),
    contains("7001-02", lines(friction_disc=11, steel_disc=12)),
    override("replace", "5", text=NEW),
    override("change-value", "6", was="9 Nm", now="11 Nm"),
)
SECOND = note(
    "N 2",
    "2004-01-01",
    became("7001-02", "7001-03"),
    contains("7001-03", lines(friction_disc=9, steel_disc=10)),
    override("replace", "5", text=NEWER),
)


def _step(item: int, kits: tuple[str, ...], *notes) -> Effective:
    shelf = FakeShelf([BOOK], notes or [FIRST, SECOND])
    overrides = [o for o in shelf.overrides("RX 40") if o.target.item == BOOK.pages[0].items[item].label]
    return in_force(
        BOOK.pages[0].items[item], overrides, Case(Unit("K7", "1"), kits), background(shelf, overrides, kits)
    )


def _bound_to(shelf: FakeShelf) -> tuple[str, ...]:
    return next(iter(bindings(shelf, shelf.overrides("RX 40")).values())).kits


def test_each_kit_of_a_chain_gets_its_own_step() -> None:
    """With the oldest kit the manual's step holds, with each later kit the step that came with it."""
    assert _step(0, ("7001-01",)).text == OLD
    assert _step(0, ("700102",)).text == NEW
    assert _step(0, ("7001-03",)).text == NEWER


def test_left_out_says_with_which_kit_the_step_holds() -> None:
    """With an older kit the left-out override names the kit it belongs to."""
    left = {x.note: x.why for x in _step(0, ("7001-01",)).left_out}
    assert "7001-02" in left["N 1"] and "7001-01 is older" in left["N 1"]


def test_no_kit_named_assumes_the_newest_and_says_so() -> None:
    """Without a kit the newest is assumed, and a warning says which."""
    found = _step(0, ())
    assert found.text == NEWER
    assert any("no kit is named" in w and "7001-03" in w for w in found.warnings)


def test_unrelated_kit_is_told() -> None:
    """A kit with no known relation says nothing about the step: newest assumed, with a warning."""
    found = _step(0, ("8888-88",))
    assert found.text == NEWER and any("8888-88 is not known to be related" in w for w in found.warnings)


def test_old_and_new_kit_together_warn() -> None:
    """Naming an old and a new kit warns that old and new parts are not to be mixed."""
    found = _step(0, ("7001-01", "7001-02"), FIRST)
    assert found.text == NEW and any("not to be mixed" in w for w in found.warnings)


def test_unrelated_correction_in_the_same_note_is_not_bound() -> None:
    """A torque that the note changes besides holds with the old kit too."""
    assert _step(1, ("7001-01",)).text == "Tighten the pump screws to 11 Nm."


def test_step_about_a_part_of_the_kit_is_bound() -> None:
    """A changed step that names what the kit contains belongs to the kit."""
    book = manual({"4-12": [("6", "Fit the retaining ring with its gap down.")]})
    told = note(
        "N 1",
        "2001-01-01",
        contains("7001-02", lines(friction_disc=5, retaining_ring=1)),
        override("replace", "6", text="Fit the retaining ring with its gap up."),
    )
    shelf = FakeShelf([book], [told])
    assert _bound_to(shelf) == ("7001-02",)


def test_parts_named_after_the_pack_bind_nothing() -> None:
    """A step about the pack housing is no step about the pack."""
    book = manual({"4-12": [("6", "Tighten the pack housing screws to 9 Nm.")]})
    change = override("change-value", "6", was="9 Nm", now="11 Nm")
    told = note("N 1", "2001-01-01", contains("7001-02", lines(friction_disc=11, steel_disc=12)), change)
    shelf = FakeShelf([book], [told])
    assert bindings(shelf, shelf.overrides("RX 40")) == {}


def test_note_about_a_plain_part_binds_nothing() -> None:
    """A supersession of a part that is no kit binds no step."""
    told = note(
        "N 1",
        "2001-01-01",
        became("4410-21", "4410-35", quote="seal 4410-35 replaces 4410-21"),
        override("replace", "5", text=NEW),
    )
    shelf = FakeShelf([BOOK], [told])
    assert brought(shelf, "N 1") == () and bindings(shelf, shelf.overrides("RX 40")) == {}


def test_two_kits_in_one_note_by_their_counts() -> None:
    """Where a note brings two kits, a pack step goes to the kit with the same counts."""
    told = note(
        "N 1",
        "2001-01-01",
        contains("7001-02", lines(friction_disc=11, steel_disc=12)),
        contains("7005-02", lines(friction_disc=4, steel_disc=5)),
        override("replace", "5", text=NEW),
    )
    shelf = FakeShelf([BOOK], [told])
    assert _bound_to(shelf) == ("7001-02",)


def test_kit_stated_by_the_note_itself() -> None:
    """“Only with kit X” binds without any other word on that kit."""
    told = note("N 1", "2001-01-01", override("replace", "6", text="X.", applies=Applies(kits=("7001-02",))))
    supersede = note("N 0", "2000-01-01", became("7001-01", "7001-02"))
    assert _step(1, ("7001-01",), told, supersede).text == "Tighten the pump screws to 9 Nm."
    assert _step(1, ("7001-02",), told, supersede).text == "X."


def test_return_to_an_earlier_kit_number_is_not_guessed() -> None:
    """A kit number that came before and after the bound one depends on the kit: the earlier step holds."""
    back = note("N 3", "2005-01-01", became("7001-02", "7001-01"))
    found = _step(0, ("7001-01",), FIRST, back)
    assert found.text == OLD and found.depends_on == ("kit",)


def test_family_knows_older_and_newer() -> None:
    """Kinship follows supersession over several steps, whatever the way the number is typed."""
    family = Family(FakeShelf([BOOK], [FIRST, SECOND]), ["7001-02"])
    assert [family.kin(k, ["7001-02"]) for k in ("700101", "7001-02", "7001-03", "9")] == [
        "older",
        "same",
        "newer",
        "none",
    ]
    assert family.older("7001-03") == ("7001-02", "7001-01")


def test_plate_counts_sum_by_kind() -> None:
    """Plates of two thicknesses add up; a kind with an open quantity, or without a line, is not known."""
    two = (KitLine(None, "steel disc 2.5 mm", 5), KitLine(None, "steel disc 3 mm", 1))
    assert plate_counts((*two, *lines(friction_disc=5, seal_ring=2))) == (5, 6)
    assert plate_counts(lines(friction_disc=None, steel_disc=4)) == (None, 4)
    assert plate_counts(lines(seal_ring=1)) == (None, None)
