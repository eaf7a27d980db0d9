"""New words that break off: a column or a sheet ended, and the rest was taken for something else."""

from dataclasses import replace

from benchleaf.graph.model import Override, Statement

_WORDS = """
    a about after against all an and are as at be been before being between both by can during each
    every for from has have if in into is its may must no not of on onto or over per shall should than
    that the their then these this those through till to under until using was were when where which
    while will with without
"""
_NEVER_LAST = frozenset(_WORDS.split())


def unbroken(statement: Statement) -> Statement:
    """The statement, doubted if its new words end where no sentence ends.

    >>> from benchleaf.graph.model import Source, Target
    >>> said = Override(note="N 1", date=None, quote="", source=Source("n.txt", 1), action="replace",
    ...                 target=Target(), text="Leave two screws in until")
    >>> unbroken(said).why
    ('the new words seem to break off: they end with “until”',)
    """
    if not isinstance(statement, Override) or not statement.text or statement.standing != "settled":
        return statement
    words = statement.text.split()
    last = words[-1] if words else ""
    if last.lower() not in _NEVER_LAST and not last.endswith((",", "-", "–")):
        return statement
    why = f"the new words seem to break off: they end with “{last}”"
    return replace(statement, standing="doubtful", why=(*statement.why, why))
