"""The README's block of help pages."""

from pathlib import Path

import pytest
from benchleaf.cli.helptext import BEGIN, END, block, main, with_block
from benchleaf.cli.main import COMMANDS

README = Path(__file__).resolve().parents[2] / "README.md"


def test_block_holds_every_command() -> None:
    """The block shows the main page and every command's."""
    text = block()
    for name in COMMANDS:
        assert f"### `benchleaf {name}`" in text
    assert "Usage: benchleaf [OPTIONS]" in text


def test_written_block_is_found_current_and_a_changed_one_is_not(tmp_path: Path) -> None:
    """Writing makes the check pass; a changed word inside the block makes it fail; the rest stays."""
    file = tmp_path / "README.md"
    file.write_text(f"# Before\n{BEGIN}\nold\n{END}\nafter\n", encoding="utf-8")
    assert main([str(file), "--check"]) == 1
    assert main([str(file)]) == 0
    assert main([str(file), "--check"]) == 0
    text = file.read_text(encoding="utf-8")
    assert text.startswith(f"# Before\n{BEGIN}\n\n### ")
    assert text.endswith(f"{END}\nafter\n")
    file.write_text(text.replace("Usage:", "Use:", 1), encoding="utf-8")
    assert main([str(file), "--check"]) == 1


def test_a_file_without_markers_is_refused(tmp_path: Path) -> None:
    """Without markers nothing is written."""
    file = tmp_path / "README.md"
    file.write_text("# Nothing\n", encoding="utf-8")
    assert main([str(file)]) == 2
    assert file.read_text(encoding="utf-8") == "# Nothing\n"


@pytest.mark.skipif(not README.exists(), reason="an installed package has no README beside its tests")
def test_readme_is_current() -> None:
    """The README's help pages are those of the commands; `python -m benchleaf.cli.helptext README.md` makes
    them so."""
    text = README.read_text(encoding="utf-8")
    assert with_block(text) == text
