"""`benchleaf pack`: what is typed, what is printed, the exit status."""

import json

import pytest
from benchleaf.cli.main import COMMANDS, benchleaf
from benchleaf.cli.packwords import parts_of
from click.testing import CliRunner, Result

STACK = ("--friction", "5 x 2.50 ±0.05 mm", "--steel", "4 x 1.80 mm", "--depth", "24.3 ±0.1 mm")
EDGES = "2.20-2.25 = A; 2.25-2.30 = B"


@pytest.fixture
def pack(monkeypatch: pytest.MonkeyPatch):
    """Run the command where no store is, 80 wide."""
    monkeypatch.setitem(COMMANDS, "pack", COMMANDS.get("pack", "The arithmetic of an alternating pack."))
    for name in ("BENCHLEAF_STORE", "BENCHLEAF_TRACE", "COLUMNS", "NO_COLOR"):
        monkeypatch.delenv(name, raising=False)

    def run(*words: str) -> Result:
        return CliRunner().invoke(benchleaf, ["pack", *words])

    return run


@pytest.fixture
def shape(pack):
    def run(*words: str) -> dict:
        return json.loads(pack(*words, "--json").stdout)

    return run


def flat(result: Result) -> str:
    return " ".join(result.stdout.split())


def test_counts_alone_are_answered_without_a_store(pack):
    """The arithmetic needs no papers: 5 and 4 give the order and 8 faces."""
    result = pack("--friction", "5", "--steel", "4")
    assert result.exit_code == 0
    assert "5 friction and 4 steel plates stack friction first and friction last" in flat(result)
    assert "Friction faces 8" in flat(result)


def test_the_stack_is_shown_with_both_tolerances_and_its_formulas(pack):
    """Height 19.70 ±0.25, clearance 4.60 ±0.35, √(0.1² + 5 · 0.05²) = 0.15, and the figures put in."""
    words = flat(pack(*STACK))
    assert "Pack height 19.70 mm, worst case ±0.25, root-sum-square ±0.112" in words
    assert "Clearance 4.60 mm, worst case ±0.35, root-sum-square ±0.15" in words
    assert "24.30 ±0.10 mm − 5 × 2.50 ±0.05 mm (friction) − 4 × 1.80 mm (steel) = 4.60 mm" in words


def test_any_unit_in_the_shops_unit_out(shape):
    """One stack typed in inches and in mm; the answer in inches is the answer in mm by 25.4 mm to the inch.

    1 in = 25.4 mm: NIST SP 811.
    """
    metric = shape("--friction", "4 x 2.54 mm", "--steel", "3 x 0.1 in", "--depth", "1 in")
    inches = shape("--friction", "4 x 0.1", "--steel", "3 x 2.54 mm", "--depth", "1", "--unit", "in")
    assert metric["height"] == {"value": 17.78, "unit": "mm", "worst": 0.0, "rss": 0.0}
    assert inches["height"] == {"value": 0.7, "unit": "in", "worst": 0.0, "rss": 0.0}
    assert inches["clearance"]["value"] == pytest.approx(metric["clearance"]["value"] / 25.4, abs=1e-6)
    assert inches["notes"] == ["Figures without a unit were read as in."]
    assert metric["notes"] == []


def test_plates_measured_one_by_one_are_added_up(shape):
    """2.48 + 2.50 + 2.51, by points or by decimal commas; the unit at the end counts for all."""
    for words in ("2.48, 2.50, 2.51 mm", "2.48,2.50,2.51 mm", "2,48; 2,50; 2,51 mm", "2,48, 2,50, 2,51 mm"):
        answer = shape("--friction", words, "--steel", "2 x 1.0 mm")
        assert answer["counts"] == {"friction": 3, "steel": 2}
        assert answer["height"]["value"] == pytest.approx(9.49)
    assert parts_of("0,098 in") == ["0,098 in"]


def test_an_asymmetric_tolerance_is_centred_and_told(shape):
    """2.50 +0.10 −0.05 is 2.525 ± 0.075, and the answer says that it was centred."""
    answer = shape("--friction", "2 x 2.50 +0.10 -0.05 mm", "--steel", "1 x 1 mm")
    assert answer["height"]["value"] == pytest.approx(6.05)
    assert answer["height"]["worst"] == pytest.approx(0.15)
    assert any("centred" in note for note in answer["notes"])


def test_counts_that_cannot_alternate_and_packs_that_do_not_go_in_end_with_1(pack, shape):
    """Exit 1 and NO with the reason first; the JSON says the same."""
    result = pack("--friction", "7", "--steel", "5")
    assert result.exit_code == 1 and result.stdout.startswith("NO: ")
    assert pack(*STACK[:4], "--depth", "19 mm").exit_code == 1
    answer = shape("--friction", "7", "--steel", "5")
    assert answer["orders"] == [] and not answer["fits"]
    assert "cannot alternate" in answer["findings"][0]


def test_other_counts_give_the_thickness_the_faces_and_the_torque(pack, shape):
    """5 × 2.40 become 6 × 2.00; with 5 steel before and now, 10 faces after 9."""
    words = ("--friction", "6", "--steel", "5", "--was-friction", "5 x 2.40 mm", "--was-steel", "5 x 1.8 mm")
    answer = shape(*words)
    assert answer["needed"]["kind"] == "friction"
    assert answer["needed"]["thickness"]["value"] == 2.0
    assert (answer["faces"], answer["faces_before"]) == (10, 9)
    assert answer["share"] == pytest.approx(1 / 9, abs=1e-6)
    assert "6 friction plates of 2.00 mm keep the height" in flat(pack(*words))


def test_a_table_typed_or_in_a_file_chooses_alike_and_states_its_tie_rule(pack, shape, tmp_path):
    """2.25 is on a shared edge: row A, or B by --tie higher; beyond the table nothing fits, exit 1."""
    files = {
        "headed.csv": "low,high,part,thickness\n2.20,2.25,A,2.4\n2.25,2.30,B,2.5\n",
        "bare.csv": "2.20,2.25,A\n2.25,2.30,B\n",
        "range.csv": "Part No.;Measured (mm)\nA;2,20 - 2,25\nB;2,25 - 2,30\n",
        "inch.csv": "from (in),to (in),part\n0.0866,0.0886,A\n0.0886,0.0906,B\n",
    }
    sources = [("--choose", EDGES)]
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
        sources.append(("--table", str(tmp_path / name)))
    for source in sources:
        assert shape("--need", "2.23 mm", *source)["choice"]["rows"][0]["part"] == "A", source
        assert shape("--need", "2.27 mm", *source)["choice"]["rows"][0]["part"] == "B", source
        assert pack("--need", "2.5 mm", *source).exit_code == 1
    tied = shape("--need", "2.25 mm", "--choose", EDGES)["choice"]
    assert (tied["rows"][0]["part"], tied["decided"], tied["by_tie"]) == ("A", True, True)
    higher = shape("--need", "2.25 mm", "--choose", EDGES, "--tie", "higher")["choice"]
    assert higher["rows"][0]["part"] == "B"
    assert "belongs to the lower row" in flat(pack("--need", "2.23 mm", "--choose", EDGES))


def test_shims_for_end_play_and_for_preload(shape):
    """0.50 + 0.32 − 0.12 = 0.70 = 0.30 + 0.30 + 0.10; with preload 0.08: 0.90 in three."""
    base = ("--trial", "0.50 mm", "--measured", "0.32 mm", "--shims", "0.10, 0.15, 0.30 mm")
    play = shape(*base, "--end-play", "0.12 mm")
    assert play["to_fit"]["aim"]["value"] == pytest.approx(0.70)
    assert [p["value"] for p in play["shim"]["pieces"]] == [0.3, 0.3, 0.1]
    load = shape(*base, "--preload", "0.08 mm")
    assert load["to_fit"]["aim"]["value"] == pytest.approx(0.90)
    assert load["shim"]["fits"] and len(load["shim"]["pieces"]) == 3
    assert any(caution.startswith("Pressing") for caution in load["cautions"])


def test_torque_by_pressure_prints_the_cautions(pack, shape):
    """12 bar on 48 cm² less 600 N is 5160 N; 12 faces at 0.1 and 50 mm carry 309.6 N·m by uniform wear."""
    words = ("--friction", "6", "--steel", "6", "--end-plates", "1", "--inner-dia", "80 mm", "--outer-dia")
    words = (*words, "120 mm", "--mu", "0.1", "--pressure", "12 bar", "--area", "48 cm2", "--spring", "600 N")
    answer = shape(*words)
    assert answer["force"] == {"value": 5160.0, "unit": "N"}
    assert answer["torque"]["uniform_wear"] == {"value": 309.6, "unit": "N·m"}
    printed = flat(pack(*words))
    assert "Pressure: relieve it" in printed and "Springs under load" in printed
    assert "Values are the maker's" in printed


def test_the_crow_foot_lowers_the_setting(shape):
    """40 lbf·ft with 18 in and 2 in straight out: 36 lbf·ft, shown so where inches are the shop's."""
    answer = shape("--bolt-torque", "40 lbf·ft", "--wrench", "18", "--crowfoot", "2", "--unit", "in")
    assert answer["wrench"] == {"value": 36.0, "unit": "lbf·ft"}


def test_what_is_missing_is_asked_for_and_nothing_reached_ends_with_1(pack):
    """No μ or force is built in: they are named; with no result at all the status is 1."""
    asked = pack("--friction", "5", "--steel", "4", "--inner-dia", "80", "--outer-dia", "120")
    assert asked.exit_code == 0
    assert "--mu" in asked.stdout and "--force" in asked.stdout
    assert "N·m" not in asked.stdout
    assert pack("--pressure", "12 bar").exit_code == 1


@pytest.mark.parametrize(
    "words",
    [
        (),
        ("--friction", "abc"),
        ("--friction", "2.5 mm"),
        ("--friction", ""),
        ("--friction", "0 x 2 mm"),
        ("--friction", "5 x -2 mm"),
        ("--friction", "5 x 2.5 bar"),
        ("--friction", "2,48"),
        ("--depth", "max. 3 mm"),
        ("--sizes", "1,2", "--need", "1.1"),
        ("--force", "800"),
        ("--pressure", "12 mm"),
        ("--area", "48"),
        ("--unit", "parsec"),
        ("--unit", "kg"),
        ("--choose", "2.20-2.25"),
        ("--choose", "x = A"),
        ("--choose", ";"),
        ("--shims", "0.00001", "--need", "10 mm"),
        ("--bolt-torque", "40"),
        (
            "--mu",
            "nan",
            "--friction",
            "5",
            "--steel",
            "4",
            "--inner-dia",
            "1",
            "--outer-dia",
            "2",
            "--force",
            "1 N",
        ),
        ("--friction", "1" * 5000),
        ("--other", "±" * 5000),
    ],
)
def test_what_cannot_be_read_is_wrong_use_with_a_remedy(pack, words):
    """Exit 2, a message and what to do, in JSON too; never a traceback."""
    result = pack(*words)
    assert result.exit_code == 2, result.output
    assert len(result.stderr.splitlines()) >= 2, "the message and the remedy"
    assert "Unexpected" not in result.stderr and "Traceback" not in result.stderr
    told = json.loads(pack(*words, "--json").stdout)["error"]
    assert told["message"] and told["remedy"]


@pytest.mark.parametrize(
    "text", ["", "a,b,c\n", "low,high\n1,2\n", "low,high,part\n1,,A\n", "low,high,part\nx,y,A\n", "1,2\n"]
)
def test_a_table_that_cannot_be_read_whole_is_refused(pack, tmp_path, text):
    """A row left out could choose the wrong part: the file and the line are named."""
    file = tmp_path / "table.csv"
    file.write_text(text)
    result = pack("--need", "1.5 mm", "--table", str(file))
    assert result.exit_code == 2
    assert "table.csv" in result.stderr and "Unexpected" not in result.stderr


def test_the_help_is_grouped_and_narrow(pack):
    """Every option stands in a group, with an example, in 79 columns."""
    page = pack("-h").stdout
    for group in ("The pack:", "Before the change:", "Play to set:", "To choose from:", "Examples:"):
        assert group in page
    assert max(map(len, page.splitlines())) <= 79
    assert page.count("--friction PLATES") == 1
