"""Reading on the machines of a cluster, by Dask's distributed scheduler (extra `benchleaf[cluster]`).

A lost worker's papers are read by another one; a paper that was being read each time that workers were lost
is refused. One program writes the store, and the answers are those of one machine.
"""

import hashlib
import threading
import warnings
from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, CancelledError, Future, wait
from importlib import resources
from importlib.metadata import PackageNotFoundError, version
from typing import Any, Self

from benchleaf.graph.errors import BenchleafError, RefusedFile, WrongUse
from benchleaf.ingest import allowance
from benchleaf.ingest.workers.endings import memory_refusal
from benchleaf.ingest.workers.readers import Answer, Given

_PATIENCE = "20s"  # for the scheduler to answer
_MOST_AHEAD = 500_000_000
"""Bytes of files that are on their way at once."""
_WIDEST = 64
_READ_WITH = ("benchleaf", "pypdfium2", "pdfplumber", "rapidocr", "onnxruntime", "openpyxl", "lxml")
_one_at_a_time = threading.Lock()
"""pdfium bears one thread only, and a worker of Dask's may have several."""


class NoCluster(BenchleafError):
    """The cluster cannot be reached, or reads otherwise than this machine would."""


class Cluster:
    """The workers of a Dask cluster; see `Readers`. `sees_files` if its machines see the files by the same
    paths; else their bytes are sent.

    Raises WrongUse if Dask is not installed here, NoCluster if no scheduler answers, if it has no workers, or
    if one of them has another benchleaf.
    """

    def __init__(self, address: str, *, sees_files: bool = False) -> None:
        try:
            from distributed import Client
        except ImportError as missing:
            raise WrongUse(
                "reading on a cluster needs Dask's distributed scheduler.",
                "Add it: pip install 'benchleaf[cluster]'",
            ) from missing
        client: Any = Client  # its methods carry no types
        try:
            self._client = client(address, timeout=_PATIENCE, set_as_default=False)
        except (OSError, ValueError, TypeError) as error:
            raise NoCluster(
                f"no Dask scheduler answers at {address}.",
                "Start one with `dask scheduler`, and workers with `dask worker`, and give its address.",
            ) from error
        self.sees_files = sees_files
        self._ahead: dict[Future[Any], int] = {}
        self._closed = False
        try:
            self.width = min(_WIDEST, self._checked())
            self._executor = self._client.get_executor(pure=False)
        except BaseException:
            self._client.close()
            raise

    def _checked(self) -> int:
        """How many workers there are, all with the benchleaf of this machine."""
        try:
            told = self._client.run(reads_with)
        except ImportError as missing:
            raise NoCluster(
                f"a worker of the cluster lacks a package: {missing}.",
                "Install benchleaf with the same extras on all its machines.",
            ) from missing
        if not told:
            raise NoCluster("the cluster has no workers.", "Start some with `dask worker` and its address.")
        others = sorted(str(worker) for worker, way in told.items() if way != reads_with())
        if others:
            raise NoCluster(
                f"{others[0]} has another benchleaf, or other libraries, than this machine.",
                "Install the same on all of them: they would read otherwise.",
            )
        return len(told)

    def submit(
        self, function: Callable[Given, Answer], /, *args: Given.args, **kwargs: Given.kwargs
    ) -> Future[Answer]:
        """Has a function carried out somewhere; waits while too many bytes are on their way."""
        assert not kwargs
        size = sum(_size(one) for one in args)
        while self._ahead and sum(self._ahead.values()) + size > _MOST_AHEAD:
            done = wait(self._ahead, return_when=FIRST_COMPLETED).done
            self._ahead = {f: s for f, s in self._ahead.items() if f not in done}
        given: Future[Answer] = Future()
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # Dask advises another way of sending large files
            sent: Future[Answer] = self._executor.submit(limited, function, args)
        sent.add_done_callback(lambda f: self._pass_on(f, given))
        self._ahead = {f: s for f, s in self._ahead.items() if not f.done()} | {given: size}
        return given

    def _pass_on(self, sent: "Future[Any]", given: "Future[Any]") -> None:
        try:
            given.set_result(sent.result())
        except (BenchleafError, MemoryError) as told:
            given.set_exception(told)
        except (Exception, CancelledError) as error:
            given.set_exception(_trouble(error))

    def __enter__(self) -> Self:
        """The cluster itself."""
        return self

    def __exit__(self, *problem: object) -> None:
        """Takes back what has not been read, and leaves the cluster."""
        self._executor.shutdown(wait=False)
        self._client.close()


def reads_with() -> tuple[str, ...]:
    """What decides how a paper is read: the versions of the libraries, and benchleaf's own files."""
    return (*map(_version, _READ_WITH), _own_files())


def limited(function: Callable[..., Answer], args: tuple[Any, ...]) -> Answer:
    """Carry a function out in a worker of Dask's, one at a time and within its limits of time; those of
    memory are Dask's own. Raises RefusedFile for a paper that wants more memory than there is."""
    with _one_at_a_time:
        allowance.begin()
        try:
            return function(*args)
        except MemoryError:
            raise memory_refusal() from None
        finally:
            allowance.end()


def _trouble(error: BaseException) -> BenchleafError:
    """What Dask's word on a piece of work means for the file, or for the whole batch."""
    if type(error).__name__ == "KilledWorker":
        return RefusedFile(
            "every worker of the cluster that read it was lost: it may be damaged, or too large for them",
            "Add it on one machine to hear why.",
        )
    if isinstance(error, CancelledError) or type(error).__name__ in (
        "CommClosedError",
        "FutureCancelledError",
    ):
        return NoCluster(
            "the connection to the cluster was lost.", "What was read is stored; add the same files again."
        )
    return RefusedFile(f"could not be read ({type(error).__name__}: {error})")


def _size(one: object) -> int:
    paper = getattr(one, "paper", one)
    return len(getattr(paper, "data", None) or b"")


def _version(name: str) -> str:
    try:
        return f"{name} {version(name)}"
    except PackageNotFoundError:
        return ""


def _own_files() -> str:
    digest = hashlib.sha256()
    for room in ("ingest", "graph"):
        waiting = [resources.files(f"benchleaf.{room}")]
        while waiting:
            for entry in sorted(waiting.pop().iterdir(), key=lambda e: e.name):
                if entry.is_dir() and not entry.name.startswith(("_", ".")):
                    waiting.append(entry)
                elif entry.name.endswith((".py", ".toml")):
                    digest.update(entry.name.encode() + entry.read_bytes())
    return digest.hexdigest()
