"""kill -9 in the middle of a shop's work, at every step and at random moments; counts are printed as JSON.

    python tests/faults/kills.py              every step of every day, and 200 random moments of each
    python tests/faults/kills.py --small 12   that many of each, spread evenly
    python tests/faults/kills.py --small 12 --broken   every change committed alone: the search must find it
    python tests/faults/kills.py --only add   one day of them

A child is forked, does a day's commands with the product's own code and tells each one that has returned; it
kills itself at the n-th step, or its parent kills it. What is left must open, `check` must find nothing, and
every row must be as after one of the commits between what was acknowledged and what was under way. A killed
`add` is then repeated and must end as if nothing had happened. POSIX only.
"""

import argparse
import json
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

import shopfloor
from benchleaf.graph.db.connection import OpenStore
from watched import watched

READING = ("SELECT", "PRAGMA", "WITH")  # steps that change nothing are no points to be struck at


@dataclass(frozen=True, slots=True)
class Course:
    """An undisturbed day: the steps in order, the state after each commit (the first: before any), how many
    commits were done when each command had returned, and how long the whole took."""

    steps: list[str]
    states: list[str]
    commits: list[int]
    seconds: float

    def allowed(self, acknowledged: int) -> list[str]:
        """The states in which a store may be after so many acknowledged commands."""
        first = self.commits[acknowledged - 1] if acknowledged else 0
        last = self.commits[min(acknowledged, len(self.commits) - 1)]
        return self.states[first : last + 1]


class Striker:
    """Counts the steps of a child and kills it at the one chosen."""

    def __init__(self, at: int | None = None) -> None:
        self.at = at
        self.steps: list[str] = []
        self.states: list[str] = []
        self.resting = False

    def __call__(self, what: str, when: str, whom: Any, *_: Any) -> None:
        if self.resting or what in READING:
            return
        if len(self.steps) == self.at:
            os.kill(os.getpid(), signal.SIGKILL)
        self.steps.append(f"{when} {what}")
        if self.at is None and (when, what) == ("after", "COMMIT"):
            self.resting = True
            self.states.append(shopfloor.state_of(whom))
            self.resting = False


def forked(work: Callable[[int], None]) -> tuple[int, int]:
    """Starts a child that does `work` with a pipe to write to; its number, and the pipe's reading end."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        status = 1
        try:
            os.close(reading)
            work(writing)
            status = 0
        finally:
            os._exit(status)
    os.close(writing)
    return child, reading


def told_by(reading: int) -> bytes:
    """Everything a child wrote before it ended."""
    with os.fdopen(reading, "rb") as pipe:
        return pipe.read()


def course(base: Path, day: shopfloor.Day, place: Path) -> Course:
    """The day undisturbed."""
    store = fresh(base, place)
    before = shopfloor.state(store / "benchleaf.db")

    def work(pipe: int) -> None:
        striker, commits, start = Striker(), [], time.perf_counter()
        with watched(striker):
            for words in day:
                shopfloor.run(store, words)
                commits.append(len(striker.states))
                assert commits[-1] > (commits[-2] if commits[1:] else 0), f"{words} wrote nothing"
        seen = (striker.steps, [before, *striker.states], commits, time.perf_counter() - start)
        os.write(pipe, json.dumps(seen).encode())

    child, reading = forked(work)
    seen = told_by(reading)
    os.waitpid(child, 0)
    return Course(*json.loads(seen))


def fresh(base: Path, place: Path) -> Path:
    """A new copy of the store to be struck."""
    shutil.rmtree(place, ignore_errors=True)
    shutil.copytree(base, place)
    return place


def _day(store: Path, day: shopfloor.Day, striker: Striker | None, broken: bool) -> Callable[[int], None]:
    def work(pipe: int) -> None:
        os.write(pipe, b"!")
        with (
            nullcontext() if striker is None else watched(striker),
            _each_alone() if broken else nullcontext(),
        ):
            for words in day:
                shopfloor.run(store, words)
                os.write(pipe, b".")

    return work


@contextmanager
def _each_alone() -> Iterator[None]:
    """The product as it must not be: every change is committed alone."""
    change = OpenStore._change

    def alone(store: OpenStore, sql: str, *values: object) -> int:
        done = change(store, sql, *values)
        store.connection.execute("COMMIT")
        store.connection.execute("BEGIN IMMEDIATE")
        return done

    with mock.patch.object(OpenStore, "_change", alone):
        yield


@dataclass(frozen=True, slots=True)
class Trial:
    """One day to be struck at again and again, and what is known of it."""

    base: Path
    day: shopfloor.Day
    known: Course
    place: Path
    again: bool = False
    broken: bool = False

    def strike(self, at: int | None = None, after: float = 0.0) -> tuple[bool, list[str]]:
        """One strike, at a step or after a time; whether it struck, and what was wrong then."""
        store = fresh(self.base, self.place)
        hit, acknowledged = strike(store, self.day, at=at, after=after, broken=self.broken)
        return hit, faults_after(store, self.day, self.known, acknowledged, again=self.again)


def strike(
    store: Path, day: shopfloor.Day, *, at: int | None = None, after: float = 0.0, broken: bool = False
) -> tuple[bool, int]:
    """One strike, at a step or after a time; whether it struck, and how many commands were acknowledged."""
    child, reading = forked(_day(store, day, None if at is None else Striker(at), broken))
    if at is None:
        os.read(reading, 1)
        time.sleep(after)
        os.kill(child, signal.SIGKILL)
    told = told_by(reading)
    _, status = os.waitpid(child, 0)
    return os.WIFSIGNALED(status), told.count(b".")


def faults_after(
    store: Path, day: shopfloor.Day, known: Course, acknowledged: int, *, again: bool
) -> list[str]:
    """What is wrong after a strike, and after the day was repeated where `again`."""
    found = shopfloor.faults_of(store, known.allowed(acknowledged))
    if again and not found:
        for words in day:
            shopfloor.run(store, words)
        found = [f"repeated: {words}" for words in shopfloor.faults_of(store, known.states[-1:])]
    return found


def spread(count: int, most: int | None) -> Iterable[int]:
    """The numbers below `count`, or `most` of them, evenly."""
    return range(count) if most is None or most >= count else (n * count // most for n in range(most))


def at_steps(trial: Trial, most: int | None) -> tuple[int, Counter[str]]:
    """Kills at the steps of a day; how many, and what was found."""
    steps = trial.known.steps
    rows = [n for n, step in enumerate(steps) if step.endswith(("INSERT", "UPDATE", "DELETE"))]
    lasting = sorted(set(range(len(steps))) - set(rows))
    struck, found = 0, Counter[str]()
    for step in (kind[n] for kind in (lasting, rows) for n in spread(len(kind), most)):
        hit, faults = trial.strike(at=step)
        struck += hit
        found.update(f"{steps[step]}: {words}" for words in faults)
    return struck, found


def at_moments(trial: Trial, wanted: int, chance: random.Random) -> tuple[int, Counter[str]]:
    """Kills at random moments of a day; how many, and what was found."""
    struck, found = 0, Counter[str]()
    for _ in range(wanted * 3):
        if struck == wanted:
            break
        hit, faults = trial.strike(after=chance.uniform(0, trial.known.seconds))
        struck += hit
        found.update(f"moment: {words}" for words in faults)
    return struck, found


def warm(day: shopfloor.Day, base: Path, place: Path) -> None:
    """Everything that the day imports and loads, once, so that the children need not."""
    store = fresh(base, place)
    for words in day:
        shopfloor.run(store, words)


def main(typed: list[str] | None = None) -> dict[str, Any]:
    """Kill and count; the counts."""
    options = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    options.add_argument("--small", type=int, metavar="N", help="only N of each kind")
    options.add_argument("--moments", type=int, default=200, help="random moments of each day")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--only", choices=["add", "settle", "job"])
    options.add_argument("--broken", action="store_true", help="show that the search can fail")
    given = options.parse_args(typed)
    chance, counts = random.Random(given.seed), {}
    with tempfile.TemporaryDirectory(prefix="kills-") as room:
        place, base = Path(room, "store"), shopfloor.build(Path(room, "base"))
        for name, day in shopfloor.days(Path(room, "papers"), letters=given.small is None).items():
            if given.only not in (None, name):
                continue
            warm(day, base, place)
            known = course(base, day, place)
            trial = Trial(
                base, day, known, place, again=name == "add" and not given.broken, broken=given.broken
            )
            steps, found = at_steps(trial, given.small)
            moments, more = at_moments(trial, given.small or given.moments, chance)
            counts[name] = {
                "commands": len(day), "commits": len(known.states) - 1, "steps": len(known.steps),
                "kills at steps": steps, "kills at moments": moments, "found": dict(found + more),
            }  # fmt: skip
            print(json.dumps({name: counts[name]}), file=sys.stderr, flush=True)
    return counts


if __name__ == "__main__":
    print(json.dumps(done := main(), indent=2))
    sys.exit(1 if any(day["found"] for day in done.values()) else 0)
