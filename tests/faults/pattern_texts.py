"""Texts made to hurt one regular expression: from its own pieces, each repeat pumped up, the end spoilt."""

import random
import re
import sys
from collections.abc import Iterator
from typing import Any

_parser: Any = __import__("re._parser", fromlist=["parse"]) if sys.version_info >= (3, 11) else None
LETTERS = 20_000
GENERAL = (
    *(
        "a",
        "1",
        " ",
        ".",
        "-",
        "(",
        "\n",
        "a ",
        "1 ",
        "1-",
        "a.",
        ", ",
        "Page ",
        "x1 x2, ",
        "1.1 mm ",
        "A 1/",
    ),
    *('"', "' ", "\ue001, ", "no. \ue002 (", "\ue008 , the ", "step 3 and ", "é", "\ud800", "5±", "aA1 \t"),
)


class Maker:
    """Words that a pattern matches, or nearly."""

    def __init__(self, pattern: "re.Pattern[str]", seed: int) -> None:
        self.pick = random.Random(seed)
        self.tree = _parser.parse(pattern.pattern, pattern.flags & ~re.DEBUG)
        self.pumped: list[tuple[int, str]] = []
        self.groups: dict[int, str] = {}

    def sample(self) -> str:
        """One text that follows the pattern's branches at random."""
        self.pumped, self.groups = [], {}
        return self._of(self.tree)

    def _of(self, tree: Any) -> str:
        made = ""
        for op, argument in tree:
            made += self._one(str(op), argument, len(made))
        return made

    def _one(self, op: str, argument: Any, at: int) -> str:
        match op:
            case "LITERAL":
                return chr(argument)
            case "NOT_LITERAL":
                return "x" if argument != ord("x") else "y"
            case "ANY":
                return self.pick.choice("x 1.")
            case "IN":
                return self._in(argument)
            case "BRANCH":
                return self._of(self.pick.choice(argument[1]))
            case "SUBPATTERN":
                made = self._of(argument[3])
                self.groups[argument[0]] = made
                return made
            case "ATOMIC_GROUP":
                return self._of(argument)
            case "GROUPREF":
                return self.groups.get(argument, "")
            case "GROUPREF_EXISTS":
                return self._of(argument[1])
            case "ASSERT":
                return self._of(argument[1]) if self.pick.random() < 0.3 else ""
        return self._repeated(argument, at) if op.endswith("REPEAT") else ""

    def _repeated(self, argument: Any, at: int) -> str:
        _least, most, body = argument
        piece = self._of(body)
        if int(most) > 1 and piece:
            self.pumped.append((at, piece))
        return "".join([piece, *(self._of(body) for _ in range(self.pick.choice((0, 0, 1, 2))))]) or piece

    def _in(self, choices: Any) -> str:
        if str(choices[0][0]) == "NEGATE":
            barred = [c for c in choices[1:] if str(c[0]) != "CATEGORY"]
            taken = {a for o, a in barred if str(o) == "LITERAL"}
            return next((s for s in "ax1 -.,é" if ord(s) not in taken), "ж")
        op, argument = self.pick.choice(choices)
        match str(op):
            case "LITERAL":
                return chr(argument)
            case "RANGE":
                return chr(self.pick.choice((argument[0], argument[1])))
        kind = str(argument)
        if "NOT" in kind:
            return {"CATEGORY_NOT_SPACE": "x", "CATEGORY_NOT_WORD": "-"}.get(kind, "x")
        return {"CATEGORY_DIGIT": "1", "CATEGORY_SPACE": " "}.get(kind, "a")


def hostile(pattern: "re.Pattern[str]", seeds: int) -> Iterator[str]:
    """Texts of 20,000 letters made from the pattern's own words: repeated, each repeat pumped up, one letter
    short."""
    for seed in range(seeds):
        maker = Maker(pattern, seed)
        made = maker.sample() or "a"
        yield _long(made)
        yield _long(f"{made} ")
        yield _long(made[:-1] or made)
        for at, piece in maker.pumped[:4]:
            yield (made[:at] + _long(piece))[: LETTERS - 2] + "\x00!"


def general() -> tuple[str, ...]:
    """Texts of 20,000 letters that no pattern chose."""
    return tuple(_long(piece) for piece in GENERAL)


def _long(piece: str) -> str:
    return (piece * (LETTERS // len(piece) + 1))[:LETTERS]
