"""The help pages of all commands as one block of Markdown, for the README.

python -m benchleaf.cli.helptext README.md            write the block between the markers
python -m benchleaf.cli.helptext README.md --check    exit 1 if it is not current
"""

import os
import sys
from pathlib import Path

import click
from benchleaf.cli.main import COMMANDS, benchleaf

BEGIN, END = "<!-- help:begin -->", "<!-- help:end -->"


def help_of(name: str | None = None) -> str:
    """The help page of a command, or of `benchleaf` itself, at a width of 79, without colour."""
    root = click.Context(benchleaf, info_name="benchleaf", terminal_width=79, **benchleaf.context_settings)
    if name is None:
        return benchleaf.get_help(root).rstrip()
    command = benchleaf.get_command(root, name)
    assert command is not None
    context = click.Context(command, info_name=name, parent=root)
    return command.get_help(context).rstrip()


def block() -> str:
    """The Markdown block: the main page, then one page a command."""
    pages = [("benchleaf", help_of()), *((f"benchleaf {name}", help_of(name)) for name in COMMANDS)]
    return "\n\n".join(f"### `{title}`\n\n```text\n{text}\n```" for title, text in pages)


def with_block(text: str) -> str:
    """The text with what stands between its markers replaced. Raises ValueError without both markers."""
    before, begin, rest = text.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"no {BEGIN} … {END} in the file")
    return f"{before}{BEGIN}\n\n{block()}\n\n{END}{after}"


def main(typed: list[str]) -> int:
    """Write or check the block; 1 if it is not current, 2 on wrong use."""
    names = [word for word in typed if word != "--check"]
    if len(names) != 1:
        print(__doc__, file=sys.stderr)
        return 2
    file = Path(names[0])
    text = file.read_text(encoding="utf-8")
    try:
        current = with_block(text)
    except ValueError as problem:
        print(f"{file}: {problem}", file=sys.stderr)
        return 2
    if "--check" in typed:
        if text != current:
            print(
                f"{file}: the help pages are not current; run this without --check",
                file=sys.stderr,
            )
        return int(text != current)
    file.write_text(current, encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    os.environ.pop("COLUMNS", None)
    sys.exit(main(sys.argv[1:]))
