"""The part of a pack's answer that is force and torque: what the pack carries, threads, the crow-foot."""

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.packs.question import Rub, Thread
from benchleaf.graph.packs.said import Figure, Pad
from benchleaf.graph.packs.torque import Capacity, capacity, clamp, crowfoot, thread_torque


def share_of(now: int | None, before: int | None, pad: Pad) -> float | None:
    """The share of torque gained (above 0) or lost when the faces change, at equal force, μ and radii."""
    if not now or not before:
        return None
    share = now / before - 1
    rule = "faces now ÷ faces before − 1, at equal force, friction and radii"
    pad.show("torque gained or lost", rule, f"{now} ÷ {before} − 1 = {share:+.1%}")
    return share


def force_of(rub: Rub, pad: Pad) -> float | None:
    """The force on the pack, given or from pressure, area and return spring."""
    made = {
        "pressure (--pressure)": rub.pressure,
        "piston area (--area)": rub.area,
        "spring force (--spring, 0 N if there is none)": rub.spring,
    }
    if rub.force is not None:
        if any(v is not None for v in made.values()):
            raise WrongUse("--force and --pressure, --area, --spring both give the force", "give one of them")
        return rub.force
    if rub.pressure is None or rub.area is None or rub.spring is None:
        if any(v is not None for v in made.values()):
            pad.want("the force on the pack", *(name for name, v in made.items() if v is None))
        return None
    force = clamp(rub.pressure, rub.area, rub.spring)
    p, a, s = Figure(rub.pressure, "pressure"), Figure(rub.area, "area"), Figure(rub.spring, "force")
    rule = "pressure × piston area − spring force"
    pad.show("force on the pack", rule, p, " × ", a, " − ", s, " = ", Figure(force, "force"))
    if force <= 0:
        pad.fault("the pressure does not overcome the spring: the pack stays open")
    return force


def capacity_of(rub: Rub, faces: int | None, force: float | None, pad: Pad) -> Capacity | None:
    """The torque that the pack carries, by uniform wear and by uniform pressure."""
    if rub == Rub():
        return None
    lacks = {
        "the counts (--friction, --steel)": faces,
        "the lining's inner diameter (--inner-dia)": rub.inner,
        "its outer diameter (--outer-dia)": rub.outer,
        "the maker's coefficient of friction (--mu)": rub.mu,
        "the force (--force, or --pressure, --area and --spring)": force,
    }
    if faces is None or rub.inner is None or rub.outer is None or rub.mu is None or force is None:
        pad.want("the torque", *(name for name, value in lacks.items() if value is None))
        return None
    if force <= 0:
        return None
    found = capacity(faces, rub.mu, force, rub.inner / 2, rub.outer / 2)
    for name, rule, radius, torque in (
        ("uniform wear", "(Ro + Ri) ÷ 2", found.radius_wear, found.wear),
        ("uniform pressure", "⅔ (Ro³ − Ri³) ÷ (Ro² − Ri²)", found.radius_pressure, found.pressure),
    ):
        figures = (f"{faces} × {rub.mu:g} × ", Figure(force, "force"), " × ", Figure(radius))
        rule = f"faces × friction × force × mean radius, mean radius = {rule}"
        pad.show(f"torque, {name}", rule, *figures, " = ", Figure(torque, "torque"))
    return found


def thread_of(thread: Thread, pad: Pad) -> float | None:
    """The torque of a thread, given or by K, force and diameter."""
    parts = {
        "K (--bolt-k)": thread.k,
        "the bolt's force (--bolt-force)": thread.force,
        "its diameter (--bolt-dia)": thread.diameter,
    }
    if thread.torque is not None:
        if any(v is not None for v in parts.values()):
            raise WrongUse("--bolt-torque and --bolt-k, --bolt-force, --bolt-dia both give it", "give one")
        return thread.torque
    if thread.k is None or thread.force is None or thread.diameter is None:
        if any(v is not None for v in parts.values()):
            pad.want("the thread's torque", *(name for name, v in parts.items() if v is None))
        return None
    torque = thread_torque(thread.k, thread.force, thread.diameter)
    figures = (f"{thread.k:g} × ", Figure(thread.force, "force"), " × ", Figure(thread.diameter))
    pad.show("thread torque", "K × force × diameter", *figures, " = ", Figure(torque, "torque"))
    return torque


def wrench_of(thread: Thread, torque: float | None, pad: Pad) -> float | None:
    """What to set on the wrench with a crow-foot in line with it."""
    lacks = {
        "the torque (--bolt-torque)": torque,
        "the wrench's length, grip to square (--wrench)": thread.wrench,
        "the crow-foot's length (--crowfoot)": thread.crowfoot,
    }
    if thread.wrench is None and thread.crowfoot is None:
        return None
    if torque is None or thread.wrench is None or thread.crowfoot is None:
        pad.want("the wrench's setting", *(name for name, value in lacks.items() if value is None))
        return None
    found = crowfoot(torque, thread.wrench, thread.crowfoot)
    length, extra = Figure(thread.wrench), Figure(thread.crowfoot)
    rule = (
        "torque × wrench ÷ (wrench + crow-foot), the crow-foot straight out; at right angles it adds nothing"
    )
    figures = (Figure(torque, "torque"), " × ", length, " ÷ (", length, " + ", extra, ")")
    pad.show("set the wrench to", rule, *figures, " = ", Figure(found, "torque"))
    return found
