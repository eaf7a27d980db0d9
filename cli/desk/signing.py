"""Who signs: the initials, asked once and remembered in the visitor's signed session."""

from benchleaf.cli.options import initials_of
from benchleaf.graph.errors import WrongUse
from flask import request, session


def initials() -> str:
    """The initials that this visitor signs with; empty if they were not given yet."""
    return str(session.get("initials", ""))


def signer() -> str:
    """The initials of this form, or those remembered. Raises WrongUse without any."""
    given = request.form.get("initials", "").strip() or initials()
    try:
        by = initials_of(given)
    except WrongUse as error:
        raise WrongUse(error.message, "Give one to eight letters as your initials.") from error
    session["initials"] = by
    session.permanent = True
    return by


def forget() -> None:
    """Asks for initials anew."""
    session.pop("initials", None)
