"""Commands that write, on a disk that refuses: full, a limit on file sizes, a folder that may not be
written or entered, a folder that goes away. Counts and what was found are printed as JSON.

    python tests/faults/shortage.py            every command, many limits from nothing up to enough
    python tests/faults/shortage.py --small    every command, a few

Each command runs in a forked child with the product's own code. It must do its work, or end with status 1
or 2, one message and a remedy, never with a traceback; the store must be whole and as it was before or as
it is after one of the command's commits, an earlier sheet or report whole, and what was held must stay
readable. POSIX only; a full disk is a small tmpfs, where one may be mounted.
"""

import argparse
import ctypes
import json
import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import kills
import shopfloor
from watched import watched

OLD = b"an earlier sheet or report"
_RIGHTS_OF_ROOT = (1 << 1) | (1 << 2)  # by these two root reads, writes and enters everything
_ROOM = 4 * 1024 * 1024

Words = tuple[str, ...]
Limit = Callable[[Path], AbstractContextManager[None]]
"""What befalls a child while it works on the store in a folder."""


@dataclass(frozen=True, slots=True)
class Known:
    """A command undisturbed: its status, the states of the store before, between and after, what it writes
    beside the store, and that file's bytes."""

    words: Words
    status: int
    states: list[str]
    out: Path | None
    written: bytes


def commands(room: Path, base: Path) -> list[Known]:
    """Every command that writes, into the store or beside it."""
    work = shopfloor.days(room / "papers")
    out = room / "disk" / "out"
    out.mkdir(parents=True)
    typed: list[tuple[Words, Path | None]] = [
        *((words, None) for words in (work["add"][0], work["add"][3], work["settle"][0], work["settle"][4])),
        *((words, None) for words in (work["job"][0], work["job"][3], work["job"][5])),
        (("backup", str(out / "copy")), None),
        (("sheet", "page", "SM-70", "4-12", "--out", str(out / "page.html")), out / "page.html"),
        (("week", "--week", "2026-W47", "--csv", str(out / "week.csv")), out / "week.csv"),
    ]
    return [_undisturbed(words, file, base, room / "known" / "store") for words, file in typed]


def _undisturbed(words: Words, out: Path | None, base: Path, store: Path) -> Known:
    kills.fresh(base, store)
    before = shopfloor.state(store / "benchleaf.db")
    states = [before]

    def told(what: str, when: str, whom: Any, *_: Any) -> None:
        if (when, what) == ("after", "COMMIT"):
            states.append(shopfloor.state_of(whom))

    with watched(told):
        status, _, err = shopfloor.run(store, words)
    assert "benchleaf:" not in err, f"{words}: {err}"
    return Known(words, status, states, out, out.read_bytes() if out else b"")


def befall(store: Path, known: Known, limit: Limit) -> tuple[int, str]:
    """Run a command in a child while something befalls it; its exit status and all that it said."""

    def work(pipe: int) -> None:
        try:
            with limit(store):
                status, out, err = shopfloor.run(store, known.words)
        except BaseException as error:  # a user would see a traceback
            status, out, err = 99, "", f"Traceback: {type(error).__name__}: {error}"
        os.write(pipe, json.dumps([status, out, err]).encode())

    child, reading = kills.forked(work)
    told = kills.told_by(reading)
    os.waitpid(child, 0)
    status, out, err = json.loads(told) if told else (99, "", "Traceback: the process died")
    return int(status), f"{out}\n{err}"


def faults(known: Known, store: Path, ended: tuple[int, str]) -> Iterator[str]:
    """What is wrong with how a command ended and with what it left."""
    status, said = ended
    whole = shopfloor.faults_of(store, known.states)
    yield from whole
    if known.words[0] == "backup":  # the copy of before, or the new one
        yield from (f"the copy: {words}" for words in shopfloor.faults_of(Path(known.words[1]), known.states))
    done = not whole and shopfloor.state(store / "benchleaf.db") == known.states[-1]
    if known.out is not None:
        held = known.out.read_bytes()
        done = held == known.written
        if not done and held != OLD:
            yield "an earlier file is spoilt and the new one not whole"
    told = [line for line in said.splitlines() if line.startswith(("benchleaf: ", "The hold could not be"))]
    if "Traceback" in said or "Unexpected" in said or "defect" in said or status not in (0, 1, 2):
        yield f"no clear message: {said.strip()[-160:]}"
    elif not done and not told:
        yield f"not done, and not told: {said.strip()[-160:]}"
    elif told and status == 0:
        yield "told a problem with status 0"
    elif told and not _remedy(said, told[0]):
        yield f"no remedy: {told[0][:160]}"


def _remedy(said: str, told: str) -> bool:
    after = said.split(told, 1)[1].strip() if told.startswith("benchleaf") else told.partition(";")[2]
    return bool(after)


@contextmanager
def file_size(most: int) -> Iterator[None]:
    """No file may grow beyond so many bytes."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
    yield


@contextmanager
def modes(folder: int, file: int, store: Path) -> Iterator[None]:
    """The store's folders and files have these permissions, and root obeys them too."""
    inside = list(store.rglob("*"))
    for path in reversed(inside):
        path.chmod(folder if path.is_dir() else file)
    store.chmod(folder)
    _give_up_rights_of_root()
    try:
        yield
    finally:
        store.chmod(0o755)
        for path in inside:
            path.chmod(0o755 if path.is_dir() else 0o644)


def _give_up_rights_of_root() -> None:
    if os.geteuid() == 0:
        libc = ctypes.CDLL(None, use_errno=True)
        whose, rights = (ctypes.c_uint32 * 2)(0x20080522, 0), (ctypes.c_uint32 * 6)()
        assert libc.capget(whose, rights) == 0
        rights[0] &= ~_RIGHTS_OF_ROOT
        assert libc.capset(whose, rights) == 0


@contextmanager
def going_away(step: str, store: Path) -> Iterator[None]:
    """The store's folder goes away before the first step of a kind, and comes back after the command."""
    away = store.with_name("away")

    def told(what: str, when: str, *_: Any) -> None:
        if (what, when) == (step, "before") and not away.exists():
            os.rename(store, away)  # noqa: PTH104 (Path's own is watched)

    try:
        with watched(told):
            yield
    finally:
        if away.exists():
            shutil.rmtree(store, ignore_errors=True)
            os.rename(away, store)  # noqa: PTH104 (as above)


@contextmanager
def small_disk(place: Path) -> Iterator[bool]:
    """A disk of its own for a folder, where one may be mounted; whether it is there."""
    place.mkdir(exist_ok=True)
    mount = shutil.which("mount")
    asked = [mount or "mount", "-t", "tmpfs", "-o", f"size={_ROOM}", "tmpfs", str(place)]
    there = mount is not None and subprocess.run(asked, capture_output=True, check=False).returncode == 0
    try:
        yield there
    finally:
        if there:
            subprocess.run([shutil.which("umount") or "umount", str(place)], check=True)


@contextmanager
def filled(free: int, store: Path) -> Iterator[None]:
    """The disk of the store has only so much room left."""
    ballast = store.parent / "ballast"
    there = os.statvfs(store.parent)
    with ballast.open("wb") as file:
        file.write(bytes(max(0, there.f_bavail * there.f_frsize - free)))
    try:
        yield
    finally:
        ballast.unlink()


def limits(small: bool) -> dict[str, Limit]:
    """What may befall a command, by name."""
    sizes = (0, 30_000, 350_000) if small else range(0, 700_000, 12_000)
    steps = ("COMMIT",) if small else ("BEGIN", "INSERT", "UPDATE", "COMMIT", "write_bytes", "replace")
    return {
        **{f"file size {size}": (lambda store, size=size: file_size(size)) for size in sizes},
        "read-only": lambda store: modes(0o555, 0o444, store),
        "read-only folder": lambda store: modes(0o555, 0o644, store),
        "no permission": lambda store: modes(0o000, 0o000, store),
        **{f"gone at {step}": (lambda store, step=step: going_away(step, store)) for step in steps},
    }


def full_disks(small: bool) -> dict[str, Limit]:
    """How full the disk may be, by name."""
    free = (0, 40_000) if small else range(0, 800_000, 12_288)
    return {f"free {n}": (lambda store, n=n: filled(n, store)) for n in free}


def try_all(
    cases: Iterable[Known], faulty: dict[str, Limit], base: Path, place: Path
) -> tuple[int, Counter[str]]:
    """Every command under every fault; how many were tried and what was found."""
    tried, found = 0, Counter[str]()
    for known in cases:
        for name, limit in faulty.items():
            store = kills.fresh(base, place)
            if known.out is not None:
                known.out.write_bytes(OLD)
            ended = befall(store, known, limit)
            tried += 1
            found.update(
                f"{' '.join(known.words[:2])}, {name}: {words}" for words in faults(known, store, ended)
            )
    return tried, found


def readable(base: Path, place: Path) -> list[str]:
    """Whether a store that may only be read answers as before."""
    asked: list[Words] = [
        ("page", "SM-70", "4-12"),
        ("part", "7731-21"),
        ("check",),
        ("week", "--week", "2026-W47"),
    ]
    found = []
    for words in asked:
        plain = shopfloor.run(kills.fresh(base, place), words)
        known = Known(words, plain[0], [], None, b"")
        status, said = befall(place, known, lambda store: modes(0o555, 0o444, store))
        if (status, said) != (plain[0], f"{plain[1]}\n{plain[2]}"):
            found.append(f"{words[0]} on a store that may only be read: {said[-200:]}")
    return found


def main(typed: list[str] | None = None) -> dict[str, Any]:
    """Let everything befall every command; the counts."""
    options = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    options.add_argument("--small", action="store_true")
    given = options.parse_args(typed)
    counts: dict[str, Any] = {}
    with tempfile.TemporaryDirectory(prefix="shortage-") as name:
        room = Path(name).resolve()
        base, work = shopfloor.build(room / "base"), room / "work" / "store"
        with small_disk(room / "disk") as there:
            cases = commands(room, base)
            tried, found = try_all(cases, limits(given.small), base, work)
            counts["limits, permissions, folders"] = {"tried": tried, "found": dict(found)}
            counts["readable"] = {"tried": 4, "found": dict.fromkeys(readable(base, work), 1)}
            fill = full_disks(given.small) if there else {}
            tried, found = try_all(cases, fill, base, room / "disk" / "store")
            counts["full disk"] = {"tried": tried, "found": dict(found)}
    return counts


if __name__ == "__main__":
    print(json.dumps(done := main(), indent=2))
    sys.exit(1 if any(part["found"] for part in done.values()) else 0)
