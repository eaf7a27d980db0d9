"""A store as large as asked for, of invented papers by a seed: what the timings of answers ask.

The papers go straight through the store's own `insert`, as reading would hand them over, many in one
transaction; `BigStore` says what is in it, so that questions can be drawn at random.
"""

import datetime as dt
import hashlib
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benchleaf.graph.model import (
    Action,
    Applies,
    Cancels,
    Citation,
    Contents,
    Document,
    Item,
    KitLine,
    Manual,
    ManualPage,
    Note,
    Override,
    SheetText,
    Source,
    Statement,
    Supersession,
    Target,
)
from benchleaf.graph.store import Store

SEED = 20261124
NOW = dt.datetime(2026, 11, 24, 9, tzinfo=dt.UTC)
PORTION = 500  # documents in one transaction
STEPS = 8  # a page
NAMES = ("friction disc", "steel disc", "seal ring", "return spring", "snap ring", "thrust washer", "bearing")
VERBS = ("Fit", "Remove", "Check", "Oil", "Turn", "Measure", "Lift out", "Press in", "Align", "Clean")
WORDS = (
    *("drum", "hub", "carrier", "planet", "shaft", "pump", "cover", "housing", "piston", "valve", "body"),
    *("filter", "sump", "screw", "dowel", "gasket", "shim", "spline", "bush", "plug", "cage", "race"),
    *("sleeve", "spacer", "band", "servo", "lever", "pawl", "rod"),
)


@dataclass(frozen=True, slots=True)
class Size:
    """How much is to be in the store; `pages` are those of one manual."""

    parts: int = 100_000
    notes: int = 20_000
    manuals: int = 200
    pages: int = 60


@dataclass(frozen=True, slots=True)
class BigStore:
    """What is in a store that was made: its size, and the names of what it holds by their place in line."""

    size: Size

    @property
    def kits(self) -> int:
        """How many kits notes tell of: every tenth note does."""
        return max(self.size.notes // 10, 1)

    def part(self, n: int) -> str:
        """The part number at a place."""
        return f"{['KD', 'LM', 'QR', 'TV'][n % 4]} {n // 1000:04d}-{n % 1000:03d}"

    def kit(self, n: int) -> str:
        """The kit number at a place."""
        return f"ZK {n:05d}-{n * 7 % 97:02d}"

    def manual(self, n: int) -> str:
        """The publication at a place."""
        return f"RX-{1000 + n}"

    def model(self, n: int) -> str:
        """The model at a place: a manual covers one, every fifth has a second."""
        return f"GX {100 + n}"

    def page(self, n: int) -> str:
        """The printed number of a manual's page at a place."""
        return f"{1 + n // 20}-{1 + n % 20}"

    def note(self, n: int) -> str:
        """The note at a place."""
        return f"NB {n // 1000:03d}-{n % 1000:03d}"


def fill(folder: Path, size: Size, seed: int = SEED, received: str = "spread") -> BigStore:
    """Make the store in a folder; with `received` "together" all its notes came in the week of `NOW`."""
    big, dice = BigStore(size), random.Random(seed)
    with Store.open(folder, create=True) as store:
        portion: list[tuple[Document, dt.date]] = []
        for document, day in documents(big, dice, received):
            portion.append((document, day))
            if len(portion) == PORTION:
                _put(store, portion)
                portion = []
        _put(store, portion)
    return big


def _put(store: Store, portion: list[tuple[Document, dt.date]]) -> None:
    with store.transaction():
        for document, day in portion:
            store.insert(document, day, NOW)


def documents(big: BigStore, dice: random.Random, received: str) -> Iterator[tuple[Document, dt.date]]:
    """The papers, each with the day on which the shop got it: manuals, the list, the notes."""
    first = NOW.date() - dt.timedelta(days=1200)
    for n in range(big.size.manuals):
        yield _document(f"manual{n}", manual=_manual(big, n, dice)), first
    yield _document("list", notes=(_list(big, dice),)), first
    for n in range(big.size.notes):
        day = NOW.date() if received == "together" else first + dt.timedelta(days=1200 * n // big.size.notes)
        yield _document(f"note{n}", notes=(_note(big, n, dice),)), day


def _document(name: str, manual: Manual | None = None, notes: tuple[Note, ...] = ()) -> Document:
    digest = hashlib.sha256(name.encode()).hexdigest()
    if manual is not None:
        sheets = tuple(
            SheetText(p.sheet, p.page, "\n".join(f"{i.label}. {i.text}" for i in p.items))
            for p in manual.pages
        )
        return Document(digest, f"{name}.pdf", "manual", sheets, manual=manual)
    kind = "list" if name == "list" else "note"
    words = "\n".join(s.quote for note in notes for s in note.statements[:1000])
    return Document(digest, f"{name}.pdf", kind, (SheetText(1, "1", words),), notes=notes)  # type: ignore[arg-type]  # one of the kinds


def _words(dice: random.Random, least: int, most: int) -> str:
    return " ".join(dice.choice(WORDS) for _ in range(dice.randint(least, most)))


def _manual(big: BigStore, n: int, dice: random.Random) -> Manual:
    number = big.manual(n)
    pages = tuple(_page(big, n, at, dice) for at in range(big.size.pages))
    models = (big.model(n), big.model(n + 1)) if n % 5 == 0 else (big.model(n),)
    lines = tuple(
        KitLine(big.part(dice.randrange(big.size.parts)), dice.choice(NAMES), dice.randint(1, 9))
        for _ in range(20)
    )
    date = dt.date(1990 + n % 30, 1 + n % 12, 1)
    return Manual(
        number, f"Rebuild manual {number}", "Orsund", "1", date, models, pages, f"manual{n}.pdf", lines
    )


def _page(big: BigStore, manual: int, at: int, dice: random.Random) -> ManualPage:
    page, section = big.page(at), f"{dice.choice(WORDS)} {dice.choice(WORDS)} {manual % 7}".capitalize()
    items = tuple(
        Item(str(k + 1), _step(big, at, k, dice), page, at + 1, section, (), None) for k in range(STEPS)
    )
    return ManualPage(page, at + 1, section, items)


def _step(big: BigStore, page: int, k: int, dice: random.Random) -> str:
    if page % 20 == 7 and k == 4:
        n = dice.randint(6, 12)
        return f"Stack {n} friction discs and {n + 1} steel discs in turn, a steel disc first and last."
    said = f"{dice.choice(VERBS)} the {_words(dice, 2, 5)} and the {dice.choice(NAMES)}"
    if k % 3 == 0:
        said += f" {big.part(dice.randrange(big.size.parts))}"
    return f"{said}; tighten to {dice.randint(8, 60)} N·m." if k % 2 else f"{said} with {_words(dice, 1, 4)}."


def supersessions(big: BigStore, dice: random.Random, note: str) -> Iterator[Supersession]:
    """Chains of two to six numbers, now and then a split or a merge, over all parts but every fifth."""
    at, parts = 0, big.size.parts
    while at + 6 < parts:
        length = dice.randint(2, 6)
        for n in range(at, at + length - 1):
            old, new, relation = (big.part(n),), (big.part(n + 1),), "one"
            if n == at + length - 2 and dice.random() < 0.05:
                old, new, relation = (big.part(n),), (big.part(n + 1), big.part(n + 2)), "all of"
            yield Supersession(
                note=note,
                date=dt.date(1995 + (n - at) * 4 + dice.randint(0, 3), dice.randint(1, 12), 3),
                quote=" | ".join((*old, *new)),
                source=Source("list.csv", 1),
                settled_by="rule",
                old=old,
                new=new,
                relation=relation,  # type: ignore[arg-type]  # one of the relations
            )
        at += length + 1


def _list(big: BigStore, dice: random.Random) -> Note:
    told = tuple(supersessions(big, dice, "list"))
    return Note(
        "list", None, "Supersession list", None, "unknown", None, Applies(), "list.csv", statements=told
    )


def _note(big: BigStore, n: int, dice: random.Random) -> Note:
    manual = dice.randrange(big.size.manuals)
    number, date = (
        big.note(n),
        dt.date(2000, 1, 1) + dt.timedelta(days=9500 * n // max(big.size.notes, 1) + n % 7),
    )
    applies = _applies(big, manual, dice)
    said = {
        "note": number,
        "date": date,
        "source": Source(f"note{n}.pdf", 1, "1"),
        "settled_by": "rule",
    }
    statements: list[Statement] = [
        _override(big, manual, applies, said, dice) for _ in range(dice.randint(1, 3))
    ]
    if n % 10 == 0:
        statements.append(_contents(big, n // 10, said, dice))
    if n % 40 == 10:
        old, new = big.kit(n // 10 - 1), big.kit(n // 10)
        statements.append(
            Supersession(**said, quote=f"Kit {old} becomes kit {new}.", old=(old,), new=(new,))  # type: ignore[arg-type]
        )
    if n % 100 == 50:
        statements.append(
            Cancels(**said, quote=f"Cancels {big.note(n - 37)}.", cancels=big.note(n - 37))  # type: ignore[arg-type]
        )
    cites = (Citation("note", big.note(dice.randrange(big.size.notes + big.size.notes // 50 + 1))),)
    return Note(
        number,
        date,
        f"{dice.choice(VERBS)} {_words(dice, 2, 4)}",
        "Orsund",
        "maker",
        None,
        applies,
        f"note{n}.pdf",
        statements=tuple(statements),
        cites=cites if n % 3 == 0 else (),
    )


def _applies(big: BigStore, manual: int, dice: random.Random) -> Applies:
    if dice.random() < 0.5:
        return Applies(models=(big.model(manual),), as_printed=big.model(manual))
    first = dice.randint(100, 900) * 100
    printed = f"{big.model(manual)}, serial {first} and up"
    return Applies(models=(big.model(manual),), serial_from=str(first), as_printed=printed)


def _override(
    big: BigStore, manual: int, applies: Applies, said: dict[str, object], dice: random.Random
) -> Override:
    doubt = dice.random() < 0.05
    # every fiftieth speaks of a page, or a publication, that is not held
    page = big.page(dice.randrange(big.size.pages + (2 if dice.random() < 0.02 else 0)))
    manual += 7 * big.size.manuals if dice.random() < 0.005 else 0
    action: Action = dice.choice(("replace", "insert-after", "caution"))
    text = f"{dice.choice(VERBS)} the {_words(dice, 2, 6)} with {dice.choice(NAMES)}."
    own = {
        **said,
        "quote": f"Page {page}: {text}",
        "standing": "doubtful" if doubt else "settled",
        "settled_by": None if doubt else "rule",
        "why": ("the words may be a question",) if doubt else (),
    }
    target = Target(big.manual(manual), page, str(dice.randint(1, STEPS)))
    return Override(**own, action=action, target=target, text=text, applies=applies)  # type: ignore[arg-type]


def _contents(big: BigStore, n: int, said: dict[str, object], dice: random.Random) -> Contents:
    friction = dice.randint(6, 12)
    counts = (friction, friction + 1, 2, 1, 1)
    lines = tuple(
        KitLine(big.part(dice.randrange(big.size.parts)), name, count)
        for name, count in zip(NAMES, counts, strict=False)
    )
    kit = big.kit(n)
    words = ", ".join(f"{x.quantity} {x.description} {x.part}" for x in lines)
    return Contents(**said, quote=f"Kit {kit} contains {words}.", kit=kit, lines=lines)  # type: ignore[arg-type]
