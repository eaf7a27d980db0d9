"""The desk's pages, one module a question; each has a `blueprint`."""

from benchleaf.cli.desk.pages import (
    adding,
    door,
    doubts,
    jobs,
    jobwork,
    kits,
    look,
    measures,
    papers,
    parts,
    pictures,
    procedures,
    shopnotes,
    steps,
    weeks,
)
from flask import Blueprint

BLUEPRINTS: tuple[Blueprint, ...] = (
    look.blueprint,
    parts.blueprint,
    steps.blueprint,
    papers.blueprint,
    procedures.blueprint,
    kits.blueprint,
    jobs.blueprint,
    jobwork.blueprint,
    measures.blueprint,
    weeks.blueprint,
    pictures.blueprint,
    doubts.blueprint,
    adding.blueprint,
    shopnotes.blueprint,
    door.blueprint,
)
