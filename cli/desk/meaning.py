"""What typed words can mean: a part, a note, a publication, a page of one, a step of a page, or a job."""

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.desk.addresses import (
    book_address,
    job_address,
    note_address,
    page_address,
    part_address,
    step_address,
)
from benchleaf.graph.keys import key, natural

if TYPE_CHECKING:
    from benchleaf.cli.desk.show import DeskStore
    from benchleaf.graph.jobs.job import Job

MOST_SIGNS = 200
_PAGE = re.compile(r"\b(?:page|p\.|pg\.?)\s{0,3}", re.IGNORECASE)
_UNIT = re.compile(r"^(?:job|serial|s/n)\b[\s.:]{0,3}", re.IGNORECASE)
_STEP = re.compile(r"[\s,]{1,4}(?:step|item)\s{1,3}(\S{1,12})$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Meaning:
    """One thing that was meant, in words, and where it is."""

    words: str
    address: str


@dataclass(frozen=True, slots=True)
class Near:
    """A held number near to what was typed, with what it is."""

    kind: str
    number: str
    address: str


def meanings(store: "DeskStore", asked: str) -> tuple[Meaning, ...]:
    """Everything held whose number is just what was typed."""
    asked = asked.strip()[:MOST_SIGNS]
    if not any(c.isdigit() for c in asked):
        return (*_named(store, asked), *_jobs(store, asked))
    found = [*_named(store, asked), *_part(store, asked), *_pages(store, asked), *_jobs(store, asked)]
    return tuple({m.address: m for m in found}.values())


def near(store: "DeskStore", asked: str) -> tuple[Near, ...]:
    """Held numbers near to what was typed, offered and never taken."""
    asked = asked.strip()[:MOST_SIGNS]
    if not any(c.isdigit() for c in asked) or not key(asked):
        return ()
    parts = [Near("part", n, part_address(n)) for n in store.near_parts(asked)]
    notes = [Near("note", n, note_address(n)) for n in store.near_numbers("note", asked)]
    books = [Near("publication", n, book_address(n)) for n in store.near_numbers("publication", asked)]
    jobs = [Near("job", n, job_address(n)) for n in store.near_jobs(_UNIT.sub("", asked))]
    return (*parts[:8], *notes[:8], *books[:4], *jobs[:4])


def _named(store: "DeskStore", asked: str) -> tuple[Meaning, ...]:
    """A note or a publication of that number."""
    if not key(asked):
        return ()
    found = []
    note = store.note(asked)
    if note is not None:
        found.append(Meaning(f"note {note.number}", note_address(note.number)))
    books = store.heads_like(asked)
    if books:
        found.append(Meaning(f"publication {books[0]}", book_address(books[0])))
    return tuple(found)


def _part(store: "DeskStore", asked: str) -> list[Meaning]:
    printed = store.printed(key(asked))
    return [] if printed is None else [Meaning(f"part {printed}", part_address(printed))]


def _jobs(store: "DeskStore", asked: str) -> list[Meaning]:
    """The job of that number, and every job on a unit of that serial number: one may have come back."""
    number = key(_UNIT.sub("", asked))
    if not number:
        return []
    held = store.job(number)
    found = [] if held is None else [held]
    if any(c.isdigit() for c in number):
        found += [job for job in store.jobs() if key(job.serial or "") == number]
    return [Meaning(_job_words(job), job_address(job.number)) for job in found]


def _job_words(job: "Job") -> str:
    day = job.shipped or job.built or job.opened
    return f"job {job.number}, {job.words}: {job.state} {day.isoformat()}"


def _pages(store: "DeskStore", asked: str) -> list[Meaning]:
    """A page, alone or behind its publication, and a step of it where one is named."""
    step = _STEP.search(asked)
    words = _PAGE.sub(" ", asked[: step.start()] if step else asked).replace(",", " ").split()
    found = []
    for at in range(len(words)):
        number, page = " ".join(words[:at]), " ".join(words[at:])
        held = [p for p in store.pages_numbered(page) if not number or key(p.publication) == key(number)]
        found += [p for p in held if natural(p.page) == natural(page) or number]
    if step is None:
        return [
            Meaning(f"{p.publication}, page {p.page}", page_address(p.publication, p.page)) for p in found
        ]
    return [
        Meaning(
            f"{p.publication}, page {p.page}, step {step[1]}", step_address(p.publication, p.page, step[1])
        )
        for p in found
    ]
