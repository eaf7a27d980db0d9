"""Hostile words in papers of every kind, taken in by `add`: every command, sheet and page that shows them."""

import csv
import io
import json
from collections import deque
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urljoin, urlsplit

import pytest
from benchleaf.cli.csv_week import cell
from hostile_papers import FORMULAS, LONG, MARKUP, call, commands, sheets, shop, unfit


@pytest.fixture(scope="module")
def held(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the hostile papers; no test changes it."""
    return shop(tmp_path_factory.mktemp("hostile"))


def test_every_command_shows_them_inertly(held: Path) -> None:
    """No escape sequence, bidi mark or other steering sign reaches standard output or standard error, no
    command ends in a defect, and JSON is one object in ASCII."""
    lines = commands(held)
    assert len(lines) > 35
    for line in lines:
        for form in ((), ("--json",)):
            result = call(held, *line, *form)
            assert unfit(result.stdout + result.stderr) == [], (line, form)
            assert "Unexpected" not in result.stderr and result.exit_code in (0, 1, 2), (line, result.stderr)
            if form and result.stdout:
                json.loads(result.stdout_bytes.decode("ascii"))


def test_markup_is_shown_letter_for_letter(held: Path) -> None:
    """What looks like markup in a step is printed as it stands."""
    told = " ".join(call(held, "page", "SM-70", "2").stdout.split())
    assert "<script>alert(1)</script>" in told and "[bold]b[/bold]" in told and "{{7*7}}" in told


class Tags(HTMLParser):
    """The tags of a page with their attributes."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def links(self) -> set[str]:
        return {str(a["href"]) for t, a in self.tags if t == "a" and a.get("href")}


def inert(page: bytes, where: str) -> Tags:
    """Asserts that a page has no markup of a paper's and no sign that steers; its tags."""
    words = page.decode("utf-8")
    assert [s for s in unfit(words) if s.split()[0] not in ("U+0009", "U+000D")] == [], where
    assert "<script>alert" not in words and "<img src=x" not in words, where
    found = Tags(words)
    assert not [a for _, a in found.tags if any(n.startswith("on") for n in a)], where
    assert not [t for t, a in found.tags if t == "script" and not a.get("src")], where
    return found


def test_every_sheet_shows_them_inertly(held: Path, tmp_path: Path) -> None:
    """Sheets of each kind hold the papers' words as words: no tag, no handler, no steering sign."""
    made = sheets(held, tmp_path)
    assert len(made) == 5
    for name, page in made.items():
        inert(page, name)
    assert b"&lt;script&gt;alert(1)" in made["page"]


def test_every_page_of_the_desk_shows_them_inertly(held: Path) -> None:
    """Every page that can be reached from the desk's start page, and searches for hostile words."""
    pytest.importorskip("flask", reason="the desk is an extra")
    from benchleaf.cli.desk.app import Desk, application

    made = application(Desk(held))
    made.testing = False
    client = made.test_client()
    starts = [
        "/",
        f"/?q={MARKUP.replace('%', '')}",
        "/?q=script",
        "/part?number=7731-20",
        "/week",
        "/missing",
    ]
    waiting, seen, shown = deque(starts), set(starts), 0
    while waiting and shown < 80:
        at = waiting.popleft()
        answer = client.get(at)
        assert answer.status_code < 500, at
        if answer.mimetype != "text/html":
            continue
        shown += 1
        for link in sorted(inert(answer.data, at).links()):
            inside = urljoin(at, link).split("#")[0]
            if (
                inside not in seen
                and not urlsplit(inside).scheme
                and (inside.count("week") == 0 or shown < 9)
            ):
                seen.add(inside)
                waiting.append(inside)
    assert shown > 25


def test_no_cell_of_the_weekly_table_is_a_formula(held: Path) -> None:
    """OWASP, "CSV Injection": =, +, -, @, tab and carriage return begin a formula; their full-width forms are
    taken for them by some programs (common practice, no source)."""
    text = call(held, "week", "--csv", "-").stdout_bytes.decode("utf-8")
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert len(rows) > 10
    for row in rows:
        for one in row:
            assert not one.lstrip().startswith(
                ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")
            ), one
    assert any(one.startswith("'=1+1|cmd") for row in rows for one in row)


@pytest.mark.parametrize("words", FORMULAS)
def test_a_formula_gets_an_apostrophe(words: str) -> None:
    """A spreadsheet takes a cell with an apostrophe before it for words."""
    assert cell(words) == f"'{words.strip()}"
    assert cell(f"\u200b\u202e {words}") == f"'{words.strip()}"


SEARCHES = (
    *('"', '""', "disc AND", "NEAR(disc screws, 3)", "NOT disc", "disc*", "disc OR OR", "note : disc"),
    *("text:disc", "{part_key} : disc", "-disc", "--", "(disc", ")", "^disc", "disc +", "'", ";", "\\", "%"),
    *("_", "\0", "\ud800", "part_key : 7731", "7731* OR 4410", '"disc" NEAR "screws"', "a" * 300),
    *("disc " * 300, "\uff02disc\uff02", "'; DROP TABLE file; --", "item_search MATCH 1"),
)


@pytest.mark.parametrize("words", SEARCHES, ids=range(len(SEARCHES)))
def test_search_takes_words_for_words(held: Path, words: str) -> None:
    """Operators, column filters, quotation marks and SQL in a search are words to be found: it answers with
    hits or none (SQLite's documentation of FTS5, "Full-text Query Syntax", names the operators)."""
    result = call(held, "find", "--json", "--", words)
    assert result.exit_code in (0, 1, 2) and "Unexpected" not in result.stderr, result.stderr
    json.loads(result.stdout)
    assert call(held, "find", "--json", "discs").exit_code == 0


def test_operators_find_no_more_than_their_words(held: Path) -> None:
    """`discs OR nowhere` finds nothing, as no paper has all three words."""
    assert json.loads(call(held, "find", "--json", "discs OR nowherefound").stdout)["hits"] == []


def test_very_long_words_are_found_and_shown(held: Path) -> None:
    """A word of 4,000 letters is wrapped, not cut, and no line of the table is wider than the screen."""
    told = call(held, "page", "SM-70", "2").stdout
    assert "".join(told.split()).count("W") >= len(LONG)
    assert max(map(len, told.splitlines())) <= 100
