"""The command line as a whole: help, exit status, errors, start-up."""

import json
import os
import subprocess
import sys
from pathlib import Path

import click
import pytest
from benchleaf.cli.helptext import help_of
from benchleaf.cli.main import COMMANDS, benchleaf
from benchleaf.graph.errors import StoreProblem
from click.testing import CliRunner

HEAVY = {
    "networkx",
    "pdfplumber",
    "pypdfium2",
    "sqlite_utils",
    "rich",
    "rapidfuzz",
    "sqlite3",
    "platformdirs",
}


def process(*words: str, **env: str) -> subprocess.CompletedProcess[str]:
    ours = ("BENCHLEAF", "NO_COLOR", "COLUMNS")
    surroundings = {k: v for k, v in os.environ.items() if not k.startswith(ours)}
    return subprocess.run(
        [sys.executable, "-m", "benchleaf.cli.main", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        errors="replace",
        env={**surroundings, **env},
        timeout=60,
        check=False,
    )


def test_bare_call_prints_help_and_is_wrong_use() -> None:
    """Without a command the help page is shown and the status is 2."""
    result = CliRunner().invoke(benchleaf, [])
    assert result.exit_code == 2
    assert "Usage: benchleaf" in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize("words", [["--help"], ["-h"], *([name, "-h"] for name in COMMANDS)])
def test_help_is_found_under_both_options_everywhere(words: list[str]) -> None:
    """`-h` and `--help` answer with status 0, on the group and on every command."""
    result = CliRunner().invoke(benchleaf, words)
    assert result.exit_code == 0
    assert result.stdout.startswith("Usage: benchleaf")


@pytest.mark.parametrize("name", list(COMMANDS))
def test_help_of_every_command_is_narrow_and_has_an_example(name: str) -> None:
    """No help line reaches 80 columns, and each page shows a line to type, with that command's name in it."""
    text = help_of(name)
    assert max(map(len, text.splitlines())) < 80
    _, _, shown = text.partition("Examples:")
    assert f"benchleaf {name}" in shown
    assert "--json" in text


@pytest.mark.parametrize("name", list(COMMANDS))
def test_static_help_lines_match_the_commands(name: str) -> None:
    """The group lists each command by the name it carries; its own module answers to that name."""
    context = click.Context(benchleaf)
    command = benchleaf.get_command(context, name)
    assert command is not None
    assert command.name == name
    assert command.help


@pytest.mark.parametrize("words", ["'--help'", "'-h'", "'--version'", "", "'nonsense'"])
def test_help_imports_no_command_and_nothing_heavy(words: str) -> None:
    """Help, the version and a misspelt name load no command module and none of the heavy libraries."""
    code = (
        "import sys\n"
        "from benchleaf.cli.main import benchleaf\n"
        "try:\n"
        f"    benchleaf.main([{words}], prog_name='benchleaf')\n"
        "except SystemExit:\n"
        "    pass\n"
        "print('LOADED', *sorted(sys.modules))\n"
    )
    call = [sys.executable, "-c", code]
    done = subprocess.run(call, capture_output=True, text=True, timeout=60, check=True)
    loaded = done.stdout.rpartition("LOADED")[2].split()
    assert "benchleaf.cli.main" in loaded
    assert [m for m in loaded if m.split(".")[0] in HEAVY] == []
    assert [m for m in loaded if m.startswith("benchleaf.cli.commands.")] == []
    assert [m for m in loaded if m.startswith("benchleaf.ingest")] == []


def test_version() -> None:
    """`--version` names the program and the installed version."""
    from importlib.metadata import version

    done = process("--version")
    assert done.returncode == 0
    assert done.stdout.strip() == f"benchleaf {version('benchleaf')}"


def test_a_misspelt_command_is_answered_with_the_nearest() -> None:
    """`procedur` is wrong use, and `procedure` is offered."""
    result = CliRunner().invoke(benchleaf, ["procedur"])
    assert result.exit_code == 2
    assert "Did you mean procedure" in result.stderr


def test_no_store_names_the_remedy(tmp_path: Path) -> None:
    """Asking a folder without a store fails with status 1 and says to run `benchleaf add`; no traceback."""
    done = process("--store", str(tmp_path / "none"), "notes")
    assert done.returncode == 1
    assert done.stdout == ""
    assert "benchleaf add" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "none").exists()


def test_store_comes_from_the_environment(held: Path) -> None:
    """BENCHLEAF_STORE names the store when --store does not."""
    done = process("notes", "--json", BENCHLEAF_STORE=str(held))
    assert done.returncode == 0
    assert len(json.loads(done.stdout)["notes"]) == 4


def test_store_is_else_the_user_data_folder(tmp_path: Path) -> None:
    """Without both, the platform's user data folder is meant (XDG Base Directory, XDG_DATA_HOME)."""
    if sys.platform != "linux":
        pytest.skip("the variable is Linux's")
    done = process("notes", XDG_DATA_HOME=str(tmp_path))
    assert done.returncode == 1
    assert str(tmp_path / "benchleaf") in done.stderr.replace("\n", "")


def test_problems_are_json_too_where_asked(run, tmp_path: Path) -> None:
    """With --json a problem is one JSON object on standard output, its words on standard error, status 1."""
    result = run("page", "VM-30", "9-99", "--json")
    assert result.exit_code == 1
    error = json.loads(result.stdout)["error"]
    assert set(error) == {"message", "near", "remedy"}
    assert "9-99" in error["message"]
    assert "9-99" in result.stderr


def test_wrong_use_is_json_too_where_asked(run) -> None:
    """A wrong option with --json: one JSON object, status 2."""
    result = run("notes", "--json", "--nonsense")
    assert result.exit_code == 2
    assert "nonsense" in json.loads(result.stdout)["error"]["message"]


def test_a_defect_is_told_without_traceback(run, monkeypatch: pytest.MonkeyPatch) -> None:
    """An unexpected exception: status 1, named as a defect with its text in one line, and no traceback."""

    def broken(self: object) -> None:
        raise ZeroDivisionError("first line\nsecond line")

    monkeypatch.setattr("benchleaf.cli.session.Session.read", broken)
    result = run("notes")
    assert result.exit_code == 1
    assert "ZeroDivisionError: first line second line" in result.stderr
    assert "defect in benchleaf" in result.stderr
    assert "Traceback" not in result.stderr
    traced = run("notes", env={"BENCHLEAF_TRACE": "1"})
    assert "Traceback" in traced.stderr


def test_a_named_error_keeps_its_remedy_and_status(run, monkeypatch: pytest.MonkeyPatch) -> None:
    """A BenchleafError shows its message and its remedy, with its own status."""

    def locked(self: object) -> None:
        raise StoreProblem("the store is busy.", "Try again.")

    monkeypatch.setattr("benchleaf.cli.session.Session.read", locked)
    result = run("notes")
    assert result.exit_code == StoreProblem.status
    assert result.stderr == "benchleaf: the store is busy.\nTry again.\n"


def test_ctrl_c_ends_with_130(run, monkeypatch: pytest.MonkeyPatch) -> None:
    """An interrupt ends with the shell's status for it (128 + signal 2), quietly."""

    def interrupted(self: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("benchleaf.cli.session.Session.read", interrupted)
    result = run("notes")
    assert result.exit_code == 130
    assert "Stopped." in result.stderr


@pytest.mark.skipif(os.name != "posix", reason="a pipe closed by its reader is told this way on POSIX only")
@pytest.mark.parametrize("form", [[], ["--json"]])
def test_a_reader_that_leaves_is_no_error(held: Path, form: list[str]) -> None:
    """`benchleaf statements | head -1`: nothing on standard error, no traceback."""
    with subprocess.Popen(
        [sys.executable, "-m", "benchleaf.cli.main", "--store", str(held), "statements", *form],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as running:
        assert running.stdout is not None and running.stderr is not None
        running.stdout.close()
        errors = running.stderr.read()
        running.wait(timeout=60)
    assert errors == ""
    assert running.returncode in (0, 1)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437"])
def test_a_narrow_encoding_costs_signs_and_not_the_answer(encoding: str, held: Path) -> None:
    """On a console that cannot show every sign the page is still printed; its JSON needs ASCII only."""
    for form in ([], ["--json"]):
        words = ["--store", str(held), "page", "VM-30", "4-12", *form]
        done = process(*words, PYTHONIOENCODING=encoding, PYTHONUTF8="0")
        assert done.returncode == 0, done.stderr
        assert "cover screws" in done.stdout


def test_store_after_the_command_is_answered_with_its_place(run) -> None:
    """`benchleaf notes --store DIR` is wrong use; the message says where --store goes."""
    result = run("notes", "--store", "x")
    assert result.exit_code == 2
    assert "before the command's name" in result.stderr


def test_json_may_stand_before_or_after_what_is_asked(run) -> None:
    """`page --json PUB PAGE` and `page PUB PAGE --json` are the same call."""
    before, after = run("page", "--json", "VM-30", "4-12"), run("page", "VM-30", "4-12", "--json")
    assert before.exit_code == after.exit_code == 0
    assert json.loads(before.stdout) == json.loads(after.stdout)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no /dev/full here")
@pytest.mark.parametrize("typed", [("pack", "--help"), ("find", "ring", "--json")])
def test_standard_output_on_a_full_disk_is_told_plainly(tmp_path: Path, typed: tuple[str, ...]) -> None:
    """Where the answer cannot be written, one message says so and what to do, with a status, and nothing of a
    defect or a traceback."""
    with Path("/dev/full").open("w") as full:
        ended = subprocess.run(
            [sys.executable, "-m", "benchleaf.cli.main", "--store", str(tmp_path), *typed],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert ended.returncode == 1
    assert "could not be written" in ended.stderr and "Traceback" not in ended.stderr
    assert "defect" not in ended.stderr
