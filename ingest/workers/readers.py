"""Who reads: this process, warm workers, a cluster; all the same to whoever gives them work."""

from collections.abc import Callable
from concurrent.futures import Future
from typing import ParamSpec, Protocol, Self, TypeVar

_STEP = 0.5  # seconds
Given = ParamSpec("Given")
Answer = TypeVar("Answer")


class Readers(Protocol):
    """A `concurrent.futures.Executor` in little: `submit`, and an end.

    `width` is how many files are read at once; `sees_files` is False where files must be given as bytes. If a
    worker dies of a file, its future raises RefusedFile.
    """

    width: int
    sees_files: bool

    def submit(
        self, function: Callable[Given, Answer], /, *args: Given.args, **kwargs: Given.kwargs
    ) -> Future[Answer]:
        """Has a function of this package carried out."""
        ...

    def __enter__(self) -> Self:
        """The readers themselves."""
        ...

    def __exit__(self, *problem: object) -> None:
        """Ends them at once, whatever they are at."""
        ...


class Here:
    """Reading in this very process, one file after the other and without limits."""

    width = 1
    sees_files = True

    def submit(
        self, function: Callable[Given, Answer], /, *args: Given.args, **kwargs: Given.kwargs
    ) -> Future[Answer]:
        """Carries the function out, then and there."""
        done: Future[Answer] = Future()
        try:
            done.set_result(function(*args, **kwargs))
        except Exception as problem:
            done.set_exception(problem)
        return done

    def __enter__(self) -> Self:
        """The reader itself."""
        return self

    def __exit__(self, *problem: object) -> None:
        """Nothing is to be ended."""


def answer_of(future: Future[Answer]) -> Answer:
    """What a reading gives, or what it raises, waited for in short steps: a wait without an end may miss
    Ctrl-C, always on Windows and now and then elsewhere."""
    while True:
        try:
            return future.result(_STEP)
        except TimeoutError:
            if future.done():
                return future.result()
