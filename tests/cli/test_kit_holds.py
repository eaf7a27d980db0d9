"""A kit on hold: kept with what came, ended by a note that explains it, lifted by a person."""

import json
from pathlib import Path

GOT = "5 friction disc, 5 steel disc"


def _note(folder: Path) -> Path:
    """A letter that explains the pack of five and five, and its step."""
    path = folder / "vb130.txt"
    path.write_text(
        "Vellmar\nService bulletin VB 130\nDate: 3 May 2024\nSubject: Clutch kit\nModels: VR 30\n\n"
        "Kit 7750-1 now contains 5 friction discs and 5 steel discs.\n\n"
        "In manual VM-30, page 4-12, item 3 is replaced by the following:\n\n"
        '"Stack the discs in turn, starting with a friction disc and ending with a steel disc. '
        'Count: 5 friction discs and 5 steel discs."\n',
        encoding="utf-8",
    )
    return path


def test_a_hold_is_kept_with_what_came(run, fresh: Path) -> None:
    """What came is written down with the hold, and asking the same again sets no second one."""
    for _ in range(2):
        result = run("kit", "7750-1", "--got", GOT, "--json", store=fresh)
        assert result.exit_code == 1
    (hold,) = json.loads(result.stdout)["holds"]
    assert [(line["description"], line["quantity"]) for line in hold["came"]] == [
        ("friction disc", 5),
        ("steel disc", 5),
    ]


def test_a_note_that_explains_what_came_ends_the_hold(run, fresh: Path, tmp_path: Path) -> None:
    """When the missing note is added, the hold is over, the program says so, and nobody has to lift it."""
    assert run("kit", "7750-1", "--got", GOT, store=fresh).exit_code == 1
    added = run("add", str(_note(tmp_path)), store=fresh)
    assert "7750-1: the hold is over, explained by" in added.stderr and "VB 130" in added.stderr
    again = run("kit", "7750-1", "--got", GOT, "--json", store=fresh)
    shape = json.loads(again.stdout)
    assert (shape["verdict"], shape["hold"], shape["holds"]) == ("explained", False, [])
    assert again.exit_code == 0


def test_what_was_found_is_evidence(run, fresh: Path) -> None:
    """What was in the unit is told beside the answer, and changes neither verdict nor hold."""
    plain = json.loads(run("kit", "7750-1", "--got", GOT, "--json", store=fresh).stdout)
    both = json.loads(
        run("kit", "7750-1", "--got", GOT, "--found", "5 friction, 6 steel", "--json", store=fresh).stdout
    )
    assert (plain["verdict"], plain["hold"]) == (both["verdict"], both["hold"])
    assert plain["found"] is None and "never authority" in both["found"]["sentences"][-1]


def test_the_missing_note_is_asked_for(run, fresh: Path) -> None:
    """A pack that cannot be stacked as the step asks gives the arithmetic and the words for the telephone."""
    shape = json.loads(run("kit", "7750-1", "--got", GOT, "--json", store=fresh).stdout)
    assert any("cannot be built" in words for words in shape["missing_note"]["arithmetic"])
    assert "7750-1" in shape["missing_note"]["ask"]
