"""`add` killed while its worker processes read. Run as a script with a number, it is killed so many times."""

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from importlib.resources import as_file, files
from pathlib import Path

import pytest
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.store import Store

PAPERS = 20
MARK = "KILLED_WITH_WORKERS"


def killed(folder: Path, kept: int, after: float) -> tuple[int, list[str]]:
    """How many papers are held after a kill, so many seconds after so many originals were kept, and what is
    wrong then; the store is new."""
    store, mark = folder / "store", f"{MARK}={folder}"
    with as_file(files("benchleaf.corpus_demo").joinpath("papers")) as papers:
        line = [sys.executable, "-m", "benchleaf.cli.main", "--store", str(store), "add", str(papers)]
        here = {**os.environ, MARK: str(folder), "BENCHLEAF_WORKERS": "2"}
        child = subprocess.Popen(line, env=here, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
        while child.poll() is None and len(list(store.glob("originals/*"))) < kept:
            time.sleep(0.01)
        time.sleep(after)
        child.send_signal(signal.SIGKILL)
        told = child.communicate()[0].decode()
        left = _left(mark)
        held, wrong = _held(store)
        again = subprocess.run(line, env=here, capture_output=True, check=False)
    names = {line.split("papers/")[1].split(":")[0] for line in told.splitlines() if line.startswith("read ")}
    wrong += [f"{name} was told as read and is not held" for name in names - held]
    wrong += [f"{len(left)} processes are left"] if left else []
    wrong += [] if again.returncode == 0 else [f"adding again ends with {again.returncode}"]
    return len(held), wrong


def _held(store: Path) -> tuple[set[str], list[str]]:
    if not (store / "benchleaf.db").is_file() or not (store / "benchleaf.db").stat().st_size:
        return set(), []
    with Store.open(store) as opened:
        return {file.name for file in opened.files()}, [p.message for p in check(opened).problems]


def _left(mark: str, seconds: float = 10.0) -> list[str]:
    """The processes with a mark in their environment that are still there after a while (Linux)."""
    until = time.monotonic() + seconds
    while (found := [p.parent.name for p in Path("/proc").glob("[0-9]*/environ") if mark in _read(p)]) and (
        time.monotonic() < until
    ):
        time.sleep(0.05)
    return found


def _read(environment: Path) -> str:
    try:
        return environment.read_bytes().decode("utf-8", "replace")
    except OSError:
        return ""


@pytest.mark.skipif(
    not Path("/proc/self/environ").exists(), reason="processes are found by /proc, as on Linux"
)
def test_a_killed_add_leaves_whole_papers_and_no_process(tmp_path: Path) -> None:
    """Killed by SIGKILL at any moment, `add` leaves a store that `check` finds whole, with every paper that
    was told as read; its workers end by themselves; and adding again works."""
    chance = random.Random(5)
    counts = []
    for kept in (0, 5, 12):
        (folder := tmp_path / str(kept)).mkdir()
        held, wrong = killed(folder, kept, chance.uniform(0.0, 0.05))
        counts.append(held)
        assert wrong == []
    assert 0 < max(counts) < PAPERS


if __name__ == "__main__":
    chance, counts = random.Random(7), []
    for number in range(int(sys.argv[1])):
        with tempfile.TemporaryDirectory() as room:
            held, wrong = killed(Path(room), chance.randrange(PAPERS - 1), chance.uniform(0.0, 0.05))
            counts.append(held)
            print(number, held, wrong, flush=True)
    print(f"{len(counts)} kills, between {min(counts)} and {max(counts)} papers held")
