"""The JSON of every command has the names and the kinds of value that the interface promises."""

import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest

Json = dict[str, Any]
MAYBE = (str, type(None))
BOX = (list, type(None))
CHANGE = {"text": MAYBE, "was": MAYBE, "now": MAYBE, "applies": dict}
STATEMENT = {
    "id": int,
    "note": str,
    "date": MAYBE,
    "type": str,
    "standing": str,
    "why": list,
    "confidence": (int, float),
    "quote": str,
    "source": dict,
    "settled_by": MAYBE,
}
APPLIES = {
    "models": list,
    "serial_from": MAYBE,
    "serial_to": MAYBE,
    "except": list,
    "built_from": MAYBE,
    "built_to": MAYBE,
    "kits": list,
    "as_printed": str,
}


def fits(shape: Json, promised: dict[str, Any]) -> None:
    for name, kind in promised.items():
        assert name in shape, name
        assert isinstance(shape[name], kind), (name, shape[name])


@pytest.fixture
def ask(run):
    def call(*words: str, status: int = 0, store: Path | None = None) -> Json:
        result = run(*words, "--json", store=store)
        assert result.exit_code == status, result.output
        assert result.stderr == ""
        shape = json.loads(result.stdout)
        assert isinstance(shape, dict)
        return shape

    return call


def test_notes(ask) -> None:
    """A note's number, date, applicability, and the note that cancels it."""
    found = {n["number"]: n for n in ask("notes")["notes"]}
    names = {
        "number": str,
        "date": MAYBE,
        "subject": MAYBE,
        "issuer": MAYBE,
        "source": str,
        "revision": MAYBE,
    }
    for one in found.values():
        fits(one, {**names, "applies": dict, "cancelled_by": MAYBE, "received": str, "file": str})
        fits(one["applies"], APPLIES)
    assert found["VB 90"]["cancelled_by"] == "VB 120"
    assert found["VB 114"]["applies"]["serial_from"] == "5200"
    assert found["VB 114"]["received"] == "2026-11-24"


def test_notes_in_force_leaves_out_the_cancelled(ask) -> None:
    """--in-force lists the notes that none cancels."""
    assert [n["number"] for n in ask("notes", "--in-force")["notes"]] == ["VB 101", "VB 114", "VB 120"]


def test_publications(ask) -> None:
    """A manual's number, edition, models and pages with the count of their items."""
    (one,) = ask("publications")["publications"]
    fits(one, {"number": str, "title": MAYBE, "issuer": MAYBE, "edition": MAYBE, "date": MAYBE})
    assert one["models"] == ["VR 30"]
    assert one["pages"][0] == {"page": "4-12", "sheet": 3, "items": 6}


def test_statements(ask) -> None:
    """Every statement has the common fields, and its type's own."""
    own = {
        "supersession": {"from": list, "to": list, "relation": str, "interchange": str, "stock": MAYBE},
        "override": {
            "action": str,
            "target": dict,
            "text": MAYBE,
            "was": MAYBE,
            "now": MAYBE,
            "applies": dict,
        },
        "contents": {"kit": str, "lines": list, "previous": list},
        "cancels": {"cancels": str},
    }
    found = ask("statements")["statements"]
    assert {s["type"] for s in found} == set(own)
    for one in found:
        fits(one, {**STATEMENT, **own[one["type"]]})
        fits(
            one["source"],
            {"file": str, "sheet": int, "page": MAYBE, "box": (list, type(None)), "by_ocr": bool},
        )
    contents = next(s for s in found if s["type"] == "contents")
    assert contents["lines"][0] == {"part": "7741-5", "description": "friction disc", "quantity": 6}
    assert contents["previous"][1]["quantity"] == 6
    fits(next(s for s in found if s["type"] == "override")["applies"], APPLIES)


def test_statements_of_one_note(ask) -> None:
    """--note, typed without its blank, and the other filters narrow the list."""
    assert {s["note"] for s in ask("statements", "--note", "vb114")["statements"]} == {"VB 114"}
    assert {s["type"] for s in ask("statements", "--type", "cancels")["statements"]} == {"cancels"}
    assert [s["id"] for s in ask("statements", "--standing", "doubtful")["statements"]] == [7]


def test_page(ask) -> None:
    """A page with its items, what is in force, and each override with its standing and why not."""
    page = ask("page", "vm30", "412")
    fits(
        page, {"publication": str, "page": str, "sheet": int, "section": MAYBE, "items": list, "notes": list}
    )
    assert page["publication"] == "VM-30"
    assert "picture" in page
    items = {i["item"]: i for i in page["items"]}
    fits(
        items["1"],
        {"text": str, "notices": list, "box": (list, type(None)), "in_force": dict, "overrides": list},
    )
    assert items["4"]["in_force"] == {"text": "Tighten the cover screws to 31 N·m.", "by": ["VB 101"]}
    assert items["5"]["in_force"]["text"] is None
    assert items["2"]["notices"] == [{"kind": "CAUTION", "text": "Hands clear of the spring."}]
    gone = next(o for o in items["6"]["overrides"] if o["note"] == "VB 90")
    assert (gone["in_force"], gone["why_not"]) == (False, "cancelled by VB 120")
    names = {
        "statement": int,
        "note": str,
        "date": MAYBE,
        "action": str,
        "text": MAYBE,
        "was": MAYBE,
        "now": MAYBE,
    }
    fits(gone, {**names, "applies": dict, "standing": str, "in_force": bool, "why_not": MAYBE})


def test_procedure(ask) -> None:
    """The steps for a unit and a kit; deleted ones stay with null text, an inserted one bears a letter."""
    words = ["procedure", "--model", "VR30", "--serial", "5300", "--kit", "7751-1", "--page", "4-12"]
    answer = ask(*words, "--on", "2026-11-24")
    assert answer["unit"]["model"] == "VR30" and answer["unit"]["serial"] == "5300"
    assert answer["kits"] == ["7751-1"] and answer["on"] == "2026-11-24"
    fits(answer, {"steps": list, "left_out": list, "warnings": list})
    steps = {s["label"]: s for s in answer["steps"]}
    names = {"label": str, "publication": str, "page": str, "item": MAYBE, "text": MAYBE, "notices": list}
    for step in steps.values():
        fits(step, {**names, "from": str, "changed_by": list, "depends_on": list, "doubts": list})
    assert steps["5"]["text"] is None
    assert steps["6a"]["from"] == "VB 120"
    assert steps["1"]["from"] == "manual"
    assert steps["3"]["from"] == "VB 114"
    assert {"note": "VB 90", "why": "cancelled by VB 120"}.items() <= answer["left_out"][0].items()


def test_procedure_is_of_today_unless_said(ask) -> None:
    """Without --on, the date in the answer is today's."""
    assert ask("procedure", "--page", "4-12", "--model", "VR 30")["on"] == dt.date.today().isoformat()


def test_procedure_of_an_earlier_day(ask) -> None:
    """--on leaves out what is dated later."""
    answer = ask("procedure", "--page", "4-12", "--model", "VR 30", "--on", "2020-12-31")
    assert [s["text"] for s in answer["steps"] if s["label"] == "4"] == [
        "Tighten the cover screws to 29 N·m."
    ]


def test_part(ask) -> None:
    """A number's current one, the way there, what it was, where it is used."""
    answer = ask("part", "773120")
    fits(answer, {"asked": str, "part": MAYBE, "current": list, "relation": str, "path": list, "was": list})
    fits(answer, {"used": list, "in_kits": list, "problems": list, "near": list})
    assert (answer["part"], answer["current"]) == ("7731-20", ["7731-24"])
    (step,) = answer["path"]
    fits(step, {"from": list, "to": list, "note": str, "date": MAYBE, "interchange": str, "standing": str})
    assert {"publication": "VM-30", "page": "4-12", "item": "2"}.items() <= answer["used"][0].items()


def test_unknown_part_keeps_its_shape(ask) -> None:
    """An unknown number: part null, near ones listed, status 1."""
    answer = ask("part", "7731-29", status=1)
    assert answer["part"] is None and answer["current"] == []
    assert set(answer["near"]) == {"7731-20", "7731-24"}


def test_kit(ask, fresh: Path) -> None:
    """Verdict, hold, lines, pack, steps, reasons; status 1 on a hold."""
    good = ask("kit", "77511", "--got", "6 friction disc, 5 steel disc", store=fresh)
    assert (good["kit"], good["verdict"], good["hold"]) == ("7751-1", "explained", False)
    names = {"part": MAYBE, "description": str, "because": list}
    fits(good["lines"][0], {**names, "expected": (int, type(None)), "received": (int, type(None))})
    assert good["lines"][0]["difference"] == 0
    pack = good["pack"]
    assert pack["orders"] == [{"first": "friction", "last": "friction"}] and pack["fits"] is True
    assert {"first": "friction", "last": "friction", "item": "3"}.items() <= pack["procedure_order"].items()
    assert good["steps"] == [{"publication": "VM-30", "page": "4-12", "item": "3", "note": "VB 114"}]
    bad = ask("kit", "7751-1", "--got", "6 friction disc, 6 steel disc", status=1, store=fresh)
    assert (bad["verdict"], bad["hold"]) == ("unexplained", True)
    assert bad["pack"]["fits"] is False and bad["reasons"]


def test_unknown_kit_keeps_its_shape(ask) -> None:
    """A kit that no paper names: not-known, near ones listed, status 1."""
    answer = ask("kit", "7759-1", "--got", "6 friction disc", status=1)
    assert (answer["verdict"], answer["lines"], answer["pack"]) == ("not-known", [], None)
    assert "7751-1" in answer["near"]


def test_week(ask) -> None:
    """Notes count in the week in which they were received, whatever their date."""
    answer = ask("week", "--week", "2026-W48")
    assert (answer["week"], answer["from"], answer["to"]) == ("2026-W48", "2026-11-23", "2026-11-29")
    assert len(answer["notes"]) == 4 and answer["doubts"] == 1
    names = {"publication": MAYBE, "page": MAYBE, "item": MAYBE, "note": str, "action": str, "standing": str}
    for step in answer["steps"]:
        fits(step, {**names, "was": MAYBE, "now": MAYBE})
    assert {"from": ["7731-20"], "to": ["7731-24"], "note": "VB 120"}.items() <= answer["parts"][1].items()
    fits(answer["kits"][0], {"kit": str, "was": list, "now": list, "note": str})
    assert answer["jobs"] == [] and answer["missing"] == []


def test_an_empty_week_has_empty_lists(ask) -> None:
    """Lists are never null."""
    answer = ask("week", "--week", "2020-W01")
    for name in ("notes", "steps", "parts", "kits", "jobs", "missing"):
        assert answer[name] == []


def test_doubts_missing_find_check(ask) -> None:
    """The other commands' objects."""
    (doubt,) = ask("doubts")["doubts"]
    fits(doubt, STATEMENT)
    assert ask("missing") == {"missing": []}
    hit = ask("find", "soak")["hits"][0]
    assert (hit["kind"], hit["publication"], hit["page"], hit["item"]) == ("item", "VM-30", "4-12", "1")
    assert ask("find", "nothinglikeit", status=1)["hits"] == []


@pytest.mark.parametrize(
    "words",
    [
        ["page", "VM-31", "4-12"],
        ["page", "VM-30", "4-21"],
        ["procedure", "--model", "VR 31"],
        ["doubts", "--note", "VB 1O1"],
    ],
    ids=["publication", "page", "model", "note"],
)
def test_unknown_things_are_answered_with_near_ones(words: list[str], run) -> None:
    """An unknown publication, page, unit or note: status 1, an error object that lists what is near."""
    result = run(*words, "--json")
    assert result.exit_code == 1
    assert json.loads(result.stdout)["error"]["near"]
    told = run(*words)
    assert told.exit_code == 1 and told.stdout == ""
    assert json.loads(result.stdout)["error"]["near"][0] in told.stderr
