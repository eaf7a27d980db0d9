"""Where human output goes: wrapped lines and tables, styled on a terminal, plain words elsewhere.

Every text passes `clean` here and reaches rich as Text, never as markup, so nothing that a document holds can
steer the terminal or the layout.
"""

import os
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

from benchleaf.cli.clean import clean, one_line

if TYPE_CHECKING:
    from rich.console import Console
    from rich.text import Text

Style = Literal["", "strong", "quiet", "good", "doubt", "bad", "was", "now", "head"]
_STYLES: dict[str, str] = {
    "": "",
    "strong": "bold",
    "quiet": "dim",
    "good": "green",
    "doubt": "yellow",
    "bad": "bold red",
    "was": "strike dim",
    "now": "bold green",
    "head": "bold underline",
}
_NARROWEST = 12
"""A column of running words gets at least so many places before part numbers may be broken over lines."""


class Piece(NamedTuple):
    """Some words and what they are."""

    text: str
    style: Style = ""


Words = str | Piece


@dataclass(frozen=True, slots=True)
class Column:
    """A table's column. `whole`: its values (numbers, dates) are not broken; `right`: set to the right."""

    head: str
    whole: bool = False
    right: bool = False


class Screen:
    """Standard output for people."""

    def __init__(self, console: "Console | None" = None) -> None:
        self.console = console or _console()

    @property
    def styled(self) -> bool:
        """True on a terminal that can show struck words; elsewhere words must say it."""
        return self.console.is_terminal and not self.console.is_dumb_terminal

    def line(self, *words: Words, indent: int = 0, hang: int | None = None) -> None:
        """One paragraph, wrapped to the width: first line at `indent`, the others at `hang`."""
        self._wrapped(Piece(" " * indent), words, indent if hang is None else hang)

    def labelled(self, label: str, *words: Words, indent: int = 0, width: int = 6) -> None:
        """A paragraph with a label in a column of its own at the left."""
        plain = one_line(label)
        gap = " " * max(width - len(plain), 1)
        self._wrapped(Piece(" " * indent + plain + gap, "strong"), words, indent + width)

    def _wrapped(self, start: Piece, words: Sequence[Words], hang: int) -> None:
        width = max(self.console.width - max(hang, len(start.text)), 20)
        rows = self._text(words).wrap(self.console, width) or [self._text([""])]
        for number, row in enumerate(rows):
            row.rstrip()
            before = start if number == 0 else Piece(" " * hang)
            whole = self._text([before]).append_text(row)
            whole.rstrip()
            self.console.print(whole, soft_wrap=True)

    def typed(self, line: str, indent: int = 2) -> None:
        """A line to type: never wrapped, so that it can be copied."""
        self.console.print(self._text([" " * indent, Piece(one_line(line), "strong")]), soft_wrap=True)

    def blank(self) -> None:
        """An empty line."""
        self.console.print()

    def table(self, columns: Sequence[Column], rows: Iterable[Sequence[Words]], indent: int = 0) -> None:
        """A table; running words wrap, numbers stay whole as long as the width allows."""
        from rich import box
        from rich.padding import Padding
        from rich.table import Table

        cells = [[self._text([cell]) for cell in row] for row in rows]
        keep = self._room(columns, cells, indent)
        grid = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, header_style="bold")
        for column in columns:
            grid.add_column(
                column.head,
                no_wrap=column.whole and keep,
                overflow="fold",
                justify="right" if column.right else "left",
            )
        for row in cells:
            grid.add_row(*row)
        with self.console.capture() as held:
            self.console.print(Padding(grid, (0, 0, 0, indent)))
        self.console.file.write("\n".join(r.rstrip() for r in held.get().split("\n")))

    def _room(self, columns: Sequence[Column], cells: Sequence[Sequence["Text"]], indent: int) -> bool:
        """True if the whole columns fit beside the others at their narrowest."""
        need = indent
        for place, column in enumerate(columns):
            widest = max([len(column.head), *(row[place].cell_len for row in cells)])
            need += 2 + (widest if column.whole else min(widest, _NARROWEST))
        return need <= self.console.width

    def _text(self, words: Sequence[Words]) -> "Text":
        from rich.text import Text

        text = Text()
        for piece in words:
            plain, style = (piece, "") if isinstance(piece, str) else piece
            plain = clean(plain)
            if style == "was" and not self.styled:
                plain = f"[was: {plain}]"
            text.append(plain, style=_STYLES[style])
        return text


def _console() -> "Console":
    from rich.console import Console

    terminal = sys.stdout.isatty()
    plain = bool(os.environ.get("NO_COLOR")) or not terminal
    return Console(
        force_terminal=terminal,
        no_color=plain,
        highlight=False,
        markup=False,
        emoji=False,
        width=None if terminal or "COLUMNS" in os.environ else 80,
    )
