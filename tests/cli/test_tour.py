"""`demo`: the main job on an invented maker's papers, by the commands themselves."""

import json
import os
from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def toured(tmp_path_factory: pytest.TempPathFactory):
    from benchleaf.cli.main import benchleaf
    from click.testing import CliRunner

    folder = tmp_path_factory.mktemp("demo") / "here"
    first = CliRunner().invoke(benchleaf, ["demo", str(folder)])
    second = CliRunner().invoke(benchleaf, ["demo", str(folder), "--json"])
    return folder, first, second


def test_every_stop_shows_the_line_typed_and_an_answer(toured) -> None:
    """Each line typed stands before its answer; no stop is wrong use or a defect; the folder is named."""
    folder, first, _ = toured
    assert first.exit_code == 0, first.output
    assert str(folder) in first.stdout
    assert first.stderr == ""
    typed = [row for row in first.stdout.splitlines() if row.startswith("  $ benchleaf --store store ")]
    commands = {row.split()[4] for row in typed}
    assert {"add", "page", "procedure", "part", "kit", "week"} <= commands
    assert "Your turn" in first.stdout


def test_the_tour_as_json_holds_every_answer(toured) -> None:
    """--json gives one object with each stop's own JSON; taken again, the papers are all held."""
    _, _, second = toured
    assert second.exit_code == 0, second.output
    stops = json.loads(second.stdout)["stops"]
    assert all("error" not in stop["answer"] for stop in stops)
    assert stops[0]["answer"]["totals"]["read"] == 0
    kits = [stop["answer"]["verdict"] for stop in stops if " kit " in stop["typed"]]
    assert "explained" in kits and "unexplained" in kits


def test_the_main_job_is_shown_right(toured) -> None:
    """An old kit keeps the old step and a new one gets the new: the same question, two texts."""
    _, _, second = toured
    stops = json.loads(second.stdout)["stops"]
    texts = [
        [step["text"] for step in stop["answer"]["steps"]] for stop in stops if " procedure " in stop["typed"]
    ]
    assert len(texts) >= 2 and all(texts)
    assert texts[0] != texts[1]


def test_a_folder_with_other_things_is_left_alone(run, tmp_path: Path) -> None:
    """The demo writes only into a new, an empty or its own folder."""
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("x", encoding="utf-8")
    assert run("demo", str(tmp_path / "mine")).exit_code == 2
    assert [p.name for p in (tmp_path / "mine").iterdir()] == ["letter.txt"]


def test_the_demo_leaves_the_user_s_store_alone(toured, run, tmp_path: Path) -> None:
    """Whatever --store or BENCHLEAF_STORE name is not touched."""
    folder, _, _ = toured
    before = dict(os.environ)
    assert run("demo", str(folder), store=tmp_path / "own").exit_code == 0
    assert not (tmp_path / "own").exists()
    assert dict(os.environ) == before
