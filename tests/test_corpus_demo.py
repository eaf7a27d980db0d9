"""The demo papers: drawn anew they are the same, and the letters and the tour speak of what is there."""

import calendar
import csv
import datetime as dt
import itertools
import re
import tomllib
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from benchleaf.corpus_demo.draw import PAPERS, draw_all
from benchleaf.corpus_demo.letters import letter_file
from benchleaf.corpus_demo.manual import PUBLICATION, draw_manual
from benchleaf.corpus_demo.markup import letters, lists

TOUR = PAPERS.parent / "tour.toml"
PART = re.compile(r"K41-[0-9]{4}")
NAMED_DATE = re.compile(rf"[0-9]{{1,2}} (?:{'|'.join(calendar.month_name[1:])}) [0-9]{{4}}")


def words(path: Path) -> list[list[str]]:
    """The words of a paper, sheet by sheet."""
    if path.suffix != ".pdf":
        return [path.read_text(encoding="utf-8").split()]
    pdf = pypdfium2.PdfDocument(path.read_bytes())
    try:
        return [page.get_textpage().get_text_bounded().split() for page in pdf]
    finally:
        pdf.close()


def all_words(path: Path) -> str:
    return " ".join(itertools.chain.from_iterable(words(path)))


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("papers")
    draw_all(folder)
    return folder


@pytest.fixture(scope="module")
def items(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, str]]:
    return draw_manual(tmp_path_factory.mktemp("manual") / "manual.pdf")


def stops() -> list[dict[str, Any]]:
    return list(tomllib.loads(TOUR.read_text(encoding="utf-8"))["stop"])


def letter(number: str) -> dict[str, Any]:
    return next(one for one in letters() if one["number"] == number)


def flat(one: dict[str, Any]) -> str:
    """A letter's body in one string, tables cell by cell."""
    return " ".join(
        b if isinstance(b, str) else " ".join(itertools.chain.from_iterable(b)) for b in one["body"]
    )


def test_same_files(drawn: Path) -> None:
    """The script draws just the committed papers, no more and no fewer."""
    assert sorted(p.name for p in drawn.iterdir()) == sorted(p.name for p in PAPERS.iterdir())


@pytest.mark.parametrize("name", sorted(p.name for p in PAPERS.iterdir()))
def test_drawn_anew_is_the_same(drawn: Path, name: str) -> None:
    """Each paper drawn anew has the committed bytes or, with another reportlab or zlib, its very words."""
    fresh, held = drawn / name, PAPERS / name
    assert fresh.read_bytes() == held.read_bytes() or words(fresh) == words(held)


def test_drawing_twice_gives_the_same_bytes(drawn: Path, tmp_path: Path) -> None:
    """Nothing in a paper depends on the clock or on chance."""
    draw_all(tmp_path)
    assert all((tmp_path / p.name).read_bytes() == p.read_bytes() for p in drawn.iterdir())


def test_at_least_24_printed_pages(items: dict[str, dict[str, str]]) -> None:
    """The manual has at least 24 pages that bear a number, and each number stands on its sheet."""
    sheets = words(PAPERS / "ohm_5204.pdf")
    assert len(items) >= 24
    assert len(sheets) == len(items) + 1  # the cover bears no number
    for folio, sheet in zip(items, sheets[1:], strict=True):
        assert folio in sheet


def test_items_stand_on_their_sheets(items: dict[str, dict[str, str]]) -> None:
    """Each item begins on the sheet that the index gives, and part two numbers straight through."""
    sheets = dict(zip(items, words(PAPERS / "ohm_5204.pdf")[1:], strict=True))
    for folio, steps in items.items():
        for text in steps.values():
            assert " ".join(text.split()[:4]) in " ".join(sheets[folio])
    through = [int(n) for folio, steps in items.items() if folio.startswith("2-") for n in steps]
    assert through == list(range(1, len(through) + 1))


def test_contents_page_is_right(items: dict[str, dict[str, str]]) -> None:
    """The page numbers of the contents page are those where the sections begin."""
    sheets = dict(zip(items, words(PAPERS / "ohm_5204.pdf")[1:], strict=True))
    contents = " ".join(sheets["1-1"])
    found = re.findall(r"([A-Q]) ([A-Z][a-z]+(?: [a-z]+){0,6}) ([12]-[0-9]{1,2})", contents)
    assert len(found) == 15
    assert "0-0" not in contents
    for mark, title, folio in found:
        assert f"{mark} {title}" in " ".join(sheets[folio])


def test_twelve_letters_over_six_years() -> None:
    """At least twelve letters, over at least six years, each with its own number."""
    dates = [int(one["date"][-4:]) for one in letters()]
    assert len(letters()) >= 12
    assert len({one["number"] for one in letters()}) == len(letters())
    assert max(dates) - min(dates) >= 6
    assert dates == sorted(dates)


def test_just_one_letter_has_an_ambiguous_date() -> None:
    """All dates but one are in words; that one can be read in two ways."""
    unsaid = [one["date"] for one in letters() if not NAMED_DATE.fullmatch(one["date"])]
    assert unsaid == ["05/06/1992"]
    assert dt.datetime.strptime(unsaid[0], "%d/%m/%Y") != dt.datetime.strptime(unsaid[0], "%m/%d/%Y")


def test_letters_carry_their_words() -> None:
    """Each letter's file holds its number, its date and every word of its body."""
    for one in letters():
        text = all_words(PAPERS / letter_file(one))
        assert one["number"] in text
        assert one["date"] in text
        for block in one["body"]:
            for part in [block] if isinstance(block, str) else list(itertools.chain.from_iterable(block)):
                assert " ".join(part.split()) in text


def test_cited_items_exist(items: dict[str, dict[str, str]]) -> None:
    """Every item that a letter names together with a page of the manual is there."""
    cited = [
        (page, item)
        for one in letters()
        for page, item in re.findall(r"page ([12]-[0-9]+), item ([0-9]+)", flat(one))
        + [(p, i) for i, p in re.findall(r"[Ii]tem ([0-9]+) on page ([12]-[0-9]+)", flat(one))]
    ]
    assert len(cited) >= 7
    assert all(item in items[page] for page, item in cited)


def test_old_values_stand_in_the_manual(items: dict[str, dict[str, str]]) -> None:
    """The values that letters change stand in the items that they name."""
    assert "46 N·m" in items["2-2"]["48"]
    table = next(block for block in letter("WL-137")["body"] if not isinstance(block, str))
    for page, item, was, _ in table[1:]:
        assert was in items[page][item]


def test_pack_counts_agree_with_the_orders(items: dict[str, dict[str, str]]) -> None:
    """Steel first and lined last needs equal counts; steel first and last needs one steel more
    (pack arithmetic of alternating plates: same kind at both ends means one more of that kind)."""
    old, new = items["1-14"]["6"], flat(letter("WL-136"))
    assert "last plate is a lined plate" in old and "8 lined plates and 8 steel plates" in old
    assert "last plate is a steel plate" in new and "8 lined plates and 9 steel plates" in new
    assert 8 * 2.25 == 9 * 2.00  # the height of the steel plates stays the same, as the letter says


def test_kinds_of_letters() -> None:
    """Among the letters are a cancelling, a split, a step bound to a kit, a denial, and plain mail."""
    cancelled = re.search(
        r"cancels Workshop Letter (WL-[0-9]+) dated ([0-9A-Za-z ]+)\.", flat(letter("WL-139"))
    )
    assert cancelled and letter(cancelled[1])["date"] == cancelled[2]
    assert re.search(r"K41-9004 has been replaced by K41-9021 and K41-9022", flat(letter("WL-133")))
    assert "When kit K41-9030 is fitted, replace item 6" in flat(letter("WL-136"))
    assert "does not replace" in flat(letter("WL-135"))
    assert "is deleted" in flat(letter("WL-138"))
    assert letter_file(letter("WL-145")).endswith(".txt")


def test_something_is_cited_but_not_held() -> None:
    """One letter cites a letter, another a publication, that the papers do not hold."""
    assert "WL-128" in flat(letter("WL-145")) and "WL-128" not in {one["number"] for one in letters()}
    assert "OHM 6410" in flat(letter("WL-141"))


def test_list_agrees_with_the_letters() -> None:
    """Where list and letter speak of one part, they name the same successor and the same day."""
    with (PAPERS / "supersessions_1996.csv").open(encoding="utf-8", newline="") as held:
        rows = {row["Old part number"]: row for row in csv.DictReader(held)}
    assert "K41-2086 has been replaced by K41-2233" in flat(letter("WL-132"))
    assert (rows["K41-2086"]["New part number"], rows["K41-2086"]["Date"]) == ("K41-2233", "1987-09-03")
    assert letter("WL-132")["date"] == "3 September 1987"
    assert (rows["K41-2233"]["New part number"], rows["K41-2233"]["Date"]) == ("K41-2250", "1990-11-19")
    assert letter("WL-140")["date"] == "19 November 1990"


def test_slips_hold_one_plate_more() -> None:
    """Slip 61207 holds what the letter on its kit says; slip 61344 one steel plate more than the letter."""
    slips = {
        one["file"]: {row[-2]: row[-1] for row in one["rows"][1:]} for one in lists() if "slip" in one["file"]
    }
    assert slips["slip_61207.csv"]["Steel plate 2.00"] == "9"
    table = next(block for block in letter("WL-144")["body"] if not isinstance(block, str))
    said = {name: count for count, _, name in table[1:]}
    assert said["Steel plate"] == "6"
    assert slips["slip_61344.pdf"] == said | {"Steel plate": "7"}


def test_tour_order() -> None:
    """The tour walks page, procedure twice, part twice, kit twice, doubts, missing, week."""
    commands = [stop["argv"][0] for stop in stops()]
    assert commands == [
        "page",
        "procedure",
        "procedure",
        "part",
        "part",
        "kit",
        "kit",
        "doubts",
        "missing",
        "week",
    ]
    assert all(stop["title"] and stop["why"] for stop in stops())


def test_every_number_in_the_tour_exists(items: dict[str, dict[str, str]]) -> None:
    """Parts, pages, the publication and the models named in the tour stand in the papers."""
    text = " ".join(all_words(p) for p in sorted(PAPERS.iterdir()))
    for stop in stops():
        argv = stop["argv"]
        for part in PART.findall(" ".join([*argv, stop["why"]])):
            assert part in text
        for page in re.findall(r"\b[12]-[0-9]+\b", " ".join(argv)):
            assert page in items
        if PUBLICATION in argv:
            assert PUBLICATION in text
        if "--model" in argv:
            assert argv[argv.index("--model") + 1] in {"RT 52", "RT 52 L", "RT 64"}
