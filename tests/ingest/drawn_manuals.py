"""Invented manuals drawn with reportlab in many layouts, each with the truth of what was drawn.

Everything in them is invented: makers, units, numbers and wording.
"""

import io
import random
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from reportlab.lib.pagesizes import A4
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

WIDTH, HEIGHT = A4

SENTENCES = (
    "Soak the lined plates in clean hydraulic oil for at least {n} minutes before they are fitted.",
    "Lower the sun wheel into the planet carrier until it seats on the thrust race.",
    "Tighten the bearing cap bolts in a crosswise order to {v} Nm.",
    "Check that the end float of the lay shaft lies between 0.{n} and 0.{m} mm; "
    "correct it with shims from set {p}.",
    "Fit a new sealing ring ({p}) with its open side towards the pump.",
    "Turn the input flange by hand through {n} turns.",
    "Renew the pump body if the wear ring groove is deeper than 0.{n} mm.",
    "Measure the free length of each return spring. "
    "It must be at least {v} mm; renew the whole set if one is shorter.",
    "Connect a gauge of 0 to {v} bar to port G2 and run the unit at {v}0 r/min.",
    "Stack the plates in the basket, a plain plate first, the two kinds in turn. "
    "Count: {n} lined plates and {m} plain plates.",
    "Wipe the joint faces and apply a bead of jointing paste {n} mm wide, as shown in Fig. {n}.",
    "Heat the race of bearing {p} to {v} °C and push it up to the shoulder of the quill.",
    "Insert the {n} cover screws finger tight. Leave the two by the filler until step {n} is done.",
    "Drive the lip seal home with mandrel M-{v}; it must stand 0.5 mm below the face.",
    "Fill with {n}.5 litres of oil to grade {n} of the table on page {n}.",
    "Bleed the circuit at valve {n}.",
    "Support the rotor with a strap so that it cannot drop when the circlip is taken out.",
    "Mark the position of the selector fork before it is removed.",
)
EXTRAS = (
    "Wait until the paste has set.",
    "Do not force it.",
    "Note the reading on the build sheet.",
    "Turn the shaft while doing so.",
    "Keep the shims with their bearing.",
    "Repeat on the other side.",
)
NOTICES = (
    ("CAUTION", "Wear eye protection."),
    ("NOTE", "Keep the races in their order."),
    (
        "WARNING",
        "The spring is under load. Use the press and release it slowly, with nobody in front of the tool.",
    ),
    ("NOTE", "Tool M-55 may be used in place of M-44."),
)
HEADINGS = (
    "Fitting the brake pack",
    "Assembling the lay shaft",
    "Charge pump",
    "Closing the case",
    "Rear cover and selector",
    "Planet carrier",
    "Control valve block",
    "Input quill",
)


@dataclass(frozen=True)
class Look:
    """How a manual is laid out and worded."""

    name: str
    mark: Callable[[int], str] = lambda n: f"{n}."
    label: Callable[[int], str] = str
    sub: Callable[[int], str] = lambda n: f"{'abcdefgh'[n]})"
    columns: int = 1
    hang: float = 22.0
    mark_right: bool = False
    block: bool = False
    indent: float = 0.0
    restart: str = "section"  # section, never, page
    notices: str = "framed"  # framed, run-in, above, bold, none
    before_first: bool = False
    figure: str = "none"  # framed, open, beside, legend
    table: str = "none"  # ruled, aligned
    folio: Callable[[int], str] = lambda n: str(n + 6)
    head: str = "{pub}  {section}"
    foot: str = ""
    font: str = "Helvetica"
    size: float = 9.5
    gap: float = 5.0
    leading: float = 1.22
    mirrored: bool = False
    heading: str = "bold"  # bold, large, capitals, plain, numbered
    heading_gap: float = 10.0
    steps: tuple[int, int] = (4, 9)
    sections: int = 7
    pages_each: bool = False  # each section begins on a new page
    cover: bool = True
    tools: bool = False
    contents: bool = False
    further: float = 0.0  # chance of a paragraph of its own, indented like the text
    capitals: bool = False
    no_stops: bool = False
    pub: str = "KM 310"
    bold_marks: bool = False
    border: bool = False
    notice_at: float | None = None  # the notices' indent, if not the text's


@dataclass
class Drawn:
    """A drawn manual: its bytes, and the truth."""

    data: bytes
    pub: str
    items: dict[tuple[str, str, int], str] = field(
        default_factory=dict
    )  # (folio, label, nth of it on that page)
    sections: dict[tuple[str, str, int], str] = field(default_factory=dict)
    notices: dict[tuple[str, str, int], tuple[tuple[str, str], ...]] = field(default_factory=dict)
    folios: list[str] = field(default_factory=list)


class Artist:
    """Draws one manual line by line, in columns, and writes down what it draws."""

    def __init__(self, look: Look, seed: int) -> None:
        self.look = look
        self.dice = random.Random(f"{look.name}/{seed}")
        self.file = io.BytesIO()
        self.canvas = Canvas(self.file, pagesize=A4)
        self.truth = Drawn(b"", look.pub)
        self.page = 0
        self.column = 0
        self.y = 0.0
        self.section = ""
        self.beside_until, self.beside_page = 1e6, -1
        self.key: tuple[str, str, int] | None = None

    # the sheet

    @property
    def left_margin(self) -> float:
        return (70.0 if self.page % 2 else 48.0) if self.look.mirrored else 56.0

    @property
    def column_width(self) -> float:
        return self.full_width - (
            180.0 if self.y > self.beside_until and self.page == self.beside_page else 0.0
        )

    @property
    def full_width(self) -> float:
        return (WIDTH - 118.0 - 18.0 * (self.look.columns - 1)) / self.look.columns

    @property
    def left(self) -> float:
        return self.left_margin + self.column * (self.column_width + 18.0)

    @property
    def pitch(self) -> float:
        return self.look.size * self.look.leading

    def new_page(self) -> None:
        if self.page:
            self.canvas.showPage()
        self.page += 1
        self.column = 0
        self.top = HEIGHT - 70
        self.y = self.top
        folio = self.look.folio(self.page)
        self.truth.folios.append(folio)
        self.canvas.setFont(self.look.font, 7)
        head = self.look.head.format(pub=self.look.pub, section=self.section)
        if head:
            self.canvas.drawString(self.left_margin, HEIGHT - 40, head)
            self.canvas.line(self.left_margin, HEIGHT - 45, WIDTH - 60, HEIGHT - 45)
        if self.look.foot:
            self.canvas.drawString(self.left_margin, 40, self.look.foot.format(pub=self.look.pub))
        self.canvas.drawRightString(WIDTH - 60, 40, folio)
        if self.look.border:
            self.canvas.rect(self.left_margin - 14, 54, WIDTH - 96, HEIGHT - 105)

    @property
    def folio(self) -> str:
        return self.truth.folios[-1]

    def need(self, height: float) -> None:
        if self.y - height < 62:
            self.column += 1
            self.y = self.top
            if self.column >= self.look.columns:
                self.new_page()

    def wrap(self, text: str, width: float, font: str, size: float) -> list[str]:
        lines, line = [], ""
        for word in text.split():
            trial = f"{line} {word}".strip()
            if line and stringWidth(trial, font, size) > width:
                lines.append(line)
                line = word
            else:
                line = trial
        return [*lines, line]

    def write(self, x: float, text: str, font: str | None = None, size: float | None = None) -> None:
        self.canvas.setFont(font or self.look.font, size or self.look.size)
        self.canvas.drawString(x, self.y, text)

    @property
    def bold(self) -> str:
        return {"Helvetica": "Helvetica-Bold", "Times-Roman": "Times-Bold", "Courier": "Courier-Bold"}[
            self.look.font
        ]

    # the parts of a page

    def heading(self, text: str) -> None:
        look = self.look
        self.need(70)
        if self.y < self.top:
            self.y -= look.heading_gap
        size = look.size + (
            4 if look.heading == "large" else 1.5 if look.heading in ("bold", "numbered") else 0
        )
        font = look.font if look.heading in ("plain", "capitals", "large") else self.bold
        shown = text.upper() if look.heading == "capitals" else text
        for line in self.wrap(shown, self.column_width, font, size):
            self.y -= size
            self.write(self.left, line, font, size)
            self.y -= 0.3 * size
        self.section = shown
        self.y -= 4

    def paragraph(self, text: str, x: float, width: float, first: float | None = None) -> None:
        """Lines at x; the first may begin elsewhere and leave less room."""
        start = x if first is None else first
        lines = self.wrap(text, width - (start - x if start > x else 0), self.look.font, self.look.size)
        if start > x:  # the first line is shorter than the others
            head = lines[0]
            lines = [head, *self.wrap(text[len(head) :].strip(), width, self.look.font, self.look.size)]
            lines = [li for li in lines if li]
        for at, line in enumerate(lines):
            if at or first is None:
                self.need(self.pitch)
                self.y -= self.pitch
            self.write((start if at == 0 else x) - self.base + self.left, line)

    def item(self, number: int) -> None:
        look = self.look
        self.need(2.2 * self.pitch)
        self.y -= look.gap + self.pitch
        self.base = self.left
        mark, left = look.mark(number), self.left + look.indent
        at = left + look.hang - 6 - stringWidth(mark, look.font, look.size) if look.mark_right else left
        self.write(at, mark, self.bold if look.bold_marks else None)
        key = (self.folio, look.label(number), 0)
        while key in self.truth.items:
            key = (key[0], key[1], key[2] + 1)
        self.key = key
        parts = [self.sentence()]
        right = self.left + self.column_width
        if look.block:
            start = left + stringWidth(mark + "  ", look.font, look.size)
            self.paragraph(parts[0], left, right - left, start)
            text_x = left + 12
        else:
            text_x = left + look.hang
            self.paragraph(parts[0], text_x, right - text_x, text_x)
        offset, width = text_x - left + look.indent, right - text_x
        parts += self.sub_steps(offset, width)
        if look.further and not look.block and self.dice.random() < look.further:
            self.y -= 4
            extra = self.dice.choice(EXTRAS)
            self.base = self.left
            self.paragraph(extra, self.left + offset, width)
            parts.append(extra)
        self.truth.items[key] = " ".join(" ".join(parts).split())
        self.truth.sections[key] = self.section
        self.truth.notices.setdefault(key, ())

    def sub_steps(self, offset: float, width: float) -> list[str]:
        if self.dice.random() > 0.22:
            return []
        chosen = self.dice.sample(EXTRAS, self.dice.randint(2, 3))
        for n, extra in enumerate(chosen):
            self.need(self.pitch)
            self.y -= self.pitch
            x = self.left + offset
            self.base = self.left
            self.write(x, self.look.sub(n))
            self.paragraph(extra, x + 16, width - 16, x + 16)
        return chosen

    def sentence(self) -> str:
        dice = self.dice
        count = 1 if dice.random() < 0.7 else 2
        values = {"n": dice.randint(2, 9), "m": dice.randint(10, 39), "v": dice.randint(40, 300)}
        chosen = [
            s.format(p=f"{dice.randint(100, 999)}-{dice.randint(10, 99)}", **values)
            for s in dice.sample(SENTENCES, count)
        ]
        text = " ".join(chosen)
        if self.look.capitals:
            text = text.upper()
        return text.rstrip(".") if self.look.no_stops else text

    def notice(self) -> None:
        kind, text = self.dice.choice(NOTICES)
        look = self.look
        hang = look.hang if look.notice_at is None else look.notice_at
        left, width = self.left + hang, self.column_width - hang - 8
        font = look.font if look.notices != "framed" else self.bold
        word = {"framed": f"{kind}  ", "run-in": f"{kind}: ", "above": "", "bold": f"{kind.capitalize()} "}[
            look.notices
        ]
        lines = self.wrap(word + text, width, font, look.size)
        height = self.pitch * (len(lines) + (look.notices == "above")) + 12
        self.need(height)
        left = self.left + hang
        self.y -= 6
        if look.notices == "framed":
            self.canvas.rect(left, self.y - height + 6, width + 8, height - 4)
        if look.notices == "above":
            self.y -= self.pitch
            self.write(left + width / 2 - 20, kind, self.bold)
        for at, line in enumerate(lines):
            self.y -= self.pitch
            if look.notices == "bold" and at == 0:
                self.write(left, kind.capitalize(), self.bold)
                rest = line[len(kind) :].strip()
                self.write(left + stringWidth(kind + "  ", self.bold, look.size), rest)
            else:
                self.write(left + (4 if look.notices == "framed" else 0), line, font)
        self.y -= 6
        if self.key is not None:
            held = self.truth.notices[self.key]
            self.truth.notices[self.key] = (*held, (kind, text))

    def figure(self, number: int) -> None:
        """A drawing with numbers to its parts, its caption, and for a legend the names of the parts."""
        look, dice = self.look, self.dice
        self.need(150)
        if look.figure == "beside":
            self.figure_beside(number)
            return
        height = 80.0
        bottom = self.y - height - 8
        x, width = self.left, self.column_width
        if look.figure == "framed":
            self.canvas.rect(x, bottom, width, height)
        self.canvas.ellipse(x + 0.3 * width, bottom + 10, x + 0.7 * width, bottom + height - 10)
        self.canvas.setFont(look.font, 8)
        for n in range(1, 6):
            side = n % 2
            cx = x + (0.12 if side else 0.86) * width + dice.uniform(-4, 4)
            cy = bottom + 8 + n * 12
            self.canvas.drawString(cx, cy, str(n))
            self.canvas.line(cx + 6, cy + 3, x + 0.5 * width, bottom + 0.5 * height)
        self.y = bottom - 11
        self.write(x, f"Fig. {number}", None, 8)
        if look.figure == "legend":
            for n, part in enumerate(("Case", "Wear ring", "Thrust race", "Plain plate", "Circlip"), 1):
                self.y -= 10
                self.write(x, f"{n}  {part}", None, 8)
        self.y -= 6

    def figure_beside(self, number: int) -> None:
        """A drawing on the right of the text, whose numbers stand at the height of the text's lines."""
        x, top = self.left + self.full_width - 160, self.y - 4
        self.canvas.ellipse(x + 40, top - 100, x + 120, top - 20)
        self.canvas.setFont(self.look.font, 8)
        for n in range(1, 6):
            cx, cy = x + (12 if n % 2 else 148) + self.dice.uniform(-4, 4), top - 10 - n * 18
            self.canvas.drawString(cx, cy, str(n))
            self.canvas.line(cx + 4, cy + 3, x + 80, top - 60)
        self.canvas.drawString(x + 60, top - 118, f"Fig. {number}")
        self.beside_until, self.beside_page = top - 135, self.page

    def table(self) -> None:
        """A table of limits whose rows begin with numbers."""
        look = self.look
        rows = [("Size", "Torque", "Tool")] + [(f"{n}", f"{n * 12} Nm", f"M-{n}{n}") for n in range(1, 6)]
        self.need(len(rows) * 14 + 20)
        self.y -= 8
        step = min(70.0, self.column_width / 3)
        for row in rows:
            if look.table == "ruled":
                for c in range(3):
                    self.canvas.rect(self.left + c * step, self.y - 14, step, 14)
            self.y -= 10
            for c, cell in enumerate(row):
                self.write(self.left + c * step + 3, cell)
            self.y -= 4
        self.y -= 6

    # the book

    def cover_page(self) -> None:
        self.canvas.setFont(self.look.font, 22)
        self.canvas.drawString(70, 680, "Orrin Vale")
        self.canvas.setFont(self.look.font, 16)
        self.canvas.drawString(70, 640, "Overhaul Manual")
        self.canvas.setFont(self.look.font, 11)
        self.canvas.drawString(70, 610, "Reversing gearbox RK-20, RK-24")
        self.canvas.drawString(70, 590, f"Publication No. {self.look.pub}   Edition 3   1994")
        self.canvas.showPage()

    def contents_page(self) -> None:
        self.canvas.setFont(self.bold, 14)
        self.canvas.drawString(56, 760, "Contents")
        for n, name in enumerate(HEADINGS, 1):
            self.canvas.setFont(self.look.font, 10)
            self.canvas.drawString(56, 740 - 16 * n, f"{n}. {name} {'.' * 60} {n + 9}")
        self.canvas.showPage()

    def tools_list(self) -> None:
        self.y -= self.pitch + 4
        self.base = self.left
        text = (
            "Tools for this section: mandrel M-44, strap, two feeler gauges and a press of 12 tonnes or more."
        )
        for line in self.wrap(text, self.column_width, self.look.font, self.look.size):
            self.write(self.left, line)
            self.y -= self.pitch

    def draw(self) -> Drawn:
        look = self.look
        if look.cover:
            self.cover_page()
        if look.contents:
            self.contents_page()
        self.section = HEADINGS[0]
        self.new_page()
        number = 0
        for n in range(look.sections):
            name = HEADINGS[n % len(HEADINGS)] + ("" if n < len(HEADINGS) else f" {n}")
            if look.heading == "numbered":
                name = f"{n + 2}.{n + 1} {name}"
            if look.pages_each and n:
                self.section = name
                self.new_page()
            self.heading(name)
            self.key = None
            number = (
                0 if look.restart == "section" or (look.restart == "page" and look.pages_each) else number
            )
            self.section_body(n, number)
            number = self.last
        self.canvas.save()
        self.truth.data = self.file.getvalue()
        return self.truth

    def section_body(self, n: int, number: int) -> None:
        look = self.look
        if look.tools:
            self.tools_list()
        if look.figure != "none" and n % 2 == 0:
            self.figure(n + 1)
        count = self.dice.randint(*look.steps)
        for k in range(count):
            number += 1
            self.item(number)
            if look.notices != "none" and self.dice.random() < 0.3:
                self.notice()
            if look.table != "none" and k == count // 2 and n % 2:
                self.table()
        self.last = number


def roman(n: int) -> str:
    return ("i", "ii", "iii", "iv", "v")[n]


BASE = Look("plain")
LOOKS = (
    BASE,
    Look("margin numerals", mark=lambda n: f"{n}", hang=26, notices="run-in", figure="framed"),
    Look(
        "margin numerals, mirrored",
        mark=str,
        hang=26,
        mirrored=True,
        font="Times-Roman",
        size=10.5,
        notices="none",
    ),
    Look(
        "parentheses in two columns",
        mark=lambda n: f"({n})",
        columns=2,
        restart="never",
        notices="framed",
        size=8.5,
    ),
    Look(
        "three columns", mark=lambda n: f"{n})", columns=3, size=7.5, hang=15, notices="run-in", steps=(8, 14)
    ),
    Look("Step n", mark=lambda n: f"Step {n}", hang=38, notices="above", folio=lambda n: f"4-{n + 61}"),
    Look(
        "Step n colon, block",
        mark=lambda n: f"STEP {n}:",
        block=True,
        notices="run-in",
        folio=lambda n: f"2A-{n}",
    ),
    Look(
        "Item n",
        mark=lambda n: f"Item {n}",
        hang=40,
        notices="none",
        heading="large",
        folio=lambda n: f"C{n}",
    ),
    Look("Op. n by tens", mark=lambda n: f"Op. {n * 10}", label=lambda n: str(n * 10), hang=44, steps=(4, 8)),
    Look("n dash", mark=lambda n: f"{n} -", hang=24, notices="bold", figure="open"),
    Look("block paragraphs", block=True, gap=7, notices="none", font="Times-Roman", size=11),
    Look("block in two columns", block=True, gap=7, columns=2, notices="framed", restart="never", size=9),
    Look("right aligned", mark_right=True, hang=28, steps=(9, 13), notices="framed"),
    Look("indented steps", indent=24, notices="run-in", heading="large"),
    Look("callouts without a frame", figure="open", notices="framed", folio=lambda n: f"14-{n + 210}"),
    Look("callouts with a legend", figure="legend", mark=lambda n: f"({n})", notices="none"),
    Look("legend and bare numbers", figure="legend", mark=str, notices="none", hang=26),
    Look("ruled tables", table="ruled", notices="framed", mark=str, hang=24),
    Look("aligned tables", table="aligned", notices="run-in", mark=lambda n: f"{n}."),
    Look(
        "aligned tables, two columns",
        table="aligned",
        columns=2,
        size=8.5,
        mark=str,
        restart="never",
        notices="none",
    ),
    Look("a page each", pages_each=True, figure="framed", folio=lambda n: f"55-20-{n:02d}"),
    Look("numbered headings", heading="numbered", notices="run-in", tools=True),
    Look("capital headings", heading="capitals", notices="none", heading_gap=14, font="Courier", size=9),
    Look("plain headings", heading="plain", notices="none", heading_gap=14),
    Look("contents and tools", contents=True, tools=True, notices="above"),
    Look(
        "multi-level",
        mark=lambda n: f"5.3.{n}",
        label=lambda n: f"5.3.{n}",
        hang=34,
        restart="never",
        notices="framed",
    ),
    Look(
        "letters",
        mark=lambda n: f"{chr(64 + n)}.",
        label=lambda n: chr(64 + n),
        sub=lambda n: f"({n + 1})",
        notices="none",
    ),
    Look("sub-steps in numbers", mark=lambda n: f"{n}.", sub=lambda n: f"({n + 1})", notices="run-in"),
    Look("sub-steps in roman", sub=lambda n: f"({roman(n)})", notices="framed", columns=2, size=8.5),
    Look("bullets", sub=lambda n: "•", notices="framed"),
    Look("dashes", sub=lambda n: "–", notices="none", mark=lambda n: f"{n})"),
    Look("letters with a stop", sub=lambda n: f"{'abc'[n]}.", notices="bold", columns=2, size=8.5, mark=str),
    Look("further paragraphs", further=0.35, notices="run-in", gap=7),
    Look(
        "further paragraphs, two columns",
        further=0.35,
        notices="framed",
        columns=2,
        size=8.5,
        restart="never",
    ),
    Look("no full stops", no_stops=True, notices="framed"),
    Look("all capitals", capitals=True, notices="framed", size=8.5),
    Look("tight", gap=0.0, leading=1.15, notices="none", steps=(9, 14)),
    Look("tight and bare", gap=0.0, leading=1.15, notices="none", mark=str, steps=(9, 14)),
    Look(
        "no cover", cover=False, head="Overhaul Manual {pub}", notices="framed", folio=lambda n: f"{n + 130}"
    ),
    Look("number in the foot", cover=False, head="", foot="{pub}", notices="framed", pub="Form 7714-B"),
    Look("wide leading", leading=1.6, gap=9, notices="framed"),
    Look("brackets", mark=lambda n: f"[{n}]", notices="run-in"),
    Look("leading zeros", mark=lambda n: f"{n:02d}", notices="none", hang=24),
    Look("wide margin for numbers", mark=str, hang=64, notices="run-in", notice_at=64),
    Look("bold numbers", bold_marks=True, notices="framed", notice_at=0),
    Look(
        "bold numbers, two columns",
        bold_marks=True,
        columns=2,
        size=8.5,
        mark=str,
        notices="bold",
        notice_at=0,
    ),
    Look("border around the page", border=True, notices="framed", figure="framed"),
    Look("border, two columns", border=True, columns=2, size=8.5, notices="run-in", restart="never"),
    Look("figure beside the text", figure="beside", notices="none", mark=lambda n: f"{n}."),
    Look("figure beside the text, bare numbers", figure="beside", notices="run-in", mark=str, hang=24),
    Look("one page", cover=False, sections=1, steps=(8, 9), notices="framed", folio=lambda n: "4-62"),
)


def draw(look: Look, seed: int = 1) -> Drawn:
    """Draw one manual."""
    return Artist(look, seed).draw()


def variant(look: Look, **changes: object) -> Look:
    """The same look with other fields."""
    return replace(look, **changes)  # type: ignore[arg-type]  # a test's helper: fields by name
