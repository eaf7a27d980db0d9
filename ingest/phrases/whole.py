"""New words that break off: a column or a sheet ended, and the rest was taken for something else."""

from dataclasses import replace

from benchleaf.graph.model import Override, Statement

_NEVER_LAST = frozenset(
    "a an the and or of to in on at by for from with without until till if when where while that which than then "
    "as is are be was were been being has have must should shall may can will not no into onto over under between "
    "per its their this these those both each every all using through after before during against about".split()
)


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
