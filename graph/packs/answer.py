"""Whatever was given about a pack, everything that follows from it: the answer of `benchleaf pack`."""

from dataclasses import dataclass

from benchleaf.graph.cautions import cautions
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.pack import Order
from benchleaf.graph.packs.fillanswer import Filling, filling_of
from benchleaf.graph.packs.question import PackQuestion, Plates
from benchleaf.graph.packs.said import Formula, Pad, Said
from benchleaf.graph.packs.stack import Sum
from benchleaf.graph.packs.stackanswer import Swap, clearance_of, faces_of, height_of, orders_of, swap_of
from benchleaf.graph.packs.torque import Capacity
from benchleaf.graph.packs.torqueanswer import capacity_of, force_of, share_of, thread_of, wrench_of

MAKERS = "Values are the maker's: this is arithmetic on the figures given."


@dataclass(frozen=True, slots=True)
class PackAnswer:
    """All results, None where the figures did not reach. Lengths in mm, forces in N, torques in N·m.

    `share` is the torque gained or lost by the change of faces (0.25: a quarter more). `faults` say that the
    counts cannot alternate, the pack does not go in, or nothing given fits; `missing` names what the next
    results need.
    """

    friction: int | None = None
    steel: int | None = None
    orders: tuple[Order, ...] = ()
    faces: int | None = None
    faces_before: int | None = None
    share: float | None = None
    height: Sum | None = None
    clearance: Sum | None = None
    swap: Swap | None = None
    filling: Filling | None = None
    force: float | None = None
    capacity: Capacity | None = None
    thread: float | None = None
    wrench: float | None = None
    formulas: tuple[Formula, ...] = ()
    faults: tuple[Said, ...] = ()
    findings: tuple[Said, ...] = ()
    missing: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def fits(self) -> bool:
        """Nothing was found for which the pack cannot be built so."""
        return not self.faults

    @property
    def answered(self) -> bool:
        """Something followed from what was given."""
        results = (self.faces, self.height, self.clearance, self.swap, self.filling)
        forces = (self.force, self.capacity, self.thread, self.wrench)
        return bool(self.orders) or any(result is not None for result in (*results, *forces))


def pack_answer(question: PackQuestion) -> PackAnswer:
    """Everything that follows from what was given, each result with its formula and the figures put in.

    Raises WrongUse if nothing was given, or if figures given exclude each other.
    """
    if question == PackQuestion():
        raise WrongUse("nothing was given to reckon with", "try --friction 5 --steel 4; see pack --help")
    pad, build = Pad(), question.build
    orders = orders_of(build, pad)
    faces = faces_of(build, build.friction, build.steel, "friction faces", pad)
    before = _faces_before(question, pad)
    share = share_of(faces, before, pad)
    height, clearance = height_of(build, pad), clearance_of(build, pad)
    swap = swap_of(question, pad)
    filling = filling_of(question, clearance, pad)
    force = force_of(question.rub, pad)
    capacity = capacity_of(question.rub, faces, force, pad)
    thread = thread_of(question.thread, pad)
    wrench = wrench_of(question.thread, thread, pad)
    return PackAnswer(
        friction=_count(build.friction),
        steel=_count(build.steel),
        orders=orders,
        faces=faces,
        faces_before=before,
        share=share,
        height=height,
        clearance=clearance,
        swap=swap,
        filling=filling,
        force=force,
        capacity=capacity,
        thread=thread,
        wrench=wrench,
        formulas=tuple(pad.formulas),
        faults=tuple(pad.faults),
        findings=tuple(pad.findings),
        missing=tuple(pad.missing),
        cautions=_cautions(question),
    )


def _faces_before(question: PackQuestion, pad: Pad) -> int | None:
    """The faces before the change; a kind that is not named before is as it is now."""
    if question.was_friction is None and question.was_steel is None:
        return None
    friction = question.was_friction or question.build.friction
    steel = question.was_steel or question.build.steel
    return faces_of(question.build, friction, steel, "friction faces before", pad)


def _count(plates: Plates | None) -> int | None:
    return None if plates is None else plates.count


def _cautions(question: PackQuestion) -> tuple[str, ...]:
    """The standing cautions where pressure or springs are spoken of; else whose the values are."""
    spoken = ["pressurised"] if question.rub.pressure is not None else []
    spoken += ["spring under load"] if question.rub.spring or _springy(question) else []
    spoken += ["pressed into place"] if question.setting.preload is not None else []
    return cautions(spoken) or (MAKERS,)


def _springy(question: PackQuestion) -> bool:
    """A piece of the stack that is named a spring."""
    return any("spring" in layer.name.lower() for layer in question.build.others)
