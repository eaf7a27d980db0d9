"""`job`: units in work by the command line, for people and as JSON; the job card as a sheet."""

import datetime as dt
import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from benchleaf.cli import main
from benchleaf.cli.sheets.jobview import job_view
from benchleaf.cli.sheets.procedureview import procedure_view
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.graph.jobs.answer import job_answer
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer
from benchleaf.graph.store import Store
from click.testing import Result
from job_papers import OPEN, new_note, old_note, put

GOLDEN = Path(__file__).parent / "golden"
Job = Callable[..., Result]


@pytest.fixture
def job(run: Job, fresh: Path, monkeypatch: pytest.MonkeyPatch) -> Job:
    """Run a `job` command, or another, on a store of the test's own."""
    monkeypatch.setitem(main.COMMANDS, "job", "Units in work: opened, built, shipped.")

    def call(*words: str, **env: str) -> Result:
        return run(*words, store=fresh, env=env)

    return call


def _shape(result: Result) -> dict:
    return json.loads(result.stdout)["job"]


def _hold(fresh: Path) -> None:
    with Store.open(fresh, write=True) as store, store.transaction():
        came = parse_got("6 friction disc, 4 steel disc")
        store.set_hold("7751-1", "one steel disc short", dt.datetime.now(dt.UTC), came)


def _shipped(job: Job, fresh: Path) -> None:
    """A job that was measured, built and shipped before two notes came."""
    more = ("--built", "2018-05-01", "--plate", "Ratio = 3.08", "--doubt", "housing of another model")
    assert job(*OPEN, *more, "--found", "5 friction disc, 6 steel disc").exit_code == 0
    for value, step in (("1.25 mm", "6"), ("1.9 mm", "6"), ("done", "2")):
        job("job", "measure", "2611", value, "--page", "4-12", "--step", step, "--initials", "CD")
    assert job("job", "build", "2611", "--initials", "CD").exit_code == 0
    assert job("job", "ship", "2611", "--initials", "EF").exit_code == 0
    put(fresh, old_note(), new_note())


def test_a_job_from_opening_to_comeback_in_json(job: Job, fresh: Path) -> None:
    """Every name of the shape is there; the news of a shipped job is a possible comeback with was and now,
    and the exit status is 1."""
    _shipped(job, fresh)
    result = job("job", "show", "2611", "--json")
    assert result.exit_code == 1
    shape, today = _shape(result), dt.date.today().isoformat()
    assert (shape["job"], shape["state"], shape["kits"]) == ("2611", "shipped", ["7751-1"])
    assert shape["unit"] == {"model": "VR 30", "serial": "5300", "built": "2018-05-01"}
    assert [shape[s] for s in ("opened", "built", "shipped")] == [today] * 3
    assert shape["initials"] == {"opened": "AB", "built": "CD", "shipped": "EF"}
    assert shape["plate"] == {"Ratio": "3.08"} and shape["doubts"] == ["housing of another model"]
    assert [f["quantity"] for f in shape["found"]] == [5, 6]
    assert [(e["value"], e["verdict"], e["initials"]) for e in shape["entries"]] == [
        ("1.25 mm", "within", "CD"),
        ("1.9 mm", "above", "CD"),
        ("done", None, "CD"),
    ]
    assert [(p["occasion"], p["steps"], p["day"]) for p in shape["pins"]] == [
        ("opened", 7, today),
        ("built", 7, today),
    ]
    assert shape["pins"][0]["notes"] == ["VB 90", "VB 101", "VB 114", "VB 120"]
    news = shape["news"]
    assert news["comeback"] and news["notes"] == ["VB 77", "VB 130"] and news["holds"] == []
    assert [(s["item"], s["was"], s["now"], s["notes"]) for s in news["steps"]] == [
        ("3a", None, "Clean the threads.", ["VB 77"]),
        (
            "6",
            "Check the running clearance: 1.2 to 1.6 mm.",
            "Check the running clearance: 1.4 to 1.6 mm.",
            ["VB 130"],
        ),
    ]
    assert [k["kit"] for k in news["kits"]] == ["7751-1"] and [d["note"] for d in news["doubts"]] == [
        "VB 120"
    ]


def test_every_command_answers_in_json(job: Job) -> None:
    """open, change, measure, build, ship, show and list each print one object and end with status 0 where
    nothing waits."""
    calls = (
        OPEN,
        ("job", "change", "2611", "--remark", "waits for a seal", "--initials", "AB"),
        ("job", "measure", "2611", "1.3 mm", "--page", "4-12", "--step", "6", "--initials", "AB"),
        ("job", "build", "2611", "--initials", "AB"),
        ("job", "ship", "2611", "--initials", "AB"),
        ("job", "show", "2611"),
    )
    for call in calls:
        result = job(*call, "--json")
        assert result.exit_code == 0 and _shape(result)["job"] == "2611"
    assert _shape(job("job", "show", "2611", "--json"))["remarks"] == ["waits for a seal"]
    listed = job("job", "list", "--state", "shipped", "--json")
    assert [j["job"] for j in json.loads(listed.stdout)["jobs"]] == ["2611"]
    assert json.loads(job("job", "list", "--state", "open", "--json").stdout) == {"jobs": []}


def test_a_hold_is_loud_and_stops_the_build(job: Job, fresh: Path) -> None:
    """Status 1 with the hold's words; not built; built with a reason, which is shown from then on."""
    job(*OPEN)
    _hold(fresh)
    shown = job("job", "show", "2611")
    assert shown.exit_code == 1 and shown.stdout.splitlines()[1].startswith("HOLD — kit 7751-1 is on hold")
    refused = job("job", "build", "2611", "--initials", "CD")
    assert refused.exit_code == 1 and "one steel disc short" in refused.stderr
    assert "--despite-hold" in refused.stderr and refused.stdout == ""
    assert job("job", "build", "2611", "--despite-hold", " ", "--initials", "CD").exit_code == 2
    built = job("job", "build", "2611", "--despite-hold", "disc from stock", "--initials", "CD")
    assert "Built despite a hold" in built.stdout and "disc from stock (CD)" in built.stdout


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("open", "1", "--model", "VR 31", "--page", "4-12"), 1, "VR 30"),
        (("open", "1", "--model", "VR 30", "--page", "4-21"), 1, "4-12"),
        (("open", "1", "--model", "VR 30", "--kit", "7751-7"), 1, "7751-1"),
        (("open", "1", "--serial", "7"), 2, "name a publication"),
        (("open", "1", "--model", "VR 30", "--plate", "3.08"), 2, "name = value"),
        (("open", "1", "--model", "VR 30", "--found", "some discs"), 2, "--got"),
        (("open", "2611", "--model", "VR 30"), 2, "in use"),
        (("show", "2612"), 1, "2611"),
        (("build", "2612"), 1, "2611"),
        (("ship", "2611"), 2, "not built"),
        (("change", "2611"), 2, "nothing is said"),
        (("measure", "2611", "1 mm", "--page", "4-12", "--step", "9"), 1, "6a"),
        (("measure", "2611", "1 mm", "--page", "4-12", "--step", "5"), 2, "VB 101"),
    ],
)
def test_wrong_use_is_answered_with_what_is_near(
    job: Job, words: tuple[str, ...], status: int, said: str
) -> None:
    """A clear sentence on standard error, the nearest numbers, and nothing changed."""
    job(*OPEN)
    before = job("job", "show", "2611", "--json").stdout
    result = job("job", *words, BENCHLEAF_INITIALS="CD")
    assert result.exit_code == status and said in result.stderr and result.stdout == ""
    assert job("job", "show", "2611", "--json").stdout == before
    assert len(json.loads(job("job", "list", "--json").stdout)["jobs"]) == 1


@pytest.mark.parametrize("name", ["open", "change", "build", "ship"])
def test_nothing_goes_unsigned(job: Job, name: str) -> None:
    """Without initials every change is refused."""
    job(*OPEN)
    result = job("job", name, "2611")
    assert result.exit_code == 2 and "--initials" in result.stderr


@pytest.mark.parametrize(
    ("name", "words"),
    [("job", ("job", "show", "2611")), ("job_list", ("job", "list")), ("job_week", ("week",))],
)
def test_human_output_of_jobs(job: Job, fresh: Path, name: str, words: tuple[str, ...]) -> None:
    """News first, then the unit; the words are those of the golden file, within 80 columns."""
    _shipped(job, fresh)
    job(*OPEN[:2], "2612", "--model", "VR 30", "--section", "clutch pack", "--initials", "AB")
    result = job(*words)
    text = result.stdout.replace(dt.date.today().isoformat(), "YYYY-MM-DD")
    file = GOLDEN / f"{name}.txt"
    if os.environ.get("BENCHLEAF_GOLDEN") == "write":
        file.write_text(text, encoding="utf-8", newline="\n")
    assert text == file.read_text(encoding="utf-8")
    assert all(len(row) <= 80 for row in text.splitlines() if not row.lstrip().startswith("benchleaf "))


def test_week_tells_the_jobs_that_its_notes_touch(job: Job, fresh: Path) -> None:
    """The week's `jobs` have state, unit, steps with was and now, and the notes."""
    _shipped(job, fresh)
    week = ("week", "--week", "2026-W48", "--json")
    (told,) = json.loads(job(*week).stdout)["jobs"]
    assert (told["job"], told["state"], told["notes"]) == ("2611", "shipped", ["VB 77", "VB 130"])
    assert told["unit"]["serial"] == "5300" and told["comeback"]
    assert [s["item"] for s in told["steps"]] == ["3a", "6"]
    assert job(*week).stdout == job(*week).stdout


def _card(fresh: Path) -> str:
    with Store.open(fresh) as store:
        view = job_view(job_answer(store, "2611", dt.date.today()))
        made = stamp(store, view.considered, dt.date.today())
        return sheet("job.html", stamp=made, job=view)


def test_job_card_tells_news_unit_and_measured_values(job: Job, fresh: Path) -> None:
    """The news with a word difference, the plate, the evidence sentence, the pinned steps with what was
    measured, and the notes that were considered."""
    _shipped(job, fresh)
    page = _card(fresh)
    assert "Possible comeback" in page and "<del>1.2</del>" in page and "<ins>1.4</ins>" in page
    assert "housing of another model" in page and "evidence, never authority" in page
    assert page.index("Possible comeback") < page.index("Ratio") < page.index("1.9 mm</strong> CD")
    assert "ABOVE the range" in page and "as pinned when built on" in page
    assert "VB 90, VB 101, VB 114 and VB 120." in page


def test_text_never_becomes_markup_on_a_job_card(job: Job, fresh: Path) -> None:
    """Whatever a person types is words on the card."""
    bad = "<script>alert(1)</script>"
    job(*OPEN, "--plate", f"{bad} = {bad}", "--doubt", bad, "--remark", bad, "--found-remark", bad)
    job("job", "measure", "2611", bad, "--page", "4-12", "--step", "2", "--initials", "CD")
    page = _card(fresh)
    assert "<script" not in page and page.count("&lt;script&gt;alert(1)") >= 6


def test_a_hold_stands_at_the_top_of_procedure_and_job_sheets(job: Job, fresh: Path) -> None:
    """Class "hold", before the first step, once."""
    job(*OPEN)
    _hold(fresh)
    with Store.open(fresh) as store:
        question = ProcedureQuestion(page="4-12", model="VR 30", serial="5300", kits=("7751-1",))
        view = procedure_view(store, procedure_answer(store, question))
        words = sheet("procedure.html", stamp=stamp(store, (), dt.date.today()), procedure=view)
    for page in (words, _card(fresh)):
        assert page.count("one steel disc short") == 1
        assert page.index('class="checks hold"') < page.index('class="step')


def test_a_value_of_an_older_range_is_marked_on_the_card(job: Job, fresh: Path) -> None:
    """Within when it was measured, below by the note that came later: said at the top and at the step."""
    job(*OPEN)
    job("job", "measure", "2611", "1.25 mm", "--page", "4-12", "--step", "6", "--initials", "CD")
    put(fresh, new_note())
    shown = job("job", "show", "2611")
    assert shown.exit_code == 1 and "MEASURE: 1.25 mm at step 6" in shown.stdout
    page = _card(fresh)
    assert page.count("below (1.4 to 1.6 mm)") == 2 and "measure again" in page
