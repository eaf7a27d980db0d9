"""Several writers and readers on one store at once, each a process of its own; counts are printed as JSON.

    python tests/faults/crowd.py             two and four writers, 6 rounds each
    python tests/faults/crowd.py --rounds 3

Every writer adds papers of its own and papers that the others add too, settles, opens jobs and writes
notes, while readers ask. Each command must do its work or say that the store is busy and to try again;
afterwards the store is whole, and everything that a command acknowledged is there, once. POSIX only.
"""

import argparse
import json
import os
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import kills
import shopfloor
from benchleaf.graph.store import Store

Words = tuple[str, ...]
ASKED: tuple[Words, ...] = (
    ("page", "SM-70", "4-12"),
    ("part", "7731-21"),
    ("week",),
    ("check",),
    ("doubts",),
)


def writer_day(who: int, rounds: int, papers: Path) -> list[Words]:
    """What one writer does."""
    note = shopfloor.typed("note --pub SM-70 --page 4-12 --item 5 --action caution --initials AB --text")
    found: list[Words] = []
    for n in range(rounds):
        for name in (f"w{who}-{n}.csv", f"all-{n}.csv"):  # one of its own, and one that every writer adds
            path = papers / name
            path.write_text(f"Old number,New number,Date\n{name},9{name},2001-02-03\n", encoding="utf-8")
            found.append(("add", str(path)))
        found += [
            (
                "settle",
                str(2 + 4 * (who % 3)),
                "yes",
                "--item",
                str(n % 6 + 1),
                "--initials",
                f"W{chr(65 + who)}",
            ),
            (
                "job",
                "open",
                f"J{who}-{n}",
                "--model",
                "V12",
                "--page",
                "4-12",
                "--initials",
                f"W{chr(65 + who)}",
            ),
            (*note, f"Mind the groove, {who}-{n}."),
            ("kit", "7751-1", "--got", f"6 friction disc, {who + 10 * n} steel disc"),
        ]
    return found


def work(store: Path, day: list[Words], *, until: Path | None = None) -> Callable[[int], None]:
    """Do a day, or with `until` go on asking till that file is there; tells each command with its end."""

    def child(pipe: int) -> None:
        with os.fdopen(pipe, "w", encoding="utf-8", closefd=False) as told:
            while True:
                for words in day:
                    status, out, err = shopfloor.run(store, words)
                    print(json.dumps([words, status, out, err]), file=told, flush=True)
                if until is None or until.exists():
                    return

    return child


def gather(children: list[tuple[int, int]]) -> list[list[Any]]:
    """What the children told, after all have ended."""
    told = [kills.told_by(reading) for _, reading in children]
    for child, _ in children:
        os.waitpid(child, 0)
    return [json.loads(line) for lines in told for line in lines.decode().splitlines()]


def rush(store: Path, writers: int, readers: int, rounds: int, papers: Path) -> dict[str, Any]:
    """Let them all loose; the counts and what was found."""
    over = papers / "over"
    asking = [kills.forked(work(store, list(ASKED), until=over)) for _ in range(readers)]
    days = [writer_day(who, rounds, papers) for who in range(writers)]
    writing = gather([kills.forked(work(store, day)) for day in days])
    over.touch()
    asked = gather(asking)
    found = Counter(fault for one in (*writing, *asked) for fault in faults_of_one(*one))
    if len(writing) != sum(map(len, days)):
        found["a writer died"] += 1
    found.update(shopfloor.faults_of(store))
    found.update(lost(store, [one for one in writing if not busy(one[3])]))
    return {
        "writers": writers, "readers": readers, "written": len(writing), "asked": len(asked),
        "busy": sum(busy(one[3]) for one in (*writing, *asked)), "found": dict(found),
    }  # fmt: skip


def busy(told: str) -> bool:
    """True if a command said that the store is busy, and to try again."""
    return "the store is busy" in told and "ry again" in told


def faults_of_one(words: Words, status: int, out: str, err: str) -> list[str]:
    """What is wrong with the way one command ended."""
    if busy(err):
        return [] if status == 1 else [f"{words[0]}: busy with status {status}"]
    right = {"kit": (1,), "job": (0, 1), "doubts": (0, 1)}.get(
        words[0], (0,)
    )  # 1: on hold, news, doubts wait
    if status not in right or "benchleaf:" in err:
        return [f"{words[0]}: status {status}: {(out + err).strip()[-200:]}"]
    return ["not written down"] if "could not be" in err else []


def lost(store: Path, done: list[list[Any]]) -> list[str]:
    """What commands acknowledged and the store does not hold, or holds twice."""
    with Store.open(store) as held:
        names = Counter(file.name for file in held.files())
        jobs = Counter(job.number for job in held.jobs())
        notes = Counter(o.text for o in held.overrides("SM-70", "4-12") if o.note.startswith("SHOP"))
        numbers = Counter(note.number for note in held.notes() if note.source == "shop")
        settled = len(held.settlements())
        holds = len({hold.came for hold in held.holds("7751-1", lifted=True)})
    by = {
        name: [words for words, *_ in done if words[0] == name]
        for name in ("add", "settle", "note", "job", "kit")
    }
    wanted = {
        "papers": (
            names,
            Counter({Path(w[1]).name for w in by["add"]}),
            ("sm.txt", "ol1.txt", "ol2.txt", "ol3.txt"),
        ),
        "jobs": (jobs, Counter({w[2] for w in by["job"]}), ()),
        "notes": (notes, Counter(w[-1] for w in by["note"]), ()),
    }
    found = []
    for what, (there, asked, before) in wanted.items():
        if Counter({n: c for n, c in there.items() if n not in before}) != asked:
            found.append(f"{what} lost or doubled")
    if any(count > 1 for count in numbers.values()):
        found.append("two notes of one number")
    if settled != len(by["settle"]):
        found.append("settlements lost")
    if holds != len({w[3] for w in by["kit"]}):
        found.append("holds lost")
    return found


def main(typed: list[str] | None = None) -> list[dict[str, Any]]:
    """Two writers, then four; the counts."""
    options = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    options.add_argument("--rounds", type=int, default=6)
    given = options.parse_args(typed)
    counts = []
    with tempfile.TemporaryDirectory(prefix="crowd-") as name:
        room = Path(name).resolve()
        base = shopfloor.build(room / "base")
        warm = kills.fresh(base, room / "warm" / "store")
        for words in (*writer_day(9, 1, room), *ASKED):
            shopfloor.run(warm, words)
        for writers in (2, 4):
            papers = room / f"papers{writers}"
            papers.mkdir()
            store = kills.fresh(base, room / f"s{writers}" / "store")
            counts.append(rush(store, writers, 2, given.rounds, papers))
    return counts


if __name__ == "__main__":
    print(json.dumps(done := main(), indent=2))
    sys.exit(1 if any(part["found"] for part in done) else 0)
