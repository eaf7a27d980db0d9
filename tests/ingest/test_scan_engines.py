"""Which engine reads. No outside source."""

import socket

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.scan import engines as room
from benchleaf.ingest.scan.engines import Engines, engines


def installed(monkeypatch: pytest.MonkeyPatch, rapid: str | None, tesseract: str | None) -> None:
    monkeypatch.setattr(room, "rapid_version", lambda: rapid)
    monkeypatch.setattr(room, "tesseract_version", lambda: tesseract)


def test_both_engines_are_taken_where_both_are_there(monkeypatch: pytest.MonkeyPatch) -> None:
    """By itself the choice is rapidocr with tesseract's second reading; the names are kept with versions."""
    installed(monkeypatch, "3.9.1", "5.3.0")
    assert engines() == Engines("3.9.1", "5.3.0")
    assert engines().reader == "rapidocr 3.9.1 + tesseract 5.3.0, benchleaf scan 1"


def test_tesseract_alone_is_used_where_it_is_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the extra, Debian's program reads."""
    installed(monkeypatch, None, "5.3.0")
    assert engines() == Engines(None, "5.3.0")


def test_a_choice_is_kept_to(monkeypatch: pytest.MonkeyPatch) -> None:
    """Who chooses one engine gets that one alone."""
    installed(monkeypatch, "3.9.1", "5.3.0")
    assert engines("rapidocr") == Engines("3.9.1", None)
    assert engines("tesseract") == Engines(None, "5.3.0")


@pytest.mark.parametrize(
    ("choice", "rapid", "tesseract", "command"),
    [
        ("auto", None, None, "pip install 'benchleaf[scan]'"),
        ("rapidocr", None, "5.3.0", "pip install 'benchleaf[scan]'"),
        ("tesseract", "3.9.1", None, "apt install tesseract-ocr"),
        ("both", "3.9.1", None, "apt install tesseract-ocr"),
        ("both", None, "5.3.0", "pip install 'benchleaf[scan]'"),
    ],
)
def test_what_is_missing_is_named(
    monkeypatch: pytest.MonkeyPatch, choice: str, rapid: str | None, tesseract: str | None, command: str
) -> None:
    """A refusal names the command that adds the engine wanted."""
    installed(monkeypatch, rapid, tesseract)
    with pytest.raises(RefusedFile) as refused:
        engines(choice)  # type: ignore[arg-type]  # the parameters are the literals
    assert command in refused.value.remedy


def test_rapidocr_reads_without_a_network(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """The models come with the package: reading opens no connection and prints nothing."""
    rapid = pytest.importorskip("benchleaf.ingest.scan.rapid")
    if rapid.rapid_version() is None:
        pytest.skip("rapidocr is not installed: pip install 'benchleaf[scan]'")
    import numpy as np

    def no_network(*_: object, **__: object) -> None:
        raise AssertionError("a connection was tried")

    monkeypatch.setattr(socket.socket, "connect", no_network)
    monkeypatch.setattr(socket, "getaddrinfo", no_network)
    rapid._engine.cache_clear()
    assert rapid.lines_in(np.full((200, 300), 255, np.uint8)) == []
    rapid.read_lines([np.full((48, 200), 255, np.uint8)])
    assert capfd.readouterr() == ("", "")
