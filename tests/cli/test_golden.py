"""What people see, word for word. BENCHLEAF_GOLDEN=write writes the files anew: read the difference."""

import datetime as dt
import os
from pathlib import Path

import pytest

GOLDEN = Path(__file__).parent / "golden"
CALLS: dict[str, list[str]] = {
    "notes": ["notes"],
    "publications": ["publications", "--pages"],
    "statements": ["statements", "--note", "vb120"],
    "page": ["page", "vm30", "4.12"],
    "page_empty": ["page", "VM-30", "4-13"],
    "procedure_new_kit": [
        *["procedure", "--model", "vr30", "--serial", "5300", "--kit", "7751-1"],
        *["--page", "4-12", "--on", "2026-11-24"],
    ],
    "procedure_old_kit": [
        *["procedure", "--model", "VR 30", "--serial", "5300", "--kit", "7750-1"],
        *["--section", "clutch pack", "--on", "2026-11-24"],
    ],
    "procedure_no_serial": ["procedure", "--model", "VR 30", "--kit", "7751-1", "--on", "2026-11-24"],
    "part": ["part", "7731.20"],
    "part_current": ["part", "7731", "24"],
    "part_unknown": ["part", "7731-29"],
    "kit_explained": ["kit", "7751-1", "--got", "6 friction disc, 5 steel disc"],
    "kit_hold": [
        "kit",
        "7751-1",
        "--got",
        "6 friction disc, 6 steel disc",
        "--model",
        "VR 30",
        "--serial",
        "5300",
    ],
    "kit_not_counted": ["kit", "7751-1"],
    "kit_unknown": ["kit", "7759-1", "--got", "6 friction disc"],
    "week": ["week", "--week", "2026-W48"],
    "week_empty": ["week", "--week", "2026-W02"],
    "doubts": ["doubts"],
    "find": ["find", "friction discs"],
    "find_part": ["find", "7731"],
    "missing": ["missing"],
}
HOLDS = {"kit_hold", "kit_unknown"}


@pytest.mark.parametrize("name", list(CALLS))
def test_human_output(name: str, run, fresh: Path) -> None:
    """The words, their order and their wrapping at 80 columns are those of the golden file."""
    result = run(*CALLS[name], store=fresh)
    assert result.exception is None or isinstance(result.exception, SystemExit)
    text = result.stdout.replace(dt.date.today().isoformat(), "TODAY")
    file = GOLDEN / f"{name}.txt"
    if os.environ.get("BENCHLEAF_GOLDEN") == "write":
        GOLDEN.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8", newline="\n")
    assert text == file.read_text(encoding="utf-8")
    assert result.stderr == ""


@pytest.mark.parametrize("name", list(CALLS))
def test_human_output_is_plain_and_narrow(name: str, run, fresh: Path) -> None:
    """Off a terminal: no escape sequence, no line past 80 columns but a line to type, no end blanks."""
    text = run(*CALLS[name], store=fresh).stdout
    assert "\x1b" not in text
    lines = text.splitlines()
    assert [row for row in lines if len(row) > 80 and not row.lstrip().startswith("benchleaf ")] == []
    assert [row for row in lines if row != row.rstrip()] == []


@pytest.mark.parametrize("name", list(CALLS))
@pytest.mark.parametrize("width", ["40", "200"])
def test_human_output_loses_nothing_at_other_widths(name: str, width: str, run, fresh: Path) -> None:
    """On a narrow or a wide screen every word of the 80 column output is still there, in one piece or two."""

    def letters(text: str) -> list[str]:
        return sorted(sign for sign in text if sign.isalnum())

    narrow = run(*CALLS[name], store=fresh, env={"COLUMNS": width})
    usual = run(*CALLS[name], store=fresh)
    assert letters(narrow.stdout) == letters(usual.stdout)


@pytest.mark.parametrize("name", list(CALLS))
def test_exit_status(name: str, run, fresh: Path) -> None:
    """0 answered; 1 nothing found, or a hold."""
    expected = {"part_unknown": 1, "kit_not_counted": 1, **dict.fromkeys(HOLDS, 1)}.get(name, 0)
    assert run(*CALLS[name], store=fresh).exit_code == expected
