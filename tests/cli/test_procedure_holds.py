"""A kit on hold shows on the procedure that would use it: first, loud, in the JSON and in the exit status."""

import datetime as dt
import json
from pathlib import Path

import pytest
from benchleaf.cli.main import benchleaf
from benchleaf.graph.kits.kit import kit_answer
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.store import Store
from click.testing import CliRunner

AT = dt.datetime(2026, 11, 24, 10, 0, tzinfo=dt.UTC)
ASK = ("procedure", "--model", "VR 30", "--serial", "5300", "--page", "4-12")


@pytest.fixture
def on_hold(fresh: Path) -> Path:
    """A store in which kit 7751-1 came one steel disc short."""
    came = parse_got("6 friction disc, 4 steel disc")
    with Store.open(fresh, write=True) as store:
        answer = kit_answer(store, "7751-1", came, "VR 30", "5300")
        assert answer.hold
        with store.transaction():
            store.set_hold(answer.kit, "one steel disc short", AT, came, "VR 30", "5300")
    return fresh


def _run(store: Path, *words: str):
    return CliRunner().invoke(benchleaf, ["--store", str(store), *words])


@pytest.mark.parametrize("kit", [("--kit", "7751-1"), ()])
def test_hold_is_shown_before_anything_else(on_hold: Path, kit: tuple[str, ...]) -> None:
    """Named or assumed, the kit's hold stands right under the title, once, and the exit status is 1."""
    answer = _run(on_hold, *ASK, *kit)
    assert answer.exit_code == 1
    title, second, *_ = answer.stdout.splitlines()
    assert title == "PROCEDURE IN FORCE"
    assert second.startswith("HOLD — kit 7751-1 is on hold since 2026-11-24: one steel disc short")
    assert answer.stdout.count("one steel disc short") == 1


def test_hold_in_json(on_hold: Path) -> None:
    """`holds` has the hold as it is written down and the present verdict; it is the first warning too."""
    answer = _run(on_hold, *ASK, "--json")
    assert answer.exit_code == 1
    told = json.loads(answer.stdout)
    (hold,) = told["holds"]
    names = {"kit", "reason", "set_at", "lifted_at", "lifted_by", "lifted_reason", "verdict", "reasons"}
    assert names <= hold.keys()
    assert (hold["kit"], hold["verdict"], hold["lifted_at"]) == ("7751-1", "unexplained", None)
    assert told["warnings"][0] == "kit 7751-1 is on hold since 2026-11-24: one steel disc short"
    assert told["steps"]


def test_the_older_kit_is_not_on_hold(on_hold: Path) -> None:
    """The hold is on its own number: with the kit before it there is none."""
    answer = _run(on_hold, *ASK, "--kit", "7750-1", "--json")
    assert answer.exit_code == 0 and json.loads(answer.stdout)["holds"] == []


def test_a_lifted_hold_is_shown_no_more(on_hold: Path) -> None:
    """Once a person lifted it, the procedure has no hold and answers with status 0."""
    words = ("kit", "7751-1", "--lift", "--initials", "AB", "--reason", "disc came by post")
    assert _run(on_hold, *words).exit_code == 0
    answer = _run(on_hold, *ASK, "--kit", "7751-1", "--json")
    assert answer.exit_code == 0 and json.loads(answer.stdout)["holds"] == []
