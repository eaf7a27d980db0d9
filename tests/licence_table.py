"""The table of what the program depends on, from the installed packages' own metadata.

python tests/licence_table.py        prints it for DEVELOPERS.md
"""

import re
import sys
from collections.abc import Iterator
from email.message import Message
from importlib.metadata import PackageNotFoundError, metadata, requires
from itertools import chain

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

EXTRAS = ("scan", "office", "desk")
HEAD = "| package | licence | needed by |\n| --- | --- | --- |"
# a licence that asks more than to keep its text; words of the metadata, by common knowledge of the licences
_STRICTER = re.compile(r"\b(?:A?GPL|LGPL|MPL|EPL|CDDL|GNU|Mozilla Public)", re.IGNORECASE)
_LONG = 60  # signs: a whole licence text in the field is no name


def wanted(name: str, extras: frozenset[str] = frozenset()) -> Iterator[Requirement]:
    """What a package asks for on this machine, with some of its extras."""
    for line in requires(name) or ():
        need = Requirement(line)
        markers = [{"extra": extra} for extra in (*extras, "")]
        if need.marker is None or any(need.marker.evaluate(marker) for marker in markers):
            yield need


def closure(name: str, extras: tuple[str, ...]) -> dict[str, set[str]]:
    """Everything that a package needs, directly or through another, with who asks for it."""
    found: dict[str, set[str]] = {}
    waiting = [(name, frozenset(extras))]
    seen = set(waiting)
    while waiting:
        above, with_extras = waiting.pop()
        for need in wanted(above, with_extras):
            below = canonicalize_name(need.name)
            if below == name:
                continue
            found.setdefault(below, set()).add(above)
            one = (below, frozenset(need.extras))
            if one not in seen:
                seen.add(one)
                waiting.extend([one] if _installed(below) else [])
    return found


def licence(name: str) -> str:
    """A package's licence in short, as its metadata tells it: the expression, else the classifiers, else the
    field."""
    about: Message = metadata(name)  # type: ignore[assignment]  # it is a message, whatever its protocol
    stated = str(about.get("License-Expression") or "").strip()
    kinds = [c.rpartition(" :: ")[2] for c in about.get_all("Classifier") or () if c.startswith("License ::")]
    field = str(about.get("License") or "").strip()
    return stated or ", ".join(kinds) or (field if 0 < len(field) <= _LONG else "not stated")


def remark(words: str) -> str:
    """The licence, with a mark where it is not a permissive one."""
    return f"{words} **(not permissive)**" if _STRICTER.search(words) else words


def table() -> str:
    """The table in Markdown."""
    found = closure("benchleaf", EXTRAS)
    rows = [
        f"| {name} | {remark(licence(name))} | {', '.join(sorted(found[name]))} |"
        for name in sorted(found)
        if _installed(name)
    ]
    return "\n".join(chain([HEAD], rows))


def _installed(name: str) -> bool:
    try:
        metadata(name)
    except PackageNotFoundError:
        return False
    return True


if __name__ == "__main__":
    print(table())
    sys.exit(0)
