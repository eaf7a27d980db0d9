"""README's tour is what the program prints: every console block is run on the demo's papers and compared."""

import doctest
import importlib.resources
import re
import shlex
from pathlib import Path

import pytest
from benchleaf.cli.main import benchleaf
from click.testing import CliRunner

README = Path(__file__).parent.parent / "README.md"
BLOCKS = re.findall(
    r"```console\n\$ (benchleaf [^\n]+)\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL
)


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """A folder with the demo's papers, and a runner that answers there as a terminal of 80 columns would."""
    folder = tmp_path_factory.mktemp("shop")
    with importlib.resources.as_file(importlib.resources.files("benchleaf.corpus_demo") / "papers") as papers:
        (folder / "papers").symlink_to(papers.resolve())
    return folder


def test_the_tour_is_there():
    """README shows adding, a page, a procedure, a part, two kits and the doubts."""
    shown = {command.split()[1] for command, _ in BLOCKS}
    assert {"add", "page", "procedure", "part", "kit", "doubts"} <= shown


@pytest.mark.parametrize(("command", "shown"), BLOCKS, ids=[c for c, _ in BLOCKS])
def test_each_block_shows_what_is_printed(command, shown, shop, monkeypatch):
    """The block's text is the command's output; a line of three dots stands for lines left out."""
    monkeypatch.chdir(shop)
    monkeypatch.setenv("BENCHLEAF_STORE", str(shop / "store"))
    monkeypatch.setenv("COLUMNS", "80")
    result = CliRunner().invoke(benchleaf, shlex.split(command)[1:])
    assert result.exception is None or isinstance(result.exception, SystemExit)
    same = doctest.OutputChecker().check_output(shown, result.stdout, doctest.ELLIPSIS)
    assert same, f"{command} prints:\n{result.stdout}"
