"""Shapes of the OCR step: what an engine read, in pixels of the upright picture."""

from dataclasses import dataclass
from typing import NamedTuple


class Quad(NamedTuple):
    """A line of text as a detector frames it: its four corners in pixels, from the top left clockwise."""

    corners: tuple[tuple[float, float], ...]

    @property
    def x0(self) -> float:
        """The left edge."""
        return min(x for x, _ in self.corners)

    @property
    def x1(self) -> float:
        """The right edge."""
        return max(x for x, _ in self.corners)

    @property
    def top(self) -> float:
        """The upper edge."""
        return min(y for _, y in self.corners)

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return max(y for _, y in self.corners)

    @property
    def wide(self) -> float:
        """The width of its box."""
        return self.x1 - self.x0

    @property
    def high(self) -> float:
        """The height of its box."""
        return self.bottom - self.top


@dataclass(frozen=True, slots=True)
class Reading:
    """A line as the recogniser read it: each character's place (0 to 1 over the width) and confidence."""

    text: str
    places: tuple[float, ...]
    confidences: tuple[float, ...]

    @property
    def confidence(self) -> float:
        """The mean over its characters; 0 for none."""
        return sum(self.confidences) / len(self.confidences) if self.confidences else 0.0


@dataclass(frozen=True, slots=True)
class Piece:
    """One word within a line's picture: its ends in pixels, its confidence.

    `split` tells that recogniser and picture disagree on where it begins, ends or goes on.
    """

    text: str
    x0: float
    x1: float
    confidence: float
    split: bool = False


@dataclass(frozen=True, slots=True)
class Token:
    """A word read from a whole sheet by tesseract: its box in pixels and its confidence, 0 to 1."""

    text: str
    x0: float
    top: float
    x1: float
    bottom: float
    confidence: float
    line: tuple[int, int, int] = (0, 0, 0)
