"""doubts, settle and reread as people type them: what is at stake first, and the line that settles it."""

import datetime as dt
import json
import shlex
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.db.corrections import FIELDS, HEAD_FIELDS
from benchleaf.graph.model import (
    Applies,
    Cancels,
    Contents,
    Document,
    KitLine,
    Note,
    Override,
    SheetText,
    Source,
    Statement,
    Supersession,
    Target,
)
from benchleaf.graph.stakes import doubts
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths
from small_store import ALL, RECEIVED, build

DAY = dt.date(2024, 2, 3)
COMMON = {
    "note": "VB 130",
    "date": DAY,
    "quote": "words",
    "source": Source("vb-130.txt", 1),
    "standing": "doubtful",
    "why": ("not sure",),
}
LETTER = """Brackwell Hoists
Service letter BH-7
Date: 05/06/1999
Subject: Seals
Models: H 40

Seal 4471-208 was swapped for seal 4471-301.

Ring 5510-22 has been replaced by ring 5510-24.
"""


def _change(target: Target, applies: Applies = ALL) -> Override:
    return Override(**COMMON, action="delete", target=target, applies=applies)  # type: ignore[arg-type]


SAID: tuple[Statement, ...] = (
    Cancels(**COMMON, cancels="VB 999"),  # type: ignore[arg-type]
    _change(Target("VM-99", "1", "2")),
    _change(Target("VM-30", "4-99", "2")),
    Cancels(**COMMON, cancels="VB 101"),  # type: ignore[arg-type]
    Supersession(**COMMON, old=("7731-50",), new=("7731-51",)),  # type: ignore[arg-type]
    Contents(**COMMON, kit="7761-1", lines=(KitLine(None, "disc", 5),)),  # type: ignore[arg-type]
    _change(Target("VM-30", "4-12", "4")),
    _change(Target("VM-30", "4-12", "2"), Applies(models=("VR 30",), serial_to="5000")),
)


@pytest.fixture
def waiting(tmp_path: Path) -> Path:
    """The small store with a note whose statements are all doubtful, and an unclear head."""
    unclear = ("“03/02/2024” may be 3 February 2024 or 2 March 2024",)
    note = Note(
        "VB 130", DAY, "All sorts", None, "maker", None, ALL, "vb-130.txt", unclear=unclear, statements=SAID
    )
    paper = Document("c" * 64, "vb-130.txt", "note", (SheetText(1, None, "words"),), notes=(note,))
    return build(tmp_path / "store", paper)


def _titles(text: str) -> list[str]:
    starts = ("In work", "Steps of", "Contents of", "Part numbers", "Notes in force", "Heads of", "Not held")
    return [row for row in text.splitlines() if row.startswith(starts)]


def test_the_most_urgent_comes_first(run, waiting: Path) -> None:
    """Steps of held manuals, kits, part numbers, notes in force, heads of notes, last what is not held."""
    text = run("doubts", store=waiting).stdout
    assert _titles(text) == [
        "Steps of VM-30, page 4-12",
        "Contents of kit 7761-1",
        "Part numbers",
        "Notes in force",
        "Heads of notes",
        "Not held: note VB 999",
        "Not held: VM-30, page 4-99",
        "Not held: VM-99, page 1",
    ]
    assert "benchleaf settle --note 'VB 130' yes --date ... --initials ..." in text


def test_units_in_work_come_before_all(run, waiting: Path) -> None:
    """A doubt on a step of a unit in work, and on a kit fitted to it, stands first with its job; one that
    does not cover the unit's serial number does not, and a shipped unit is in work no longer."""
    with Store.open(waiting, write=True) as store, store.transaction():
        store.open_job("J-1", "VR 30", "5210", ("7761-1",), DAY)
        store.open_job("J-0", "VR 30", "5210", (), DAY)
        store.move_job("J-0", "shipped", DAY)
    shape = json.loads(run("doubts", "--json", store=waiting).stdout)
    urgent = [d for d in shape["doubts"] if d["stake"]["kind"] == "job"]
    assert {d["type"] for d in urgent} == {"override", "contents"}
    assert {tuple(d["stake"]["jobs"]) for d in urgent} == {("J-1",)}
    assert shape["doubts"][: len(urgent)] == urgent
    assert [d["target"]["item"] for d in shape["doubts"] if d["stake"]["kind"] == "step"] == ["2"]
    assert "In work: job J-1 (VR 30 serial 5210)" in run("doubts", store=waiting).stdout


def test_json_tells_stake_line_and_picture(run, waiting: Path) -> None:
    """Each reading and each head bears its stake, the line that settles it, and a picture or null."""
    shape = json.loads(run("doubts", "--json", store=waiting).stdout)
    ranks = [d["stake"]["rank"] for d in shape["doubts"]]
    assert ranks == sorted(ranks) and len(ranks) == 9
    for one in (*shape["doubts"], *shape["notes"]):
        assert one["settle"].startswith("benchleaf settle ") and one["picture"] is None
        assert set(one["stake"]) == {"kind", "rank", "title", "jobs"}
    assert [n["note"] for n in shape["notes"]] == ["VB 130"]
    assert shape["notes"][0]["unclear"]


def test_the_line_of_a_head_settles_it(run, waiting: Path) -> None:
    """The line shown for a note's head, its blanks filled, gives the note its date and clears its doubts."""
    text = run("doubts", store=waiting).stdout
    line = next(row for row in text.splitlines() if "settle --note" in row)
    words = [{"...": "?"}.get(w, w) for w in shlex.split(line)[1:]]
    assert run(*words, store=waiting).exit_code == 2
    words[words.index("--date") + 1], words[-1] = "2024-03-02", "QZ"
    result = run(*words, "--json", store=waiting)
    assert result.exit_code == 0, result.output
    shape = json.loads(result.stdout)
    assert (shape["note"]["date"], shape["note"]["unclear"]) == ("2024-03-02", [])
    assert {s["date"] for s in shape["statements"]} == {"2024-03-02"}
    assert json.loads(run("doubts", "--json", store=waiting).stdout)["notes"] == []
    told = run("settle", "--note", "vb130", "back", "--initials", "QZ", store=waiting)
    assert told.exit_code == 0 and "DOUBT: “03/02/2024”" in told.stdout


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (["7"], 2),
        (["seven", "yes"], 2),
        (["0", "yes"], 2),
        (["7", "perhaps"], 2),
        (["7", "8", "yes"], 2),
        (["--note", "VB 130", "no"], 2),
        (["7", "yes", "--note", "VB 130"], 2),
        (["--note", "VB 130", "yes", "--item", "5"], 2),
        (["--note", "VB 999", "yes"], 1),
        (["7", "back"], 2),
    ],
)
def test_what_settle_does_not_take(words: list[str], status: int, run, waiting: Path) -> None:
    """A number without a verdict, a verdict without a number, both a statement and a head: wrong use; an
    unknown note is not held. Nothing is settled."""
    assert run("settle", *words, "--initials", "QZ", store=waiting).exit_code == status
    with Store.open(waiting) as store:
        assert store.settlements() == () and store.head_settlements() == ()


def test_a_word_may_be_taken_back(run, fresh: Path) -> None:
    """settle ID back: the doubt is there again with its reason."""
    run("settle", "7", "yes", "--item", "1", "--initials", "QZ", store=fresh)
    result = run("settle", "7", "back", "--initials", "QZ", "--json", store=fresh)
    assert result.exit_code == 0
    shape = json.loads(result.stdout)["statement"]
    assert (shape["standing"], shape["settled_by"], shape["target"]["item"]) == ("doubtful", None, None)
    assert shape["why"] == ["the words do not say which item is meant"]


def test_every_field_is_an_option_of_settle() -> None:
    """Whatever can be put right has its option on `settle`, under the same name."""
    from benchleaf.cli.commands.settle import command

    options = {name.lstrip("-").replace("-", "_") for p in command.params for name in p.opts}
    assert {*HEAD_FIELDS, *(f for fields in FIELDS.values() for f in fields)} <= options


def test_what_is_aimed_at_an_unnamed_book_may_be_held(waiting: Path) -> None:
    """A doubt that names no publication counts as a step as long as a held page may be meant."""
    with Store.open(waiting, write=True) as store:
        aims = (Target(None, "4-12", "1"), Target(None, "9-99", "1"))
        near, far = (replace(_change(aim), note="VB 131") for aim in aims)
        note = Note("VB 131", DAY, None, None, "maker", None, ALL, "x", statements=(near, far))
        paper = Document("d" * 64, "x", "note", (SheetText(1, None, "words"),), notes=(note,))
        with store.transaction():
            store.insert(paper, DAY, RECEIVED)
        assert [d.stake.kind for d in doubts(store, "VB 131")] == ["step", "not held"]


@pytest.fixture
def letters(tmp_path: Path) -> Path:
    """A store made by adding one letter, whose original is held."""
    (tmp_path / "bh7.txt").write_text(LETTER, encoding="utf-8")
    with Store.open(tmp_path / "store", create=True) as store:
        add_paths(store, [tmp_path / "bh7.txt"], RECEIVED)
    return tmp_path / "store"


def test_reread_tells_what_changed(run, letters: Path) -> None:
    """A wording learnt since: --dry-run tells what it would find and changes nothing, reread takes it over, a
    second reread finds all the same."""
    own = '[[phrase]]\nname = "swapped-for"\ntype = "supersession"\npattern = "{old} was swapped for {new}"\n'
    (letters / "phrases.toml").write_text(own, encoding="utf-8")
    looked = json.loads(run("reread", "--all", "--dry-run", "--json", store=letters).stdout)
    done = run("reread", "bh7", "--json", store=letters)
    assert done.exit_code == 0, done.output
    shape = json.loads(done.stdout)
    assert looked["dry_run"] is True and shape["dry_run"] is False
    (one,) = shape["files"]
    assert (one["file"], one["outcome"], one["reason"]) == ("bh7.txt", "changed", None)
    assert [s["from"] for s in one["new"]] == [["4471-208"]]
    assert one["gone"] == one["changed"] == one["kept"] == one["items"] == one["heads"] == []
    assert shape["totals"]["statements"] == {"new": 1, "gone": 0, "changed": 0, "kept": 0, "unchanged": 1}
    assert [f["outcome"] for f in looked["files"]] == ["changed"]
    again = run("reread", "--all", store=letters)
    assert again.stdout == "1 paper read again: 1 the same, 0 changed, 0 refused.\n"


def test_reread_for_people(run, letters: Path) -> None:
    """A table of what changed, with the words kept by a person's settling and what is no longer read."""
    own = '[[phrase]]\nname = "swapped-for"\ntype = "supersession"\npattern = "{old} was swapped for {new}"\n'
    (letters / "phrases.toml").write_text(own, encoding="utf-8")
    text = run("reread", "--all", store=letters).stdout
    assert "4471-208 became 4471-301" in text and "changed" in text
    with Store.open(letters) as store:
        (new,) = [s for s in store.statements() if "swapped" in s.quote and "4471" in s.quote]
    run("settle", str(new.id), "yes", "--initials", "QZ", store=letters)
    (letters / "phrases.toml").unlink()
    text = run("reread", "--all", "--dry-run", store=letters).stdout
    assert "kept: settled by QZ; the present reading does not find it" in " ".join(text.split())
    assert text.endswith("Only looked: the store is as it was.\n")


@pytest.mark.parametrize("words", [[], ["--all", "bh7"]])
def test_reread_needs_papers(words: list[str], run, letters: Path) -> None:
    """Neither nothing nor both: what is to be read again must be said."""
    assert run("reread", *words, store=letters).exit_code == 2


def test_reread_of_what_is_not_held(run, letters: Path) -> None:
    """A paper that the store does not hold, such as one that was refused, is answered with near ones."""
    result = run("reread", "BH-8", "--json", store=letters)
    assert result.exit_code == 1
    assert json.loads(result.stdout)["error"]["near"] == ["BH-7"]


def test_reread_of_a_lost_original(run, fresh: Path) -> None:
    """A store whose originals are gone: every paper refused, status 1, what was read stays."""
    before = run("statements", "--json", store=fresh).stdout
    result = run("reread", "--all", "--json", store=fresh)
    assert result.exit_code == 1
    assert {f["outcome"] for f in json.loads(result.stdout)["files"]} == {"refused"}
    assert "REFUSED, left as it was read before" in run("reread", "--all", store=fresh).stdout
    assert run("statements", "--json", store=fresh).stdout == before
