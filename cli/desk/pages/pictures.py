"""Kept pictures, by their names."""

from benchleaf.cli.desk.show import PICTURE_NAME, desk
from benchleaf.ingest.pictures.drawer import PICTURES
from flask import Blueprint, Response, abort, send_from_directory

blueprint = Blueprint("pictures", __name__)


@blueprint.get("/picture/<name>")
def picture(name: str) -> Response:
    """A picture that some page shows; only names of kept pictures are answered."""
    if not PICTURE_NAME.fullmatch(name):
        abort(404)
    answer = send_from_directory(desk().folder.resolve() / PICTURES, name, mimetype="image/png")
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer
