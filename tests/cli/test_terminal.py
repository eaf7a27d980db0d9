"""Colour, struck words and hostile text on a real terminal and off it."""

import datetime as dt
import os
import re
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.model import Contents, Document, KitLine, Override, Supersession, Target
from small_store import ALL, build, note, source

ESCAPE = re.compile("\x1b\\[([0-9;]*)m")
COLOUR = re.compile(r"(?:^|;)(?:3[0-9]|4[0-9]|9[0-7])(?:;|$)")

EVIL = (
    "\x1b[31mred\x1b]0;owned\x07 \u202egnp.exe\u202c [bold]not bold[/bold] [link=x]y[/link] \u200bz\x9b2J\r!"
)


def on_terminal(*words: str, **env: str) -> str:
    """What benchleaf writes to a terminal 80 columns wide."""
    pty = pytest.importorskip("pty", reason="a terminal can be had on POSIX only")
    code = "from benchleaf.cli.main import main; main()"
    surroundings = {"PATH": os.environ["PATH"], "HOME": "/", "TERM": "xterm-256color", "COLUMNS": "80", **env}
    child, master = pty.fork()
    if child == 0:
        os.execve(sys.executable, [sys.executable, "-c", code, *words], surroundings)
    told = b""
    try:
        while chunk := os.read(master, 65536):
            told += chunk
    except OSError:
        pass  # Linux tells the end of a terminal so
    os.waitpid(child, 0)
    os.close(master)
    return told.decode("utf-8").replace("\r\n", "\n")


def test_old_words_are_struck_on_a_terminal(held: Path) -> None:
    """On a terminal the old value bears the strike attribute (ECMA-48, SGR 9), and no word says it was."""
    text = on_terminal("--store", str(held), "page", "VM-30", "4-12")
    before, _, _ = text.partition("29")
    assert "9" in ESCAPE.findall(before)[-1].split(";")
    assert "[was:" not in text
    assert any(COLOUR.search(code) for code in ESCAPE.findall(text))


def test_no_color_takes_colour_away_and_keeps_the_strike(held: Path) -> None:
    """NO_COLOR (no-color.org): no colour is written; attributes that are no colour may stay."""
    text = on_terminal("--store", str(held), "page", "VM-30", "4-12", NO_COLOR="1")
    assert [code for code in ESCAPE.findall(text) if COLOUR.search(code)] == []
    assert "9" in ESCAPE.findall(text.partition("29")[0])[-1].split(";")


def test_a_dumb_terminal_gets_words(held: Path) -> None:
    """TERM=dumb can strike nothing: words say what was."""
    text = on_terminal("--store", str(held), "page", "VM-30", "4-12", TERM="dumb")
    assert "\x1b" not in text
    assert "[was: 29]" in text


def test_forced_colour_does_not_reach_a_pipe(run) -> None:
    """Colour only on a terminal: variables that make other programs colour a pipe change nothing."""
    for name in ("FORCE_COLOR", "CLICOLOR_FORCE", "TTY_COMPATIBLE", "TTY_INTERACTIVE"):
        assert "\x1b" not in run("page", "VM-30", "4-12", env={name: "1"}).stdout


def hostile() -> list[Document]:
    day = dt.date(2024, 1, 2)
    rule = {"note": EVIL, "date": day, "quote": EVIL, "source": source(f"{EVIL}.pdf", EVIL)}
    kit = KitLine("66-1", EVIL, 3)
    paper = note(
        "EVIL 1",
        day,
        EVIL,
        Override(**rule, action="replace", target=Target("VM-30", "4-12", "1"), text=EVIL, applies=ALL),
        Override(
            **rule,
            action="caution",
            target=Target("VM-30", "4-12", None),
            text=EVIL,
            standing="doubtful",
            why=(EVIL,),
        ),
        Supersession(**rule, old=("7731-24",), new=(f"66{EVIL}",)),
        Contents(**rule, kit="77-1", lines=(kit,), previous=(kit,)),
        applies=replace(ALL, models=("VR 30", EVIL)),
    )
    return [replace(paper, notes=tuple(replace(n, number=EVIL) for n in paper.notes))]


@pytest.fixture(scope="module")
def evil(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(tmp_path_factory.mktemp("evil") / "store", *hostile())


SIGHTS = [
    ["notes"],
    ["publications", "--pages"],
    ["statements"],
    ["page", "VM-30", "4-12"],
    ["procedure", "--page", "4-12", "--model", "VR 30", "--serial", "5300"],
    ["part", "7731-20"],
    ["kit", "77-1", "--got", "2 friction disc"],
    ["week", "--week", "2026-W48"],
    ["doubts"],
    ["find", "gnp"],
    ["missing"],
    ["check"],
    ["statements", "--note", EVIL],
    ["page", EVIL, EVIL],
    ["part", EVIL],
    ["kit", EVIL, "--got", "1 disc"],
    [EVIL],
    ["notes", f"--{EVIL}"],
    ["week", "--since", EVIL],
    ["find", "disc", "--limit", EVIL],
    ["add", EVIL],
]
UNFIT = [chr(c) for c in range(32) if chr(c) != "\n"] + [chr(c) for c in range(127, 160)]
UNFIT += ["\u200b", "\u202a", "\u202b", "\u202c", "\u202d", "\u202e", "\u2066", "\u2067", "\u2068", "\u2069"]


@pytest.mark.parametrize("words", SIGHTS, ids=lambda words: words[0][:12].strip("\x1b"))
@pytest.mark.parametrize("form", [[], ["--json"]], ids=["words", "json"])
def test_hostile_text_is_inert(words: list[str], form: list[str], run, evil: Path) -> None:
    """Escape sequences, bidi marks and other controls in papers, and in what is typed, never come out."""
    result = run(*words, *form, store=evil)
    assert [sign for sign in UNFIT if sign in result.stdout] == []
    assert [sign for sign in UNFIT if sign in result.stderr] == []


def test_markup_in_papers_is_shown_as_it_is(run, evil: Path) -> None:
    """What looks like rich markup in a paper is printed letter for letter."""
    assert "[bold]not bold[/bold] [link=x]y[/link]" in " ".join(
        run("page", "VM-30", "4-12", store=evil).stdout.split()
    )
