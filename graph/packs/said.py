"""What the arithmetic says: words and figures kept apart, so that each figure is shown in the shop's unit."""

from dataclasses import dataclass, field
from typing import Literal

Kind = Literal["length", "area", "force", "pressure", "torque"]


@dataclass(frozen=True, slots=True)
class Figure:
    """A value in the room's own units: mm, mm², N, N/mm², N·m; with ± `tolerance` if that is above zero."""

    value: float
    kind: Kind = "length"
    tolerance: float = 0.0


Said = tuple[str | Figure, ...]
"""Words and figures in a row; the words bring their own blanks."""


@dataclass(frozen=True, slots=True)
class Formula:
    """How one result came about: what it is, the formula in plain words, the figures put in."""

    of: str
    rule: str
    figures: Said


@dataclass(slots=True)
class Pad:
    """What is written down while an answer is worked out: formulas, findings, faults, what is missing.

    A fault is a finding for which the pack cannot be built with what was given.
    """

    formulas: list[Formula] = field(default_factory=list)
    findings: list[Said] = field(default_factory=list)
    faults: list[Said] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)

    def show(self, of: str, rule: str, *figures: str | Figure) -> None:
        """Write a formula down."""
        self.formulas.append(Formula(of, rule, figures))

    def find(self, *words: str | Figure) -> None:
        """Write a finding down."""
        self.findings.append(words)

    def fault(self, *words: str | Figure) -> None:
        """Write down why the pack cannot be built so."""
        self.faults.append(words)

    def want(self, result: str, *what: str) -> None:
        """Write down what the next result still needs."""
        self.missing.append(f"for {result}: {', '.join(what)}")
