"""What steps consume against a kit's lines. Papers are invented; the rules are common practice, no source."""

from benchleaf.graph.chapter import Step
from benchleaf.graph.kits.concerned import concerned_steps
from benchleaf.graph.kits.consumption import Consumption, consumption
from benchleaf.graph.kits.usereader import Use
from benchleaf.graph.model import KitLine
from benchleaf.graph.overrides import Case
from fake_shelf import FakeShelf, contains, lines, manual, note, override


def step(label: str, text: str | None, section: str | None = "Disc pack", origin: str = "manual") -> Step:
    return Step(label, "RX 40", "31", label, text, (), origin, (), section=section)


def none(listed: str, used: str) -> tuple[str, ...] | None:
    return None


def compare(steps: list[str], *kit: KitLine) -> Consumption:
    return consumption([step(str(i), t) for i, t in enumerate(steps, 1)], kit, none)


SEAL = KitLine("4471-33", "seal ring", 2)


def test_line_without_step() -> None:
    """A line that no step uses or names is told, with the places looked in."""
    found = compare(["Fit the retaining ring."], SEAL, KitLine(None, "retaining ring", 1))
    assert found.unused == (SEAL,)
    assert found.reasons == (
        "no step held uses the 2 seal ring 4471-33 of this kit (looked in “Disc pack” of RX 40)",
    )


def test_line_named_anywhere_is_not_unused() -> None:
    """A part that a step names only as the place for another is not called unused."""
    assert compare(["Check the two seal rings for wear."], SEAL).unused == ()


def test_new_part_that_no_line_brings() -> None:
    """A step that calls for a new part which the kit does not list is told; a screw put back is not."""
    found = compare(
        ["Fit a new gasket 31.4490.", "Tighten the 12 cover screws.", "Fit the seal rings."], SEAL
    )
    assert [u.description for u in found.wanting] == ["gasket"]
    assert found.reasons == ("step 1 on page 31 of RX 40 fits “a new gasket 31.4490”; the kit brings none",)


def test_differing_count() -> None:
    """Step and kit count the same part differently."""
    found = compare(["Fit three new seal rings (4471-33)."], SEAL)
    assert [d.why for d in found.differing] == [
        "step 1 on page 31 of RX 40 fits “three new seal rings (4471-33)”; the kit lists 2 seal ring"
    ]


def test_laid_in_then_tightened_is_one_use() -> None:
    """The same thing named twice in one section is taken once, with the greatest count."""
    found = compare(["Insert the 12 cover screws loosely.", "Tighten the cover screws."])
    assert [(u.description, u.quantity) for u in found.uses] == [("cover screw", 12)]
    assert [s.label for s in found.uses[0].steps] == ["1", "2"]


def test_another_one_adds_up() -> None:
    """Words that mean a further one add to the count."""
    found = compare(
        ["Fit one thrust washer.", "Fit another thrust washer."], KitLine(None, "thrust washer", 2)
    )
    assert found.uses[0].quantity == 2
    assert found.differing == ()


def test_two_sections_claim_nothing_they_cannot_know() -> None:
    """A count equal to one section's or to the sum of both is no difference."""
    steps = [step("1", "Fit two new seal rings.", "A"), step("2", "Fit two new seal rings.", "B")]
    for count in (2, 4):
        assert consumption(steps, [KitLine(None, "seal ring", count)], none).differing == ()
    assert consumption(steps, [KitLine(None, "seal ring", 3)], none).differing


def test_linked_number_is_the_same_part() -> None:
    """A number that supersession links to the step's number is the same part."""
    newer = KitLine("4471-35", "seal ring", 2)
    steps = [step("1", "Fit two new seal rings (4471-33).")]
    assert consumption(steps, [newer], lambda a, b: ("N 1",)).reasons == ()
    assert consumption(steps, [newer], none).reasons == (
        "step 1 on page 31 of RX 40 fits seal ring 4471-33;"
        " the kit lists 4471-35, and no note held links the two",
    )


def test_plates_of_the_pack() -> None:
    """A pack step's counts stand against the kit's plates."""
    kit = (KitLine(None, "lined disc", 6), KitLine(None, "steel disc", 4))
    found = compare(["Stack 5 friction and 4 steel plates in turn."], *kit)
    assert [d.line.description for d in found.differing] == ["lined disc"]


def test_what_the_kit_before_brought() -> None:
    """A part that the kit before brought, that the steps still use and this kit lacks, is wanting."""
    ring = KitLine(None, "retaining ring", 1)
    steps = [step("1", "Fit the retaining ring.")]
    assert consumption(steps, [SEAL], none).wanting == ()
    assert [u.description for u in consumption(steps, [SEAL], none, [ring]).wanting] == ["retaining ring"]


def test_nothing_to_compare() -> None:
    """Without steps, or with deleted ones only, nothing is found."""
    assert consumption([], [SEAL], none) == Consumption()
    assert consumption([step("1", None)], [SEAL], none) == Consumption()


def test_concerned_are_the_sections_that_name_the_kit() -> None:
    """Only the section whose step names the kit is concerned; without any tie, nothing is."""
    book = manual({"4-12": [("1", "Fit kit 4471-900."), ("2", "Fit the retaining ring.")]})
    other = manual({"5-1": [("1", "Fit the pump.")]}, section="Pump")
    whole = type(book)(
        **{f: getattr(book, f) for f in book.__slots__} | {"pages": (*book.pages, *other.pages)}
    )
    shelf = FakeShelf([whole])
    assert [s.label for s in concerned_steps(shelf, "4471-900", (), Case())] == ["1", "2"]
    assert concerned_steps(shelf, "4471-901", (), Case()) == ()


def test_concerned_by_the_note_that_brings_the_kit() -> None:
    """A pack step changed by the note that brings the kit ties its section."""
    book = manual(
        {"4-12": [("1", "Stack 5 friction and 4 steel plates in turn."), ("2", "Fit the circlip.")]}
    )
    new = "Stack 6 friction and 5 steel plates in turn."
    brought = contains("4471-900", lines(friction_plate=6, steel_plate=5))
    shelf = FakeShelf([book], [note("N 1", "2001-01-01", brought, override("replace", "1", text=new))])
    assert [s.text for s in concerned_steps(shelf, "4471-900", (), Case())] == [new, "Fit the circlip."]


def test_use_is_what_is_exported() -> None:
    """The type of a use is one and the same in both modules."""
    from benchleaf.graph.kits import uses

    assert uses.Use is Use
