"""Named errors: each owns its exit status and says what to do next."""


class BenchleafError(Exception):
    """Something the user must hear of: what happened, and the remedy.

    `status` is the process's exit status: 1 for "not answered", 2 for "wrong use".
    """

    status = 1

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy

    @property
    def sentence(self) -> str:
        """What happened and the remedy, in one line."""
        return f"{self.message}; {self.remedy}" if self.remedy else self.message


class WrongUse(BenchleafError):
    """The call itself cannot be carried out as typed."""

    status = 2


class NotHeld(BenchleafError):
    """What was asked for is not in the store; `near` lists the nearest things that are."""

    def __init__(self, message: str, near: tuple[str, ...] = (), remedy: str = "") -> None:
        super().__init__(message, remedy)
        self.near = near


class StoreProblem(BenchleafError):
    """The store cannot be opened, read or written as it stands."""


class RefusedFile(BenchleafError):
    """One file cannot be taken in; the others of the batch go on."""
