import json
from collections.abc import Callable
from pathlib import Path

import pytest
from benchleaf.cli.main import benchleaf
from benchleaf.graph.errors import NotHeld, WrongUse
from click.testing import CliRunner, Result

Ask = Callable[..., Result]


@pytest.fixture
def ask(held: Path, monkeypatch: pytest.MonkeyPatch) -> Ask:
    monkeypatch.delenv("COLUMNS", raising=False)

    def call(value: str, item: str, *words: str) -> Result:
        place = ["--pub", "vm30", "--page", "4.12", "--item", item, "--model", "VR 30"]
        line = [value, *place, *words]
        return CliRunner().invoke(benchleaf, ["--store", str(held), "measure", *line], standalone_mode=False)

    return call


def test_within(ask: Ask) -> None:
    """A value within the range says so, shows the range as printed, and ends with status 0."""
    result = ask("1.35 mm", "6")
    assert result.return_value == 0
    assert result.stdout.startswith("WITHIN\n")
    assert "1.2 to 1.6 mm" in result.stdout


def test_above_by_how_much(ask: Ask) -> None:
    """Outside: by how much, in the shop's unit, and status 1."""
    result = ask("1.70 mm", "6", "--unit", "in")
    assert result.return_value == 1
    assert result.stdout.startswith("ABOVE by 0.003937 in\n")


def test_the_note_and_the_manual(ask: Ask) -> None:
    """The note that changed the value is named with its date, and what the manual said before."""
    shown = ask("29 Nm", "4")
    assert shown.return_value == 1
    assert "VB 101 (2021-05-04)" in shown.stdout
    assert "Tighten the cover screws to 29 N·m." in shown.stdout
    assert "IN DOUBT" in shown.stdout
    assert ask("31 Nm", "4").return_value == 0


def test_json(ask: Ask) -> None:
    """One JSON object with the verdict, the values and the step; the same status."""
    result = ask("31 Nm", "4", "--json")
    shape = json.loads(result.stdout)
    assert set(shape) == {
        "measured", "unit", "verdict", "by", "values", "reasons", "step", "warnings", "cautions",
    }  # fmt: skip
    assert (shape["verdict"], shape["step"]["changed_by"]) == ("within", ["VB 101"])
    assert shape["values"][0]["printed"] == "31 N·m"


def test_a_deleted_step(ask: Ask) -> None:
    """A step that a note deleted gives nothing, and the note is named."""
    result = ask("20 Nm", "5")
    assert result.return_value == 1
    assert "NOT SAID" in result.stdout and "deleted by VB 101" in result.stdout


def test_wrong_use(ask: Ask) -> None:
    """A value without a unit is wrong use (status 2); an unknown step is not answered (status 1)."""
    unread, unknown = ask("1.35", "6").exception, ask("1.35 mm", "99").exception
    assert isinstance(unread, WrongUse) and unread.status == 2
    assert isinstance(unknown, NotHeld) and unknown.status == 1


def test_a_shops_own_units(fresh: Path) -> None:
    """units.toml in the store folder is used."""
    own = '[[unit]]\nname = "div"\nkind = "length"\npint = "0.01 * millimeter"\nspellings = ["divs"]\n'
    (fresh / "units.toml").write_text(own, encoding="utf-8")
    line = ["130 divs", "--pub", "VM-30", "--page", "4-12", "--item", "6", "--model", "VR 30"]
    whole = ["--store", str(fresh), "measure", *line]
    assert CliRunner().invoke(benchleaf, whole, standalone_mode=False).return_value == 0
