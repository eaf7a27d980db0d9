"""What follows from what was given about a pack, and what is said to be missing."""

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.packs.answer import MAKERS, pack_answer
from benchleaf.graph.packs.question import AtHand, Build, PackQuestion, Plates, Rub, Setting, Thread
from benchleaf.graph.packs.said import Figure
from benchleaf.graph.packs.select import Row
from benchleaf.graph.packs.shims import Shim
from benchleaf.graph.packs.size import Size, exactly
from benchleaf.graph.packs.stack import Layer


def plates(kind: str, count: int, each: float, loose: float = 0.0) -> Plates:
    return Plates(layers=(Layer(kind, count, Size(each - loose, each + loose)),))


def said(rows) -> str:
    return " | ".join("".join(p if isinstance(p, str) else f"{p.value:g}" for p in row) for row in rows)


PACK = Build(
    friction=plates("friction", 5, 2.5, 0.05),
    steel=plates("steel", 4, 1.8),
    others=(Layer("end plate", 1, exactly(4.0)),),
    depth=Size(24.2, 24.4),
)


def test_counts_alone_give_orders_and_faces_and_no_fault():
    """5 and 4: friction first and last, 8 faces; nothing is said of height."""
    answer = pack_answer(PackQuestion(Build(Plates(5), Plates(4))))
    assert [(o.first, o.last) for o in answer.orders] == [("friction", "friction")]
    assert (answer.faces, answer.height, answer.fits) == (8, None, True)
    assert "bear on steel" in said(answer.findings)


def test_height_and_clearance_follow_from_thicknesses_and_depth():
    """24.3 − 5 × 2.5 − 4 × 1.8 − 4 = 0.6; worst case 0.1 + 5 × 0.05."""
    answer = pack_answer(PackQuestion(PACK))
    assert answer.height.nominal == pytest.approx(23.7)
    assert answer.clearance.nominal == pytest.approx(0.6)
    assert answer.clearance.worst == pytest.approx(0.35)
    assert answer.clearance.rss == pytest.approx((0.1**2 + 5 * 0.05**2) ** 0.5)


def test_every_result_carries_its_formula_with_the_figures_put_in():
    """The formula of the clearance holds the depth, every thickness and the result as figures."""
    answer = pack_answer(PackQuestion(PACK))
    shown = {f.of: f for f in answer.formulas}["clearance"]
    values = [part.value for part in shown.figures if isinstance(part, Figure)]
    assert values == [pytest.approx(v) for v in (24.3, 2.5, 1.8, 4.0, 0.6)]


@pytest.mark.parametrize(("depth", "fits"), [(23.0, False), (23.7, True), (23.8, True)])
def test_a_pack_higher_than_its_depth_is_a_fault_and_a_doubtful_one_is_told(depth, fits):
    """Negative clearance: does not go in. None left, or none at the worst case: told, no fault."""
    build = Build(PACK.friction, PACK.steel, PACK.others, exactly(depth))
    answer = pack_answer(PackQuestion(build))
    assert answer.fits is fits
    words = said(answer.findings + answer.faults)
    assert any(w in words for w in ("does not go in", "no clearance is left"))


def test_counts_that_cannot_alternate_are_a_fault():
    """7 and 5 stack in no order."""
    answer = pack_answer(PackQuestion(Build(Plates(7), Plates(5))))
    assert not answer.fits and "cannot alternate" in said(answer.faults)
    assert answer.faces is None


def test_one_kind_changed_gives_its_thickness_and_both_changed_give_pairs_only():
    """5 × 2.4 become 6: 2.0 each. Both kinds changed: the pairs, and that the height does not decide."""
    one = PackQuestion(Build(Plates(6), Plates(5)), plates("friction", 5, 2.4), plates("steel", 5, 1.8))
    assert pack_answer(one).swap.needed.each.middle == pytest.approx(2.0)
    both = PackQuestion(Build(Plates(6), Plates(5)), plates("friction", 5, 2.4), plates("steel", 4, 1.8))
    answer = pack_answer(both)
    assert answer.swap.needed is None
    assert answer.swap.pairs.height == pytest.approx(19.2)
    assert "does not say which" in said(answer.findings)
    assert answer.share == pytest.approx(10 / 8 - 1)


def test_the_other_kind_given_now_leaves_one_thickness():
    """19.2 less 5 × 2.0 leaves 1.84 for each of 5 steel plates; plates that fill the height leave none."""
    before = (plates("friction", 5, 2.4), plates("steel", 4, 1.8))
    answer = pack_answer(PackQuestion(Build(plates("friction", 5, 2.0), Plates(5)), *before))
    assert answer.swap.needed.each.middle == pytest.approx(1.84)
    full = pack_answer(PackQuestion(Build(plates("friction", 5, 4.0), Plates(5)), *before))
    assert not full.fits and full.swap.needed is None


def test_all_thicknesses_given_say_how_much_higher_the_pack_is():
    """6 × 2.4 after 5 × 2.4: 2.4 higher."""
    answer = pack_answer(PackQuestion(Build(plates("friction", 6, 2.4)), plates("friction", 5, 2.4)))
    assert answer.swap.difference == pytest.approx(2.4)


def test_a_selective_part_is_worked_out_chosen_and_judged():
    """2.20 + 1.35 − 1.00 = 2.55; of 2.2, 2.4, 2.6 the last is nearest and within the target's limits."""
    setting = Setting(fitted=exactly(2.2), measured=exactly(1.35), target=Size(0.8, 1.2))
    answer = pack_answer(PackQuestion(setting=setting, at_hand=AtHand(sizes=(2.2, 2.4, 2.6))))
    assert answer.filling.fill.aim.middle == pytest.approx(2.55)
    assert answer.filling.nearest == (2.6,)
    assert answer.findings == ()
    poor = pack_answer(PackQuestion(setting=setting, at_hand=AtHand(sizes=(2.2,))))
    assert "does not surely meet" in said(poor.findings)


def test_the_computed_clearance_stands_in_for_a_measured_one():
    """With a depth and all thicknesses, a target and shims at hand, what is left over is filled."""
    question = PackQuestion(PACK, setting=Setting(target=Size(0.1, 0.3)), at_hand=AtHand(shims=(Shim(0.2),)))
    answer = pack_answer(question)
    assert answer.filling.fill.aim.middle == pytest.approx(0.4)
    assert "measure closer" in said(answer.findings), "the stack's tolerance is wider than the target"
    assert "above the target" in said(answer.findings)


def test_a_table_with_nothing_that_fits_is_a_fault_and_a_shared_edge_is_told():
    """Beyond the table: exit 1's reason. On an edge: the tie rule is said to have decided."""
    rows = (Row(2.20, 2.25, "A"), Row(2.25, 2.30, "B"))
    beyond = pack_answer(PackQuestion(setting=Setting(need=exactly(2.4)), at_hand=AtHand(rows)))
    assert not beyond.fits and beyond.filling.choice.rows == ()
    edge = pack_answer(PackQuestion(setting=Setting(need=exactly(2.25)), at_hand=AtHand(rows)))
    assert edge.filling.choice.row.part == "A"
    assert "tie rule decided" in said(edge.findings)
    assert "lower row" in edge.formulas[0].rule


def test_without_mu_or_force_no_torque_is_given_and_both_are_asked_for():
    """No coefficient, pressure or K is built in: the answer leaves the torque out and names what it needs."""
    answer = pack_answer(PackQuestion(Build(Plates(5), Plates(4)), rub=Rub(inner=80, outer=120)))
    assert answer.capacity is None
    assert any("--mu" in words and "--force" in words for words in answer.missing)
    bolt = pack_answer(PackQuestion(thread=Thread(force=1000.0, diameter=10)))
    assert bolt.thread is None and any("--bolt-k" in words for words in bolt.missing)
    springless = pack_answer(PackQuestion(rub=Rub(pressure=1.2, area=4800)))
    assert springless.force is None and any("--spring" in words for words in springless.missing)


def test_a_pressure_that_does_not_overcome_the_spring_is_a_fault():
    """A force of zero or less carries nothing, and no torque is given for it."""
    rub = Rub(80, 120, 0.1, pressure=0.1, area=1000, spring=500)
    answer = pack_answer(PackQuestion(Build(Plates(5), Plates(4)), rub=rub))
    assert not answer.fits and answer.capacity is None


def test_springs_and_pressure_bring_their_cautions_and_the_values_stay_the_makers():
    """Where pressure and springs are spoken of their cautions are printed; elsewhere whose the values are."""
    spoken = pack_answer(PackQuestion(rub=Rub(pressure=1.2, area=4800, spring=600))).cautions
    assert any(c.startswith("Pressure") for c in spoken) and any(c.startswith("Springs") for c in spoken)
    assert any("maker's" in c for c in spoken)
    preloaded = pack_answer(PackQuestion(setting=Setting(preload=exactly(0.1)))).cautions
    assert any(c.startswith("Pressing") for c in preloaded)
    assert pack_answer(PackQuestion(Build(Plates(5), Plates(4)))).cautions == (MAKERS,)


@pytest.mark.parametrize(
    "question",
    [
        PackQuestion(),
        PackQuestion(setting=Setting(fitted=exactly(1), trial=exactly(1))),
        PackQuestion(setting=Setting(end_play=exactly(1), preload=exactly(1))),
        PackQuestion(setting=Setting(need=exactly(1), fitted=exactly(1))),
        PackQuestion(rub=Rub(force=1.0, pressure=1.0)),
        PackQuestion(thread=Thread(torque=1.0, k=0.2)),
    ],
)
def test_figures_that_exclude_each_other_are_refused(question):
    """Two ways to the same figure, or none at all: wrong use, with the remedy."""
    with pytest.raises(WrongUse) as told:
        pack_answer(question)
    assert told.value.remedy


def test_single_sided_discs_rub_on_one_face_each():
    """10 lined plates with their lining on one side: 10 faces (common practice, no source)."""
    build = Build(Plates(10), Plates(10), single_sided=True)
    answer = pack_answer(PackQuestion(build))
    assert answer.faces == 10
    assert "one side" in answer.formulas[0].rule
