"""Draws every paper of the demo: `python -m benchleaf.corpus_demo.draw [FOLDER]`.

The papers are committed; this script says where they come from and draws them anew, the same every time.
"""

import sys
from pathlib import Path

from benchleaf.corpus_demo.letters import draw_letter
from benchleaf.corpus_demo.lists import draw_list
from benchleaf.corpus_demo.manual import PUBLICATION, draw_manual
from benchleaf.corpus_demo.markup import letters, lists

PAPERS = Path(__file__).parent / "papers"


def draw_all(folder: Path) -> tuple[str, ...]:
    """Draws all papers into the folder; gives their file names, sorted."""
    folder.mkdir(parents=True, exist_ok=True)
    draw_manual(folder / f"{PUBLICATION.lower().replace(' ', '_')}.pdf")
    for letter in letters():
        draw_letter(folder, letter)
    for what in lists():
        draw_list(folder, what)
    return tuple(sorted(paper.name for paper in folder.iterdir()))


if __name__ == "__main__":
    for name in draw_all(Path(sys.argv[1]) if len(sys.argv) > 1 else PAPERS):
        print(name)
