"""A bounded scan of every address of the desk by hostile requests; `desk_scan.py` sends as many as wished."""

from pathlib import Path

import pytest
from desk_scan import FILES, HELD, HOSTILE, Asked, Scan, scan, watched
from flask import request

SENT = 250


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Scan:
    return Scan(tmp_path_factory.mktemp("scan"))


@pytest.fixture
def made(begun: Scan) -> Scan:
    begun.renew()
    return begun


def test_no_request_ends_in_a_fault(tmp_path: Path) -> None:
    """Whatever is sent to whatever address: no fault, nothing of the program's inside, no file written
    outside the store's folder, and the guarding headers on every answer."""
    done = scan(SENT, 2611, tmp_path)
    assert done.sent >= SENT
    assert done.statuses[200] > SENT // 10
    assert len(done.pages) > 20


def plain(at: str, method: str = "GET", **how: object) -> Asked:
    fields: dict[str, object] = {
        "query": "",
        "fields": (),
        "files": (),
        "heads": (),
        "token": True,
        "raw": None,
    }
    return Asked(at, method, **(fields | how))  # type: ignore[arg-type]  # the few fields of a test's request


def test_every_address_takes_every_hostile_word(made: Scan) -> None:
    """Each rule of the desk is asked once in every method that it takes, its places filled with hostile words
    and the fields of all forms beside them."""
    words = (*HOSTILE, *HELD)
    asked = 0
    for rule in made.made.url_map.iter_rules():
        for method in sorted((rule.methods or set()) & {"GET", "POST"}):
            for shift in (0, 11):
                named = tuple((n, words[(i * 7 + asked + shift) % len(words)]) for i, n in enumerate(FIELDS))
                at = "/".join("%3Cx%3E" if p.startswith("<") else p for p in rule.rule.split("/"))
                files = (("files", "../x\n.csv", FILES[asked % len(FILES)]),)
                query = "&".join(f"{n}={i}" for i, (n, _) in enumerate(named)) if shift else ""
                made.send(plain(at, method, query=query, fields=named, files=files))
                asked += 1
    assert asked >= 80


FIELDS = ("kit", "got", "number", "page", "publication", "item", "value", "model", "serial", "on", "initials")


def test_the_scan_sees_a_fault(made: Scan) -> None:
    """A page that fails, one that tells of its inside, and one that lacks a guard are each found."""

    def failing() -> str:
        kind = request.args["kind"]
        if kind == "fault":
            raise RuntimeError
        return "Traceback (most recent call last)"

    made.made.view_functions["papers.publications"] = failing
    for kind in ("fault", "trace"):
        with pytest.raises(AssertionError):
            made.send(plain("/publications", query=f"kind={kind}"))
    made.made.after_request_funcs[None].clear()
    with pytest.raises((AssertionError, KeyError)):
        made.send(plain("/"))


def test_the_scan_sees_a_file_written_outside(tmp_path: Path) -> None:
    """Python's audit events tell of every file opened for writing, made, moved or removed (PEP 578)."""
    room = tmp_path / "room"
    room.mkdir()
    with watched(room) as found:
        (room / "inside").write_text("x")
        assert not found
        (tmp_path / "outside").write_text("x")
        (tmp_path / "folder").mkdir()
        (room / "inside").rename(tmp_path / "moved")
        (tmp_path / "moved").unlink()
    assert [event for event, _ in found] == ["open", "os.mkdir", "os.rename", "os.remove"]
