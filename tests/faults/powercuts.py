"""Power cuts in the middle of a shop's work, simulated; counts are printed as JSON.

    python tests/faults/powercuts.py                       a cut after every event, six ways each
    python tests/faults/powercuts.py --small 10            ten cuts of each day
    python tests/faults/powercuts.py --small 10 --synchronous OFF --without-originals-sync
                                                           shows that the search can fail

The product's own commands run on SQLite through APSW (see recorder.py), which records what is asked of the
disk in which order; disk.py gives what may be left after a cut. That must open, `check` must find nothing,
and every row must be as after one of the commits between what was acknowledged and what was under way.
Linux only.
"""

import argparse
import json
import random
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import disk
import shopfloor
from recorder import Event, Record, recorded

NOTHING_YET = "no store yet"


@dataclass(frozen=True, slots=True)
class Recording:
    """A day as the disk saw it: from which files, in which folder, which events, which states are in order
    after each commit (the first: before any)."""

    start: Path
    events: list[Event]
    states: list[str]


def record_day(
    store: Path, day: shopfloor.Day, copy: Path, *, synchronous: str, originals_synced: bool
) -> Recording:
    """Do a day's work and record it; `copy` keeps what was there before."""
    before = shopfloor.state(store / "benchleaf.db") if store.exists() else NOTHING_YET
    shutil.copytree(store.parent, copy)
    record = Record()
    with recorded(record, shopfloor.state_of, synchronous, originals_synced=originals_synced):
        for words in day:
            shopfloor.run(store, words)
            assert record.events[-1].what != "told", f"{words} wrote nothing"
            record("told")
    return Recording(copy, record.events, [before, *(e.path for e in record.events if e.what == "commit")])


def cuts(
    recording: Recording, place: Path, chosen: dict[int, list[str]], chance: random.Random
) -> Iterator[Any]:
    """Each cut after a chosen event: the event, the mode, what lies on the disk then, the states allowed."""
    held = disk.Disk(place)
    commits = acknowledged = 0
    ends = _commits_at_end_of_command(recording.events)
    for n, event in enumerate(recording.events):
        if event.what == "commit":
            commits += 1
        elif event.what == "told":
            acknowledged = commits
        else:
            held.follow(event)
        for mode in chosen.get(n, ()):
            yield event, mode, held.after_cut(mode, chance), recording.states[acknowledged : ends[n] + 1]


def _commits_at_end_of_command(events: list[Event]) -> list[int]:
    """For each event how many commits will be done when the command under way has returned."""
    commits = sum(e.what == "commit" for e in events)
    found, total = [], commits
    for event in reversed(events):
        if event.what == "told":
            total = commits
        commits -= event.what == "commit"
        found.append(total)
    return found[::-1]


def lay_out(files: dict[Path, bytes | None], place: Path) -> None:
    """Write down what lies on the disk after a cut."""
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir()
    for path, data in sorted(files.items()):
        if data is None:
            path.mkdir(exist_ok=True)
        else:
            path.write_bytes(data)


def faults_after(store: Path, allowed: list[str]) -> list[str]:
    """What is wrong after a cut; a store that is not there is in order before the first was acknowledged."""
    database = store / "benchleaf.db"
    if NOTHING_YET in allowed and (not database.is_file() or database.stat().st_size == 0):
        return []
    return shopfloor.faults_of(store, allowed)


def chosen_of(
    recording: Recording, most: int | None, every: int, chance: random.Random
) -> dict[int, list[str]]:
    """After which events to cut, and how."""
    if most is None:
        return {n: list(disk.MODES) for n in range(0, len(recording.events), every)}
    found: dict[int, list[str]] = {}
    for n in range(most):
        found.setdefault(chance.randrange(len(recording.events)), []).append(disk.MODES[n % len(disk.MODES)])
    return found


def cut_day(
    store: Path, day: shopfloor.Day, room: Path, given: argparse.Namespace, chance: random.Random
) -> Any:
    """Record a day and cut it; the counts."""
    recording = record_day(
        store, day, room / f"before-{store.parent.name}", synchronous=given.synchronous,
        originals_synced=not given.without_originals_sync,
    )  # fmt: skip
    place = store.parent
    shutil.rmtree(place)
    shutil.copytree(recording.start, place)
    done, found = 0, Counter[str]()
    for event, mode, files, allowed in cuts(
        recording, place, chosen_of(recording, given.small, given.every, chance), chance
    ):
        lay_out(files, place)
        done += 1
        found.update(f"{mode}, after {event.what}: {words}" for words in faults_after(store, allowed))
    return {
        "events": len(recording.events),
        "commits": len(recording.states) - 1,
        "cuts": done,
        "found": dict(found),
    }


def main(typed: list[str] | None = None) -> dict[str, Any]:
    """Cut and count; the counts by day."""
    options = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    options.add_argument("--small", type=int, metavar="N", help="only N cuts of each day")
    options.add_argument("--synchronous", default="EXTRA", choices=["EXTRA", "FULL", "NORMAL", "OFF"])
    options.add_argument("--without-originals-sync", action="store_true")
    options.add_argument("--letters", action="store_true", help="add letters too, which load the phrase book")
    options.add_argument("--only", choices=["new", "add", "settle", "job"])
    options.add_argument(
        "--every", type=int, default=1, metavar="N", help="a cut only after every N-th event"
    )
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args(typed)
    chance, counts = random.Random(given.seed), {}
    with tempfile.TemporaryDirectory(prefix="powercuts-") as name:
        room = Path(name).resolve()
        days = shopfloor.days(room / "papers", letters=given.letters)
        for day, words in {"new": days["add"], **days}.items():
            if given.only not in (None, day):
                continue
            store = room / day / "store"
            store.parent.mkdir()
            if day != "new":
                shopfloor.build(store)
            counts[day] = cut_day(store, words, room, given, chance)
            print(json.dumps({day: counts[day]}), file=sys.stderr, flush=True)
    return counts


if __name__ == "__main__":
    print(json.dumps(done := main(), indent=2))
    sys.exit(1 if any(day["found"] for day in done.values()) else 0)
