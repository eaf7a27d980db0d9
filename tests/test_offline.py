"""Nothing but the desk needs a network: every other command runs without one, OCR and printing included.

Two proofs at once: a hook in every Python process writes down and refuses whatever asks for a socket beyond
the machine's own (PEP 578's audit events), and where it can be, the processes run with no network
at all (Linux: `unshare --net`), Chromium and tesseract among them.
"""

import os
import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from benchleaf.cli.main import COMMANDS

HOOK = """
import os, sys

ASKING = ("socket.connect", "socket.bind", "socket.sendto", "socket.sendmsg", "socket.getaddrinfo",
          "socket.gethostbyname", "socket.gethostbyaddr", "urllib.Request", "http.client.connect")

def hears(event, told):
    if event not in ASKING:
        return
    if event.startswith("socket.") and hasattr(told[0], "family") and told[0].family.name == "AF_UNIX":
        return  # between a program's own processes
    if event == "socket.bind" and told[1][:2] == ("::1", 0):
        return  # urllib3, imported by the OCR engine, asks the system whether it has IPv6; nothing is sent
    with open(os.environ["ASKED_FOR"], "a") as file:
        file.write(f"{event} {told[1:]!r}\\n")
    raise PermissionError("no network here")

sys.addaudithook(hears)
"""
EVERYTHING = """
import shlex, sys
from pathlib import Path
from benchleaf.cli.main import benchleaf
from click.testing import CliRunner

for line in Path(sys.argv[1]).read_text().splitlines() if __name__ == "__main__" else ():
    done = CliRunner().invoke(benchleaf, ["--store", "demo/store", *shlex.split(line)])
    odd = done.exception is not None and not isinstance(done.exception, SystemExit)
    print(line.split()[0], done.exit_code, repr(done.exception) if odd else "")
"""
BOOK, UNIT = "'OHM 5204'", "--model 'RT 52' --serial 20600"
LINES = (
    "notes", "publications", "statements",
    f"page {BOOK} 1-14", f"procedure {UNIT} --page 1-14", "part K41-9030",
    "kit K41-9030 --got '6 friction disc, 6 steel disc'", "week", "find disc", "missing", "doubts --json",
    f"measure --pub {BOOK} --page 1-17 --item 4 '2.5 mm'",
    "pack --friction 5 --steel 6", "check", "backup copy",
    f"note --pub {BOOK} --page 1-14 --item 9 --action caution --text Look. --initials AB",
    f"job open 26-117 {UNIT} --page 1-14 --initials AB", "job list", "settle 1 no --initials AB",
    f"sheet page {BOOK} 1-14 --out page.html --pdf", "sheet week --out week.html", "reread --all --json",
    "add scan.png",
)  # fmt: skip


@pytest.fixture
def room(tmp_path: Path) -> Path:
    (tmp_path / "hook").mkdir()
    (tmp_path / "hook" / "sitecustomize.py").write_text(HOOK, encoding="utf-8")
    (tmp_path / "everything.py").write_text(EVERYTHING, encoding="utf-8")
    (tmp_path / "lines.txt").write_text("\n".join(LINES), encoding="utf-8")
    (tmp_path / "asked.txt").touch()
    return tmp_path


def bare() -> list[str]:
    """What runs a program without any network; nothing where the system has no such thing for us."""
    unshare = shutil.which("unshare")
    line = [unshare or "", "--map-root-user", "--net", "--"]
    if unshare and subprocess.run([*line, "true"], capture_output=True, check=False).returncode == 0:
        return line
    return []


def run(room: Path, *line: str) -> "subprocess.CompletedProcess[str]":
    clean = {n: v for n, v in os.environ.items() if not n.startswith(("BENCHLEAF_", "COLUMNS"))}
    here = {**clean, "PYTHONPATH": str(room / "hook"), "ASKED_FOR": str(room / "asked.txt")}
    whole = [*bare(), sys.executable, *line]
    return subprocess.run(whole, cwd=room, env=here, capture_output=True, text=True, timeout=240, check=False)


def test_the_hook_hears_and_refuses(room: Path) -> None:
    """A program that asks for a name, a connection or a page is refused and written down."""
    program = (
        "import socket, urllib.request\n"
        "for ask in (lambda: socket.create_connection(('192.0.2.1', 80), 1),\n"
        "            lambda: socket.getaddrinfo('desk.example', 80),\n"
        "            lambda: urllib.request.urlopen('http://desk.example/')):\n"
        "    try: ask()\n"
        "    except PermissionError: print('refused')\n"
        "    except OSError as error: print('refused' if 'no network' in str(error) else error)\n"
    )
    assert run(room, "-c", program).stdout.split() == ["refused"] * 3
    asked = (room / "asked.txt").read_text()
    assert "socket.getaddrinfo" in asked and "urllib.Request" in asked


@pytest.mark.skipif(not bare(), reason="the system gives us no room without a network")
def test_a_room_without_network_has_none(room: Path) -> None:
    """In it not even a connection to an address in figures can be begun."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        program = f"import socket; socket.create_connection(('127.0.0.1', {port}), 2)"
        line = [*bare(), sys.executable, "-c", program]
        assert subprocess.run(line, capture_output=True, timeout=60, check=False).returncode != 0


def test_every_command_but_the_desk_runs_without_a_network(room: Path) -> None:
    """The whole demo and every command on its store, OCR of a picture, the workers and `sheet --pdf` among
    them, ask for no socket and no name, and do what they do."""
    demo = run(room, "-m", "benchleaf.cli.main", "demo", "demo")
    assert "Traceback" not in demo.stderr
    assert (room / "demo" / "store" / "benchleaf.db").is_file(), demo.stderr
    _scan(room / "scan.png", room / "demo" / "papers")
    done = run(room, "everything.py", "lines.txt")
    assert done.returncode == 0, done.stderr
    told = [line.split(maxsplit=2) for line in done.stdout.splitlines()]
    assert [name for name, *_ in told] == [line.split()[0] for line in LINES]
    faults = [words for words in told if len(words) > 2 and "NoPrinter" not in words[2]]
    wrong = [words for words in told if words[1] == "2"]
    assert not faults and not wrong, (faults, wrong)
    if shutil.which("chromium"):
        assert (room / "page.pdf").read_bytes().startswith(b"%PDF")
    assert (room / "asked.txt").read_text() == ""


def test_every_command_is_among_them() -> None:
    """A command that is added must be added here too."""
    assert {line.split()[0] for line in LINES} | {"demo", "desk"} == set(COMMANDS)


def _scan(file: Path, papers: Path) -> None:
    """A page of the demo as a picture, so that OCR reads it; without the extra it is refused, offline too."""
    import pypdfium2

    paper = min(papers.glob("*.pdf"), key=lambda path: path.stat().st_size)
    with pypdfium2.PdfDocument(paper) as document:
        try:
            document[0].render(scale=1.5).to_pil().save(file)
        except ImportError:
            file.write_bytes(b"\x89PNG\r\n\x1a\n")
