"""Odd names of files, enclosures and members: nothing is written outside the store, and they are shown
inertly."""

import hashlib
import io
import json
import os
import sys
import zipfile
from email.message import EmailMessage
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest
from benchleaf.cli.sheets.files import file_name
from benchleaf.ingest.papers.enclosures import safe_name
from hostile_papers import call, unfit

NOTE = (
    "BULLETIN No. OL-{n}\nDate: {n} May 2019\nSubject: Discs\nModels: V 12\n\n"
    "Kit 88-{n:03d} is replaced by 89-{n:03d}.\n"
)
NAMES = (
    *(b"not utf-8 \xff\xfe.txt", b"new\nline.txt", b"esc\x1b[31m.txt", "turned\u202etxt.exe".encode()),
    *(
        b"x" * 251 + b".txt",
        b"CON.txt",
        b"NUL",
        b"dots.txt...",
        b"=cmd|' !A0.txt",
        b"<b>bold.txt",
        b"-rf.txt",
    ),
    *(b" lead.txt", b"..txt", b"tab\t.txt", b"bell\x07.txt", b"a%s%n{0}.txt", b"C:\\x.txt", b"list\xff.csv"),
    *("e\u0301.txt".encode(), "\u00e9.txt".encode(), b"$(id);`id`.txt", b"*.txt", b"~", b"#1.txt"),
)
UNSAFE = (
    *(
        "../../etc/passwd",
        "..\\..\\x.txt",
        "/etc/passwd",
        "C:\\Windows\\x.txt",
        "\\\\host\\share\\x",
        "..",
        ".",
    ),
    *(
        "CON",
        "con.txt",
        "NUL.tar.gz",
        "Aux .txt",
        "COM1.pdf",
        "LPT9",
        "lpt\u00b9.txt",
        "PRN",
        "a.txt...",
        " ",
    ),
    *("x\0y.txt", "a\nb.txt", "\x1b[31m.txt", "a\u202etxt.exe", "\ud800\udfff.txt", "\udcff.csv", "x" * 300),
    *(
        "\u00e9" * 300 + ".txt",
        "\U0001f600" * 130,
        "a:b.txt",
        "<img src=x>.txt",
        "?*|.pdf",
        "-rf",
        "",
        "\u200b",
    ),
)


def tree(folder: Path, without: Path) -> dict[str, str]:
    """Every file below a folder but for those of another, with a digest of its bytes; links by their aim."""
    found = {}
    for path in sorted(folder.rglob("*")):
        if path.is_symlink():
            found[ascii(path)] = str(path.readlink())
        elif path.is_file() and without not in path.parents:
            found[ascii(path)] = hashlib.sha256(path.read_bytes()).hexdigest()
    return found


def odd_files(folder: Path) -> int:
    """Notes under odd names, as far as this system takes them; how many there are."""
    folder.mkdir()
    made = 0
    for n, name in enumerate(NAMES, 1):
        words = "old number;new number\n77-001;77-002\n" if name.endswith(b".csv") else NOTE.format(n=n)
        try:
            (folder / os.fsdecode(name)).write_text(words)
        except (OSError, ValueError):
            continue  # the system itself has no such names
        made += 1
    return made


@pytest.fixture
def odd(tmp_path: Path) -> tuple[Path, int]:
    return tmp_path / "papers", odd_files(tmp_path / "papers")


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such names")
def test_odd_names_are_read_and_nothing_is_written_elsewhere(odd: tuple[Path, int], tmp_path: Path) -> None:
    """Every paper is read whatever its name is; what lies beside the store is as it was; each original in the
    store goes by its digest."""
    folder, made = odd
    before, store = tree(tmp_path, tmp_path / "store"), tmp_path / "store"
    told = json.loads(call(store, "add", "--json", str(folder)).stdout_bytes.decode("utf-8"))
    assert [f["outcome"] for f in told["files"]] == ["read"] * made and made > 20
    assert tree(tmp_path, store) == before
    kept = [p.name for p in (store / "originals").rglob("*") if p.is_file()]
    assert len(kept) == made and all(set(name) <= set("0123456789abcdef") for name in kept)
    assert call(store, "check").exit_code == 0


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such names")
def test_odd_names_are_shown_inertly(odd: tuple[Path, int], tmp_path: Path) -> None:
    """In words and as JSON, when they are taken in and whenever they are shown: no steering sign, no defect,
    JSON is valid UTF-8 with no half of a letter in it."""
    store = tmp_path / "store"
    for line in (
        ("add", str(odd[0])),
        ("notes",),
        ("statements",),
        ("week",),
        ("find", "discs"),
        ("reread",),
    ):
        for form in ((), ("--json",)):
            result = call(store, *line, *form)
            assert unfit(result.stdout + result.stderr) == [], (line, form)
            assert "Unexpected" not in result.stderr and "Traceback" not in result.stderr, result.stderr
            if form:
                told = json.dumps(json.loads(result.stdout_bytes.decode("utf-8")), ensure_ascii=False)
                assert told.encode("utf-8"), (line, form)


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right there")
def test_links_and_loops_in_a_folder_are_not_followed(tmp_path: Path) -> None:
    """A link to a file elsewhere, to the folder above, to itself and to nothing: none is read, and the search
    ends. A pipe is refused and not waited for."""
    (tmp_path / "secret.txt").write_text(NOTE.format(n=9))
    folder = tmp_path / "papers"
    (folder / "deep").mkdir(parents=True)
    (folder / "deep" / "a.txt").write_text(NOTE.format(n=1))
    for name, aim in (
        ("out", "../secret.txt"),
        ("up", ".."),
        ("self", "self"),
        ("gone", "nowhere"),
        ("d", "deep"),
    ):
        (folder / name).symlink_to(aim)
    os.mkfifo(folder / "pipe")
    told = json.loads(call(tmp_path / "store", "add", "--json", str(folder)).stdout)
    outcomes = {Path(f["path"]).name: f["outcome"] for f in told["files"]}
    assert outcomes == {"a.txt": "read", "pipe": "refused"}


def test_the_store_does_not_take_in_itself(tmp_path: Path) -> None:
    """A store inside the folder that is added is left out, by whatever way its path is written."""
    (tmp_path / "a.txt").write_text(NOTE.format(n=1))
    (tmp_path / "store").mkdir()
    for way in (tmp_path, tmp_path / "store" / ".."):
        told = json.loads(call(tmp_path / "store", "add", "--json", str(way)).stdout)
        assert [Path(f["path"]).name for f in told["files"]] == ["a.txt"]


@pytest.mark.parametrize("name", UNSAFE, ids=range(len(UNSAFE)))
@pytest.mark.parametrize("ending", ["", ".pdf", ".eml"])
def test_names_of_enclosures_become_plain(name: str, ending: str) -> None:
    """One part, of at most 255 bytes, without folders, controls, marks or Windows' devices (Microsoft,
    "Naming Files, Paths, and Namespaces": reserved names and signs, no full stop or blank at the end)."""
    safe = safe_name(name, ending)
    assert safe and safe == PurePosixPath(safe).name == PureWindowsPath(safe).name
    assert unfit(safe) == [] and not set(safe) & set('<>:"/\\|?*\n') and len(safe.encode("utf-8")) <= 255
    assert safe[0] not in ". " and safe[-1] not in ". "
    assert safe.split(".")[0].strip().upper() not in ("CON", "PRN", "AUX", "NUL", "COM1", "LPT9", "LPT\u00b9")


def test_enclosures_with_unsafe_names_stay_in_the_store(tmp_path: Path) -> None:
    """An e-mail's enclosures are kept in the store alone, whatever names they bear, each under its own."""
    mail = EmailMessage()
    mail["From"], mail["Subject"] = "a@b.example", "lists"
    mail.set_content("Please find the lists enclosed.")
    for n, name in enumerate(n for n in UNSAFE if not set(n) & set("\0\n\ud800\udfff\udcff")):
        rows = f"old number;new number\n71-{n:03d};72-{n:03d}\n"
        mail.add_attachment(rows.encode(), "text", "csv", filename=name)
    paper = tmp_path / "m.eml"
    paper.write_bytes(mail.as_bytes())
    before = tree(tmp_path, tmp_path / "store")
    told = json.loads(call(tmp_path / "store", "add", "--json", str(paper)).stdout)
    paths = [f["path"] for f in told["files"][1:]]
    assert len(set(paths)) == len(paths) > 20 and tree(tmp_path, tmp_path / "store") == before
    for path in paths:
        assert path.startswith(str(paper)) and ".." not in path.removeprefix(str(paper)).split("/")


def test_members_of_an_office_file_are_never_unpacked(tmp_path: Path) -> None:
    """A Word file with members named ../x, /x and C:\\x is read or refused; no file appears."""
    docx = pytest.importorskip("docx", reason="office papers are an extra")
    document = docx.Document()
    document.add_paragraph("Bulletin OL-1. Kit 88-001 is replaced by 89-001.")
    out = io.BytesIO()
    document.save(out)
    with zipfile.ZipFile(out, "a") as packed:
        for name in ("../evil.txt", "/evil.txt", "C:\\evil.txt", "word/../../evil.xml", "CON", "x\0y"):
            packed.writestr(name, "<x/>")
    (tmp_path / "a.docx").write_bytes(out.getvalue())
    before = tree(tmp_path, tmp_path / "store")
    told = json.loads(call(tmp_path / "store", "add", "--json", str(tmp_path / "a.docx")).stdout)
    assert told["files"][0]["outcome"] in ("read", "refused")
    assert tree(tmp_path, tmp_path / "store") == before
    assert not list(tmp_path.parent.glob("evil.*")) and not Path("/evil.txt").exists()


@pytest.mark.parametrize(
    "words", ["page ../../x 1", "note CON", "job a\nb\0c", "kit \u202e", "week /etc/passwd"]
)
def test_a_sheets_own_name_is_plain(words: str) -> None:
    """What stands in a number never leads a sheet into another folder."""
    made = file_name(words)
    assert made == Path(made).name and set(made) <= set(
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-"
    )
