"""`kit --slip`: the count at the parts counter from a packing slip."""

import json
from pathlib import Path


def csv(tmp_path: Path, text: str) -> Path:
    file = tmp_path / "slip.csv"
    file.write_text(text, encoding="utf-8")
    return file


def test_kit_by_slip(run, fresh: Path, tmp_path: Path) -> None:
    """`kit --slip` judges what the slip says came, and shows the rows it could not read."""
    good = csv(
        tmp_path, "Part no,Description,Qty\n7741-5,friction disc,6\n7741-6,steel disc,5\nPacked by,H.,\n"
    )
    result = run("kit", "7751-1", "--slip", str(good), store=fresh)
    assert result.exit_code == 0
    assert "Not read on the slip: Packed by | H." in result.stdout
    shape = json.loads(run("kit", "7751-1", "--slip", str(good), "--json", store=fresh).stdout)
    assert shape["verdict"] == "explained"
    assert shape["slip"]["unread"] == ["Packed by | H."]


def test_slip_and_count_together_are_wrong_use(run, tmp_path: Path) -> None:
    """--got and --slip may not contradict each other: one of them."""
    file = csv(tmp_path, "Part no,Qty\n7741-5,6\n")
    assert run("kit", "7751-1", "--slip", str(file), "--got", "6 friction disc").exit_code == 2
