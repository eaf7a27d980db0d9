"""Draws invented manuals in many layouts by a seed, with the paragraphs and page numbers they should read
as."""

import random
import re
from typing import NamedTuple

from drawing_board import BOLD, Board, wrap
from reportlab.pdfbase.pdfmetrics import stringWidth

VERBS = [
    "Remove",
    "Fit",
    "Measure",
    "Clean",
    "Press",
    "Tighten",
    "Inspect",
    "Lift",
    "Turn",
    "Coat",
    "Drain",
    "Renew",
    "Mark",
    "Slide",
    "Check",
    "Heat",
]
THINGS = [
    "oil pump",
    "input shaft",
    "clutch drum",
    "piston",
    "steel discs",
    "friction discs",
    "retaining ring",
    "ball bearing",
    "lip seal",
    "valve body",
    "cover",
    "gear wheel",
    "brake band",
    "end plate",
    "return springs",
]
TAILS = [
    "with a plastic mallet",
    "and set it aside",
    "to 45 Nm",
    "using puller T-458",
    "until it bottoms",
    "to 0.12 mm",
    "and discard the gasket",
    "with the marks facing the output end",
    "in clean oil for 30 minutes",
    "by hand",
    "and note the thickness of the shims (0.10, 0.20 or 0.50 mm)",
    "in the order shown in Fig. 7",
    "to the shoulder, then turn it two turns back",
    "after heating the housing to 90 °C",
]
NOTICES = (
    "CAUTION  Wear eye protection.",
    "NOTE  Keep the parts in order. Do not mix the discs of two packs.",
)


class Drawn(NamedTuple):
    pdf: bytes
    paragraphs: list[list[str]]
    folios: list[str | None]


class Style(NamedTuple):
    columns: int
    size: float
    leading: float
    gutter: float
    font: str
    mark: str
    hang: float
    justify: bool
    gap: float
    head: str
    foot: str
    folio: str


def plain(text: str) -> str:
    """The words only: marks and case aside."""
    return re.sub(r"[\W_]+", " ", text.lower()).strip()


def style(pick: random.Random, width: float) -> Style:
    columns = pick.choice([1, 2, 2, 3] if width > 500 else [1, 2])
    size = {1: pick.choice([9, 10, 12]), 2: pick.choice([8, 9, 10]), 3: pick.choice([7, 8])}[columns]
    font = pick.choice(["Helvetica", "Times-Roman"])
    mark = pick.choice(["{}.", "({})", "{}", "Step {}.", "{}:", "{})"])
    widest = stringWidth(mark.format(188), font, size) + 0.4 * size
    return Style(
        columns,
        size,
        size * pick.choice([1.12, 1.2, 1.3]),
        pick.choice([11, 14, 18, 24]),
        font,
        mark,
        pick.choice([0, max(widest, 22), max(widest, 34)]),
        pick.random() < 0.5,
        size * pick.choice([0.2, 0.5, 0.8]),
        pick.choice(["none", "title", "alternating", "section", "ruled"]),
        pick.choice(["none", "centre", "outer"]),
        pick.choice(["{}", "4-{}", "2A-{}", "C{}", "55-20-{:02d}"]),
    )


def step(pick: random.Random) -> str:
    parts = [
        f"{pick.choice(VERBS)} the {pick.choice(THINGS)} {pick.choice(TAILS)}."
        for _ in range(pick.choice([1, 2]))
    ]
    if pick.random() < 0.3:
        parts.append(f"The limit is {pick.random():.2f} mm.")
    return " ".join(parts)


class Drawer:
    def __init__(self, seed: int) -> None:
        self.pick = random.Random(seed)
        self.board = Board(*self.pick.choice([(595, 842), (612, 792), (420, 595), (842, 595)]))
        self.style = style(self.pick, self.board.width)
        self.left, self.right, self.foot = 50.0, self.board.width - 50, self.board.height - 60
        self.number = 1

    def drawn(self) -> Drawn:
        first, sheets = self.pick.randint(3, 90), self.pick.randint(3, 6)
        folios = [self.style.folio.format(first + s) for s in range(sheets)]
        paragraphs = []
        for sheet, folio in enumerate(folios):
            paragraphs.append(self.sheet(sheet, folio))
            self.board.sheet()
        printed = [None if self.style.foot == "none" else f for f in folios]
        return Drawn(self.board.pdf(), [[plain(t) for t in p] for p in paragraphs], printed)

    def sheet(self, sheet: int, folio: str) -> list[str]:
        pick, board, look = self.pick, self.board, self.style
        section = f"{pick.choice(['Dismantling', 'Assembling', 'Testing'])} {pick.choice(THINGS)}"
        self.furniture(sheet, folio, section)
        self.number = 1 if pick.random() < 0.3 else self.number
        want, y = [], 75.0
        if pick.random() < 0.5:
            board.text(self.left, y, section, look.size + 3, BOLD)
            want.append(section)
            y += look.size * 2.4
        if pick.random() < 0.3:
            y, caption = self.figure(y)
            want.append(caption)
        width = (self.right - self.left - look.gutter * (look.columns - 1)) / look.columns
        for column in range(look.columns):
            want += self.column(self.left + column * (width + look.gutter), y, width)
        return want

    def furniture(self, sheet: int, folio: str, section: str) -> None:
        board, head, foot = self.board, self.style.head, self.board.height - 26
        if head == "title":
            board.text(self.left, 40, "Marine Gear R4 Workshop Manual", 8)
        if head == "section":
            board.text(self.left, 40, f"R4  {section}", 8)
        if head == "alternating" and sheet % 2:
            board.text(self.left, 40, "Workshop Manual R4", 8)
        elif head == "alternating":
            board.right(self.right, 40, "Section 4 Assembly", 8)
        if head == "ruled":
            board.centre(40, section, min(8, self.style.size))
            board.rule(self.left, 46, self.right, 46)
        if self.style.foot == "centre":
            board.centre(foot, folio, 8)
        if self.style.foot == "outer" and sheet % 2:
            board.right(self.right, foot, folio, 8)
        elif self.style.foot == "outer":
            board.text(self.left, foot, folio, 8)

    def figure(self, y: float) -> tuple[float, str]:
        board, high = self.board, self.pick.randint(80, 140)
        x0, x1 = self.left + 10, self.right - 10
        if self.pick.random() < 0.5:
            board.frame(self.left, y, self.right, y + high)
        board.ellipse(x0 + 60, y + 12, x1 - 60, y + high - 12)
        for name, (x, at) in enumerate(
            [(x0 + 20, 20), (x1 - 30, 20), (x0 + 20, high - 12), (x1 - 30, high - 12)], 1
        ):
            board.rule((x0 + x1) / 2, y + high / 2, x + 6, y + at - 3)
            board.text(x, y + at, str(name), 8)
        y += high + self.style.size * 1.3
        caption = f"Fig. {self.pick.randint(1, 30)}"
        board.text(self.left, y, caption, 8)
        return y + self.style.size * 2, caption

    def column(self, x: float, y: float, width: float) -> list[str]:
        pick, look, want = self.pick, self.style, []
        while y < self.foot - look.leading * 5:
            if pick.random() < 0.06:
                heading = f"{pick.choice(['Removal', 'Refitting'])} of the {pick.choice(THINGS)}"
                self.board.text(x, y + look.size, heading, look.size + 1, BOLD)
                want.append(heading)
                y += look.size + look.leading * 1.5
            text, label = step(pick), look.mark.format(self.number)
            if look.hang:
                self.board.text(x, y, label, look.size, look.font)
                y = self.prose(x + look.hang, y, width - look.hang, text)
            else:
                y = self.prose(x, y, width, f"{label} {text}")
            want.append(f"{label} {text}")
            self.number += 1
            y += look.gap
            if pick.random() < 0.12 and y < self.foot - look.leading * 5:
                y, notice = self.notice(x + look.hang, y, width - look.hang)
                want.append(notice)
        return want

    def prose(self, x: float, y: float, width: float, text: str) -> float:
        look = self.style
        return self.board.prose(x, y, width, text, look.size, look.leading, look.justify, look.font)

    def notice(self, x: float, y: float, width: float) -> tuple[float, str]:
        look, text = self.style, self.pick.choice(NOTICES)
        lines = wrap(text, width - 8, look.size - 1, BOLD)
        top = y - look.size * 0.9
        bottom = top + len(lines) * (look.size + 1) + 6
        self.board.frame(x, top, x + width, bottom)
        self.board.lines(
            x + 4, top + look.size + 1, [" ".join(w) for w in lines], look.size - 1, look.size + 1, BOLD
        )
        return bottom + look.size * 1.4, text
