"""The vocabulary of supersession lists (lists.toml): column heads and words in remarks."""

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Literal

from benchleaf.ingest.head.fields import plain

ColumnKind = Literal["old", "new", "part", "date", "remarks"]
_KINDS: tuple[ColumnKind, ...] = ("old", "new", "part", "date", "remarks")


@dataclass(frozen=True, slots=True, eq=False)
class ListWords:
    """Column heads by kind, and the words of remarks, as `plain` leaves them."""

    columns: dict[str, ColumnKind]
    withdrawn: tuple[str, ...]
    redirected: tuple[str, ...]
    both_ways: tuple[str, ...]
    new_for_old: tuple[str, ...]
    none: tuple[str, ...]
    conditional: tuple[str, ...]
    use_up: tuple[str, ...]
    scrap: tuple[str, ...]

    def kind_of(self, head: str) -> ColumnKind | None:
        """What a column holds, by its head; a figure behind the head makes another column of the kind."""
        label = plain(head.replace("\n", " ").replace("_", " "))
        return self.columns.get(label) or self.columns.get(re.sub(r"[ (-]{0,3}[0-9]\)?$", "", label))


def load(extra: Path | None = None) -> ListWords:
    """The vocabulary of the package, with a shop's own file of the same shape added to it."""
    files = [resources.files("benchleaf.ingest.lists").joinpath("lists.toml").read_text(encoding="utf-8")]
    if extra is not None:
        files.append(extra.read_text(encoding="utf-8"))
    columns: dict[str, ColumnKind] = {}
    words: dict[str, list[str]] = {}
    for raw in map(tomllib.loads, files):
        for kind in _KINDS:
            for head in raw.get("columns", {}).get(kind, []):
                columns.setdefault(plain(head), kind)
        for name, listed in raw.get("words", {}).items():
            words.setdefault(name, []).extend(plain(w) for w in listed)
    return ListWords(columns, *(tuple(words.get(n, ())) for n in ListWords.__slots__[1:]))


@cache
def packaged() -> ListWords:
    """The vocabulary as shipped."""
    return load()
