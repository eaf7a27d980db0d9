"""What was typed for `benchleaf pack`, made into the question that graph/packs answers."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from benchleaf.cli.packtable import file_rows, typed_rows
from benchleaf.cli.packwords import Reader, area_of, value_of
from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from benchleaf.graph.packs.question import AtHand, Build, PackQuestion, Plates, Rub, Setting, Thread
    from benchleaf.graph.packs.size import Size


@dataclass(frozen=True, slots=True)
class Given:
    """The options as typed, by name, and what reads lengths out of them."""

    options: Mapping[str, Any]
    reader: Reader

    def text(self, name: str) -> str | None:
        """The words of an option, or None. Raises WrongUse for empty ones."""
        words = self.options.get(name)
        if words is not None and not str(words).strip():
            raise WrongUse(f"{flag(name)} is empty", "fill it or leave it out")
        return None if words is None else str(words)

    def size(self, name: str) -> "Size | None":
        """A length with its limits."""
        words = self.text(name)
        return None if words is None else self.reader.size(flag(name), words)

    def length(self, name: str) -> float | None:
        """A length of one figure."""
        words = self.text(name)
        return None if words is None else self.reader.length(flag(name), words)

    def plates(self, name: str, kind: str) -> "Plates | None":
        """The plates of one kind."""
        words = self.text(name)
        return None if words is None else self.reader.plates(flag(name), words, kind)

    def value(self, name: str, kind: str, to: str) -> float | None:
        """A force, pressure or torque."""
        words = self.text(name)
        return None if words is None else value_of(flag(name), words, kind, to)


def flag(name: str) -> str:
    """The option as it is typed."""
    return "--" + name.replace("_", "-")


def question_of(given: Given) -> "PackQuestion":
    """The question. Raises WrongUse naming the option that cannot be read, with the remedy."""
    from benchleaf.graph.packs.question import PackQuestion

    return PackQuestion(
        build=_build(given),
        was_friction=given.plates("was_friction", "friction"),
        was_steel=given.plates("was_steel", "steel"),
        setting=_setting(given),
        at_hand=_at_hand(given),
        rub=_rub(given),
        thread=_thread(given),
    )


def _build(given: Given) -> "Build":
    from benchleaf.graph.packs.question import Build

    return Build(
        friction=given.plates("friction", "friction"),
        steel=given.plates("steel", "steel"),
        others=tuple(given.reader.piece("--other", words) for words in given.options["other"]),
        depth=given.size("depth"),
        end_plates=int(given.options["end_plates"]),
        single_sided=given.options["single_sided"],
    )


def _setting(given: Given) -> "Setting":
    from benchleaf.graph.packs.question import Setting

    names = ("need", "fitted", "trial", "measured", "target", "end_play", "preload")
    return Setting(*(given.size(name) for name in names))


def _at_hand(given: Given) -> "AtHand":
    from benchleaf.graph.packs.question import AtHand

    typed, file = given.text("choose"), given.options["table"]
    if typed is not None and file is not None:
        raise WrongUse("--choose and --table both give the selection table", "give one of them")
    rows = typed_rows(typed, given.reader) if typed else file_rows(file, given.reader) if file else ()
    sizes, shims = given.text("sizes"), given.text("shims")
    return AtHand(
        rows=rows,
        tie=given.options["tie"],
        sizes=given.reader.sizes("--sizes", sizes) if sizes else (),
        shims=given.reader.shims("--shims", shims) if shims else (),
    )


def _rub(given: Given) -> "Rub":
    from benchleaf.graph.packs.question import Rub

    area = given.text("area")
    return Rub(
        inner=given.length("inner_dia"),
        outer=given.length("outer_dia"),
        mu=given.options["mu"],
        force=given.value("force", "force", "N"),
        pressure=given.value("pressure", "pressure", "MPa"),
        area=None if area is None else area_of("--area", area),
        spring=given.value("spring", "force", "N"),
    )


def _thread(given: Given) -> "Thread":
    from benchleaf.graph.packs.question import Thread

    return Thread(
        k=given.options["bolt_k"],
        force=given.value("bolt_force", "force", "N"),
        diameter=given.length("bolt_dia"),
        torque=given.value("bolt_torque", "torque", "N·m"),
        wrench=given.length("wrench"),
        crowfoot=given.length("crowfoot"),
    )
