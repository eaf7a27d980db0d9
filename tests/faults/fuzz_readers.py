"""Fuzz the readers: `python fuzz_readers.py TARGET [--inputs N] [--seconds S] [--seed K] [--engine atheris]`.

Each input must be read or refused with one of benchleaf's own errors, within its time, and what is read of it
must hold what `fuzz_targets` says. Prints one JSON line: how many inputs, how many refused, the slowest, and
the findings with the input that made each. Exit status 1 if there is one. Inputs are made by mutation with a
fixed seed; with `--engine atheris` (where it is installed) by its coverage instead.
"""

import argparse
import json
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

LIMIT = 10.0
"""Seconds of processor time that an input may take, of 20,000 letters at most."""
_SHOWN = 20


class TooSlow(Exception):
    """An input took more than its time."""


@dataclass
class Tally:
    """What came of a run."""

    target: str
    inputs: int = 0
    refused: int = 0
    slowest: float = 0.0
    slow_letters: int = 0
    findings: dict[str, str] = field(default_factory=dict)
    seen: Counter[str] = field(default_factory=Counter)

    def line(self, seconds: float) -> str:
        """One JSON line."""
        shape = {
            "target": self.target,
            "inputs": self.inputs,
            "refused": self.refused,
            "seconds": round(seconds, 1),
            "slowest": round(self.slowest, 3),
            "slowest_letters": self.slow_letters,
            "findings": [{"what": w, "times": self.seen[w], "input": i} for w, i in self.findings.items()],
        }
        return json.dumps(shape)


@contextmanager
def limited(seconds: float) -> Iterator[None]:
    """Ends what takes more processor time than this; without such a timer it is only measured."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def stop(_number: int, _frame: object) -> None:
        raise TooSlow(f"over {seconds} s")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def feed(tally: Tally, text: str, limit: float = LIMIT) -> None:
    """Gives one input to the target and keeps what came of it."""
    from benchleaf.graph.errors import BenchleafError
    from fuzz_targets import TARGETS

    tally.inputs += 1
    started = time.process_time()
    try:
        with limited(limit):
            TARGETS[tally.target].read(text)
    except BenchleafError:
        tally.refused += 1
    except (Exception, RecursionError) as fault:
        what = f"{type(fault).__name__}: {str(fault)[:120]} {_place(fault)}"
        kind = f"{type(fault).__name__} {_place(fault)}"
        tally.seen[kind] += 1
        if kind not in tally.findings and len(tally.findings) < _SHOWN:
            tally.findings[kind] = ascii(text)[:3000] + f"  # {what}"
    spent = time.process_time() - started
    if spent > tally.slowest:
        tally.slowest, tally.slow_letters = spent, len(text)


def _place(fault: BaseException) -> str:
    trace = fault.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    return "" if trace is None else f"{trace.tb_frame.f_code.co_name}:{trace.tb_lineno}"


def run(target: str, inputs: int, seconds: float, seed: int, limit: float = LIMIT) -> Tally:
    """So many inputs, or as many as the time allows."""
    from fuzz_targets import texts

    tally, until = Tally(target), time.monotonic() + seconds
    for text in texts(target, seed):
        if tally.inputs >= inputs or time.monotonic() > until:
            break
        feed(tally, text, limit)
    return tally


def _by_coverage(target: str, inputs: int, seconds: float, seed: int) -> Tally:
    """The same by atheris, which watches what each input reaches. It ends the process by itself, so the line
    is printed from here."""
    import atheris

    with atheris.instrument_imports(include=["benchleaf"]):
        import fuzz_targets
    tally, started = Tally(target), time.monotonic()
    corpus = fuzz_targets.texts(target, seed)

    def one(data: bytes) -> None:
        # a quarter of the inputs start from good papers
        text = next(corpus) if data[:1] < b"@" else data[1:].decode("utf-8", "surrogateescape")
        feed(tally, text)
        if tally.inputs >= inputs or time.monotonic() - started > seconds:
            print(tally.line(time.monotonic() - started), flush=True)
            sys.stdout.flush()
            import os

            os._exit(1 if tally.findings else 0)

    size = fuzz_targets.TARGETS[target].most
    atheris.Setup([sys.argv[0], f"-seed={seed}", f"-max_len={size}", "-verbosity=0"], one)
    atheris.Fuzz()
    return tally


def main() -> int:
    """Reads the line, runs, prints; the exit status."""
    asked = argparse.ArgumentParser(description="Fuzz a reader.")
    asked.add_argument("target", nargs="+")
    asked.add_argument("--inputs", type=int, default=10**9)
    asked.add_argument("--seconds", type=float, default=60)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--engine", choices=("mutation", "atheris"), default="mutation")
    given = asked.parse_args()
    status = 0
    for target in given.target:
        started = time.monotonic()
        way = run if given.engine == "mutation" else _by_coverage
        tally = way(target, given.inputs, given.seconds, given.seed)
        print(tally.line(time.monotonic() - started), flush=True)
        status |= bool(tally.findings)
    return status


if __name__ == "__main__":
    sys.exit(main())
