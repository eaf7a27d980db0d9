"""Originals: kept unchanged under their hash, lasting before the row that names them."""

import hashlib
import os
import signal
import stat
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.errors import StoreProblem, WrongUse
from benchleaf.graph.store import Store

DATA = b"the bytes of a bulletin"
SHA = hashlib.sha256(DATA).hexdigest()


def test_original_is_kept_under_its_hash(tmp_path: Path) -> None:
    """The kept file has the very bytes, its name is their SHA-256, and nothing else is left in the folder."""
    with Store.open(tmp_path, create=True) as store:
        store.keep_original(SHA, DATA)
        assert store.original(SHA).read_bytes() == DATA
    assert [p.name for p in (tmp_path / "originals").iterdir()] == [SHA]


def test_wrong_hash_is_refused(tmp_path: Path) -> None:
    """Bytes are not kept under a hash that is not theirs, nor under a name that is no hash."""
    with Store.open(tmp_path, create=True) as store:
        with pytest.raises(WrongUse):
            store.keep_original("0" * 64, DATA)
        with pytest.raises(WrongUse):
            store.original("../../etc/passwd")
    assert list((tmp_path / "originals").iterdir()) == []


def test_damaged_original_is_written_anew(tmp_path: Path) -> None:
    """Keeping the same bytes again heals a kept file that was changed."""
    with Store.open(tmp_path, create=True) as store:
        store.keep_original(SHA, DATA)
        store.original(SHA).write_bytes(b"x" * len(DATA))
        store.keep_original(SHA, DATA)
        assert store.original(SHA).read_bytes() == DATA


def test_order_of_writing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bytes are synchronised before the rename, and the folder after it."""
    done: list[str] = []
    sync, rename = os.fsync, Path.replace

    def watched_sync(handle: int) -> None:
        done.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        sync(handle)

    def watched_rename(path: Path, to: Path) -> Path:
        done.append("rename")
        return rename(path, to)

    with Store.open(tmp_path, create=True) as store:
        monkeypatch.setattr(os, "fsync", watched_sync)
        monkeypatch.setattr(Path, "replace", watched_rename)
        store.keep_original(SHA, DATA)
    assert done[-3:] == ["file", "rename", "folder"]


def test_full_disk_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An original that cannot be written is a StoreProblem with a remedy, and leaves no half file."""

    def full(path: Path, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    with Store.open(tmp_path, create=True) as store:
        monkeypatch.setattr(Path, "write_bytes", full)
        with pytest.raises(StoreProblem, match="No space") as problem:
            store.keep_original(SHA, DATA)
    assert problem.value.remedy
    assert list((tmp_path / "originals").iterdir()) == []


KILLED = """
    import hashlib, os, signal, sys
    from pathlib import Path
    from benchleaf.graph.store import Store
    data = b"the bytes of a bulletin"
    store = Store.open(Path(sys.argv[1]), write=True)
    Path.replace = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
    store.keep_original(hashlib.sha256(data).hexdigest(), data)
"""


@pytest.mark.skipif(os.name == "nt", reason="SIGKILL is a signal of POSIX")
def test_kill_before_the_rename_leaves_no_wrong_original(tmp_path: Path) -> None:
    """A kill before the rename leaves no file under the hash; the next run keeps it, and the store is
    whole."""
    Store.open(tmp_path, create=True).close()
    child = [sys.executable, "-c", textwrap.dedent(KILLED), str(tmp_path)]
    assert subprocess.run(child, check=False).returncode == -signal.SIGKILL
    with Store.open(tmp_path, write=True) as store:
        assert not store.original(SHA).exists()
        assert list(store.original_files()) == []
        store.keep_original(SHA, DATA)
        assert [p.name for p in store.original_files()] == [SHA]
        assert check(store).problems == ()
