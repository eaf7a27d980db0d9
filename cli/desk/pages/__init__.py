"""The desk's pages, one module a question; each has a `blueprint`."""

from benchleaf.cli.desk.pages import look, pictures
from flask import Blueprint

BLUEPRINTS: tuple[Blueprint, ...] = (look.blueprint, pictures.blueprint)
