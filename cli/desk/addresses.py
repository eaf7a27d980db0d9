"""Where things are on the desk: the address of a page, a step, a note, a part."""

from pathlib import Path

from benchleaf.graph.keys import key
from flask import url_for


def picture_address(path: Path) -> str:
    """The address of a kept picture."""
    return url_for("pictures.picture", name=path.name)


def plain(*numbers: str) -> bool:
    """Whether numbers can stand in a path as they are; one with a slash in it cannot."""
    return all(key(n) and "/" not in n and "\\" not in n for n in numbers)


def page_address(publication: str, page: str) -> str:
    """The address of a manual page."""
    if plain(publication, page):
        return url_for("pages.page", publication=publication, page=page)
    return url_for("pages.page_asked", publication=publication, page=page)


def page_sheet_address(publication: str, page: str) -> str:
    """The address of a manual page as a sheet to keep."""
    return url_for("pages.page_sheet", publication=publication, page=page)


def book_address(publication: str) -> str:
    """The address of a publication's list of pages."""
    return url_for("papers.publication", number=publication)


def step_address(publication: str, page: str, item: str) -> str:
    """The address of a step's history."""
    if plain(publication, page, item):
        return url_for("steps.step", publication=publication, page=page, item=item)
    return url_for("steps.step_asked", publication=publication, page=page, item=item)


def measure_address(publication: str, page: str, item: str) -> str:
    """The address of the form that judges a measured value of a step."""
    return url_for("measures.measure", publication=publication, page=page, item=item)


def part_address(number: str) -> str:
    """The address of a part number."""
    return url_for("parts.part", number=number)


def kit_address(number: str) -> str:
    """The address of a kit's arrival form."""
    return url_for("kits.kit", kit=number)


def job_address(number: str) -> str:
    """The address of a job."""
    if plain(number):
        return url_for("jobs.job", number=number)
    return url_for("jobs.job_asked", number=number)


def note_address(number: str) -> str:
    """The address of a note."""
    if plain(number):
        return url_for("papers.note", number=number)
    return url_for("papers.note_asked", number=number)
