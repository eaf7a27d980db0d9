"""Time every regular expression of the packages on hostile text: `python pattern_times.py [--seeds N]`.

The expressions are recorded while all modules are imported, all data is loaded and papers are read, so that
those made within functions are among them. Prints one JSON line: how many, how many searches, the slowest,
and those over the limit. Exit status 1 if there is one.
"""

import argparse
import ast
import json
import pkgutil
import re
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path

from pattern_texts import LETTERS, general, hostile

LIMIT = 0.05
"""Seconds of processor time for 20,000 letters."""
PLAIN = 0.0046
"""Seconds that the plain search of `slowness` took on the machine where the limit was set."""
PACKAGES = ("benchleaf.graph", "benchleaf.ingest", "benchleaf.cli", "benchleaf.corpus_demo")
_SAMPLE = (
    "SERVICE BULLETIN No. RB 17/98\nDate: 12 November 1998\nModels: VR 30\nSerial nos. 5200 through 5310\n\n"
    "Kit 4410-207 contains 5 friction discs and 6 steel discs and replaces kit 4410-205.\n\n"
    "Item 3 on page 4-12 of VM-30: change 29 N·m to 31 N·m. Delete step 5. Fit the seal ring 44-1 (0.5 mm).\n"
)


CAPS = (
    ("ingest.phrases.tabular", "(?P<count>[0-9]{1,3}", 120),
    ("ingest.phrases.tabular", "(?P<part>[A-Z0-9]", 120),
    ("ingest.phrases.tabular", "(?P<name>[A-Za-z]", 120),
    ("ingest.head.notetitles", "(?P<front>", 300),
    ("ingest.head.notetitles", "(?:(?:(?:", 80),
    ("ingest.head.limits", "", 3000),
    ("ingest.phrases.pattern", "", 5000),
)
"""Expressions, by module and beginning, whose callers hand them no more than so many letters:
`tabular._LONGEST_CELL`, `notetitles._begun`, `is_kind_only`,
`limits.statement_applies`, `lengths.shortened` (twice its LONGEST, as paragraphs are joined). They are
timed at that length."""
_WHOLE = {"match", "fullmatch"}


@dataclass
class Found:
    """An expression, how the program uses it (search, match …), and the modules that name it."""

    pattern: "re.Pattern[str]"
    uses: set[str] = field(default_factory=set)
    owners: set[str] = field(default_factory=set)

    def calls(self) -> tuple[Callable[[str], object], ...]:
        """What is timed: a match where only matches are made, else a search, as every other use is one."""
        if self.uses and self.uses <= _WHOLE:
            return tuple(getattr(self.pattern, use) for use in sorted(self.uses))
        return (self.pattern.search,)

    def cap(self) -> int:
        """The most letters that the program hands to it."""
        owners = [owner.removeprefix("benchleaf.") for owner in self.owners]
        caps = [
            most
            for module, start, most in CAPS
            if owners == [module] and self.pattern.pattern.startswith(start)
        ]
        return min(caps, default=LETTERS)


def recorded() -> dict[tuple[str, int], Found]:
    """Every expression over text that benchleaf's modules compile, by its words and flags."""
    found: dict[tuple[str, int], Found] = {}
    compiler = re._compile  # type: ignore[attr-defined]

    def compile_(pattern: object, flags: int) -> "re.Pattern[str]":
        made: re.Pattern[str] = compiler(pattern, flags)
        owner = str(sys._getframe(2).f_globals.get("__name__", ""))
        if isinstance(made.pattern, str) and owner.startswith("benchleaf."):
            one = found.setdefault((made.pattern, made.flags), Found(made))
            one.owners.add(owner)
            use = sys._getframe(1).f_code.co_name  # re.search and its like compile at need
            one.uses |= {use} if use != "compile" else set()
        return made

    re._compile = compile_  # type: ignore[attr-defined]
    try:
        for package in PACKAGES:
            for module in pkgutil.walk_packages(import_module(package).__path__, f"{package}."):
                import_module(module.name)
        _exercise()
    finally:
        re._compile = compiler  # type: ignore[attr-defined]
    _add_uses(found)
    return found


def _add_uses(found: dict[tuple[str, int], Found]) -> None:
    """How expressions that a module names are used, by the calls in the sources of all modules."""
    modules = [m for name, m in sys.modules.items() if name.startswith("benchleaf.") and m.__file__]
    called: dict[tuple[str, str], set[str]] = {}
    for module in modules:
        home = module.__name__
        tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
        attributes = [node for node in ast.walk(tree) if isinstance(node, ast.Attribute)]
        bare = Counter(node.id for node in ast.walk(tree) if isinstance(node, ast.Name))
        of_name = [n for n in attributes if isinstance(n.value, ast.Name)]
        for node in of_name:
            name = node.value.id  # type: ignore[attr-defined]
            called.setdefault(_known_as(home, name), set()).add(node.attr)
        used = Counter(node.value.id for node in of_name)  # type: ignore[attr-defined]
        for name, count in bare.items():
            if count > used[name] + 1:  # it is handed on: what becomes of it is not seen
                called.setdefault(_known_as(home, name), set()).add("handed on")
        for node in (n for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)):
            for one in (a.name for a in node.names if a.name.startswith("_")):
                called.setdefault((str(node.module), one), set()).add("handed on")
    for module in modules:
        for name, value in vars(module).items():
            if isinstance(value, re.Pattern) and (value.pattern, value.flags) in found:
                uses = called.get(_known_as(module.__name__, name), {"unknown"})
                found[value.pattern, value.flags].uses |= uses


def _known_as(module: str, name: str) -> tuple[str, str]:
    """A private name is its own module's; any other may be used from everywhere."""
    return (module if name.startswith("_") else "", name)


def _exercise() -> None:
    """Reads a paper and a few words, so that what is compiled at need is compiled."""
    from benchleaf.graph.kits.received import parse_got
    from benchleaf.graph.quantities.amount import read_amount
    from benchleaf.graph.quantities.reading import read_quantities
    from benchleaf.ingest.document import read_document
    from benchleaf.ingest.phrases.examples import header_of
    from benchleaf.ingest.phrases.phrasebook import load
    from benchleaf.ingest.phrases.statements import read_statements

    read_document(_SAMPLE.encode(), "sample.txt")
    read_document(b"old number;new number;remarks\n4410-1;4410-2;use up stock\n", "sample.csv")
    read_quantities(_SAMPLE)
    read_amount("2.5 mm")
    parse_got("10 friction disc, 11 steel disc")
    for owner in (*load().phrases, *load().guards):
        assert owner.patterns  # compiled at first use
    for phrase in load().phrases:
        for example in phrase.yes:
            read_statements(header_of(example.say), "note")


def slowness() -> float:
    """How many times as long as where the limit was set a plain search takes here; at least 1."""
    plain, text, best = re.compile(r"(?:one|two|three) [0-9]{1,4} x"), "two 17 y three 4 " * 40_000, 9.0
    for _ in range(5):
        started = time.process_time()
        plain.search(text)
        best = min(best, time.process_time() - started)
    return max(1.0, best / PLAIN)


def seconds(use: Callable[[str], object], text: str, limit: float) -> float:
    """The time of one call; a slow one is measured again, for other work may run beside it."""
    best = 9.0
    for _ in range(3):
        started = time.process_time()
        use(text)
        best = min(best, time.process_time() - started)
        if best <= limit or best > 10 * limit:
            break
    return best


def slow(one: Found, texts: Iterable[str], limit: float) -> tuple[float, str, int]:
    """The longest time that a pattern took, the start of that text, and how many texts there were. A few
    letters come first, so that what runs away is stopped while it is still short."""
    worst, blamed, count = 0.0, "", 0
    for text in (t[: one.cap()] for t in texts):
        for length in (40, 400, len(text)):
            piece = text[: length - 2] + text[-2:]
            spent = max(seconds(use, piece, limit) for use in one.calls())
            count += 1
            if spent > worst:
                worst, blamed = spent, text[:60]
            if spent > limit:
                return worst, blamed, count
    return worst, blamed, count


def main() -> int:
    """Times all; prints; the exit status."""
    asked = argparse.ArgumentParser(description="Time every regular expression on hostile text.")
    asked.add_argument("--seeds", type=int, default=6)
    asked.add_argument("--brief", action="store_true", help="fewer general texts, twice the limit")
    asked.add_argument("--part", default="1/1", help="such as 2/3: the second third of the expressions")
    given = asked.parse_args()
    part, parts = map(int, given.part.split("/"))
    texts_of_all = general()[::6] if given.brief else general()
    limit = LIMIT * slowness() * (2 if given.brief else 1)
    found = list(recorded().values())[part - 1 :: parts]
    over, searches, worst = [], 0, 0.0
    for at, one in enumerate(found):
        for texts in (texts_of_all, hostile(one.pattern, given.seeds)):
            spent, blamed, count = slow(one, texts, limit)
            searches += count
            worst = max(worst, spent)
            if spent > limit:
                over.append(
                    {
                        "where": sorted(one.owners),
                        "pattern": one.pattern.pattern[:200],
                        "seconds": round(spent, 3),
                        "text": blamed,
                    }
                )
                print(json.dumps(over[-1]), file=sys.stderr, flush=True)
        if at % 50 == 0:
            print(f"{at} of {len(found)}", file=sys.stderr, flush=True)
    shape = {
        "patterns": len(found),
        "searches": searches,
        "slowest": round(worst, 4),
        "limit": round(limit, 4),
    }
    print(json.dumps({**shape, "over": over}, indent=1))
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main())
