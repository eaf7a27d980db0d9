"""The words of the demo papers: a light mark-up for the manual, TOML for letters, lists and slips.

Mark-up, one line a block: `#` section heading, `fig:` figure, `-` numbered item, `a)` lettered sub-step of
the item before, `!` notice (its first word is its kind), `|` table row (a run's first row is its heads),
`>` plain paragraph. Numbers are not written: they follow from the order.
"""

import tomllib
from dataclasses import dataclass
from importlib import resources
from typing import Any, Literal

Kind = Literal["heading", "figure", "item", "notice", "table", "paragraph"]
_MARKS: dict[str, Kind] = {"#": "heading", "-": "item", "!": "notice", "|": "table", ">": "paragraph"}


@dataclass(frozen=True, slots=True)
class Block:
    """One block of the manual: `number` for items, `parts` for sub-steps of an item, `rows` for tables."""

    kind: Kind
    text: str = ""
    number: int = 0
    parts: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


def manual_blocks(name: str, *, run_on: bool = False) -> tuple[Block, ...]:
    """The blocks of one part; its items are numbered anew in each section or, with `run_on`, through."""
    blocks: list[Block] = []
    for line in _read(f"{name}.txt").splitlines():
        if line.strip():
            _take(line, blocks, run_on)
    return tuple(blocks)


def letters() -> tuple[dict[str, Any], ...]:
    """The workshop letters, in the order in which they came out."""
    return tuple(tomllib.loads(_read("letters.toml"))["letter"])


def lists() -> tuple[dict[str, Any], ...]:
    """The lists and packing slips."""
    return tuple(tomllib.loads(_read("lists.toml"))["list"])


def _read(name: str) -> str:
    return resources.files("benchleaf.corpus_demo").joinpath("words", name).read_text(encoding="utf-8")


def _take(line: str, blocks: list[Block], run_on: bool) -> None:
    if line.startswith("fig:"):
        blocks.append(Block("figure", line[4:].strip()))
    elif line.startswith("  "):
        before = blocks.pop()
        blocks.append(Block("item", before.text, before.number, (*before.parts, line.strip()[2:].strip())))
    else:
        _take_marked(_MARKS[line[0]], line[1:].strip(), blocks, run_on)


def _take_marked(kind: Kind, text: str, blocks: list[Block], run_on: bool) -> None:
    if kind == "item":
        blocks.append(Block("item", text, _last_number(blocks, run_on) + 1))
    elif kind == "table":
        row = tuple(cell.strip() for cell in text.split("|"))
        rows = blocks.pop().rows if blocks and blocks[-1].kind == "table" else ()
        blocks.append(Block("table", rows=(*rows, row)))
    else:
        blocks.append(Block(kind, text))


def _last_number(blocks: list[Block], run_on: bool) -> int:
    for block in reversed(blocks):
        if block.kind == "heading" and not run_on:
            return 0
        if block.kind == "item":
            return block.number
    return 0
