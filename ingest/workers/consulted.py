"""Whether a reading asked what the held manuals name."""

from benchleaf.ingest.head.knownmodels import Known


class Consulted(Known):
    """What is known, which remembers that it was asked: a reading that never asked is the same whatever
    manuals are held."""

    __slots__ = ("_asked", "_told")
    _asked: list[bool]
    _told: Known

    def __init__(self, told: Known) -> None:
        object.__setattr__(self, "_told", told)
        object.__setattr__(self, "_asked", [])

    @property
    def asked(self) -> bool:
        """True once models or numbers were looked at."""
        return bool(self._asked)

    @property
    def models(self) -> tuple[str, ...]:
        """The models of the held manuals."""
        self._asked[:] = [True]
        return self._told.models

    @property
    def publications(self) -> tuple[str, ...]:
        """The numbers of the held manuals."""
        self._asked[:] = [True]
        return self._told.publications
