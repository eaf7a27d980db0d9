"""Reading on a cluster: a real scheduler and two worker processes on this machine, one of them killed."""

import datetime as dt
import os
import signal
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

import pytest
from benchleaf.graph.errors import BenchleafError, WrongUse
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths
from benchleaf.ingest.workers.cluster import Cluster
from benchleaf.ingest.workers.readers import Here

pytest.importorskip("distributed", reason="Dask's distributed scheduler is not installed")
NOW = dt.datetime(2026, 11, 25, 9)
PATIENCE = 90.0  # seconds for processes to start on a busy machine
LETTER = """Brackwell Hoists
Service letter BH-{at}
Date: 12 November 1999
Subject: Seals
Models: H 40

Seal 4471-2{at:02d} has been replaced by seal 4471-3{at:02d}.
"""


@contextmanager
def process(module: str, *words: str):
    line = [sys.executable, "-m", f"distributed.cli.{module}", *words, "--no-dashboard"]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "stdin": subprocess.DEVNULL}
    started = subprocess.Popen(line, **quiet)
    try:
        yield started
    finally:
        started.kill()
        started.wait()


@pytest.fixture
def cluster(tmp_path):
    """The address of a scheduler, and its two workers, each of one thread and without a guard."""
    told = tmp_path / "scheduler.json"
    with process("dask_scheduler", "--host", "127.0.0.1", "--port", "0", "--scheduler-file", str(told)):
        join = ("--scheduler-file", str(told), "--no-nanny", "--nthreads", "1", "--memory-limit", "0")
        with (
            process("dask_worker", *join, "--name", "one") as one,
            process("dask_worker", *join, "--name", "two") as two,
        ):
            yield _address(told), (one, two)


def _address(told: Path) -> str:
    import json

    from distributed import Client

    until = time.monotonic() + PATIENCE
    while not told.exists() and time.monotonic() < until:
        time.sleep(0.05)
    address = json.loads(told.read_text())["address"]
    with Client(address, timeout=PATIENCE, set_as_default=False) as client:
        client.wait_for_workers(2, timeout=PATIENCE)
    return address


def papers(room: Path) -> Path:
    folder = room / "papers"
    folder.mkdir()
    for at in range(14):
        (folder / f"n{at:02d}.txt").write_text(LETTER.format(at=at))
    (folder / "n05.bin").write_bytes(b"\0\1\2\xff" * 64)
    return folder


def added(store: Path, folder: Path, readers, progress=None):
    """What became of the files, and every row of the store."""
    with Store.open(store, create=True) as opened:
        report = add_paths(opened, [folder], NOW, progress, readers)
        return report, tuple(opened.connection.iterdump())


def test_a_cluster_stores_what_one_machine_stores_though_a_worker_dies(cluster, tmp_path):
    """With one of two workers killed half-way every paper is read once, in order, and the two stores' dumps
    are the same byte for byte; then the same with paths in place of bytes, on the worker that is left."""
    address, (one, _) = cluster
    folder, seen = papers(tmp_path), []

    def kill_one(outcome, _):
        seen.append(outcome)
        if len(seen) == 4:
            os.kill(one.pid, signal.SIGTERM if sys.platform == "win32" else signal.SIGKILL)

    here = added(tmp_path / "here", folder, Here())
    with Cluster(address) as readers:
        assert readers.width == 2
        there = added(tmp_path / "there", folder, readers, kill_one)
    assert here == there and one.poll() is not None
    assert [f.outcome for f in here[0].files].count("read") == 14
    with Cluster(address, sees_files=True) as readers:
        assert readers.width == 1
        assert added(tmp_path / "shared", folder, readers) == here


def test_no_scheduler_is_told_with_the_remedy(monkeypatch):
    """An address where nothing answers is a named error that says how to start a scheduler."""
    monkeypatch.setattr("benchleaf.ingest.workers.cluster._PATIENCE", "1s")
    with pytest.raises(BenchleafError) as told:
        Cluster("tcp://127.0.0.1:9")
    assert "dask scheduler" in told.value.remedy


def test_without_dask_the_extra_is_named(monkeypatch):
    """Where Dask is not installed, the error says what to install."""
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(WrongUse, match="distributed") as told:
        Cluster("tcp://127.0.0.1:9")
    assert "benchleaf[cluster]" in told.value.remedy
