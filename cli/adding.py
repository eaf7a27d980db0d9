"""What `add` and `reread` share: who reads the papers."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click
from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from benchleaf.ingest.workers.readers import Readers

F = TypeVar("F", bound=Callable[..., Any])


def cluster_options(function: F) -> F:
    """Add `--cluster` and `--shared-paths`."""
    address = click.option(
        "--cluster", metavar="ADDRESS", help="Read on a Dask cluster, such as tcp://10.0.0.5:8786."
    )
    shared = click.option(
        "--shared-paths", is_flag=True, help="The cluster's machines see the files by the same paths."
    )
    return address(shared(function))


def readers(workers: int | None, cluster: str | None = None, shared: bool = False) -> "Readers":
    """Who reads: a cluster, this machine's workers, or this process.

    Raises WrongUse for shared paths without a cluster, and what `Cluster` raises.
    """
    if cluster is not None:
        from benchleaf.ingest.workers.cluster import Cluster

        return Cluster(cluster, sees_files=shared)
    if shared:
        raise WrongUse("shared paths are of use to a cluster only.", "Give --cluster with its address.")
    from benchleaf.ingest.workers.sizing import readers_for

    return readers_for(workers)


def workers_option(function: F) -> F:
    """Add `--workers`."""
    option = click.option(
        "--workers",
        metavar="N",
        type=click.IntRange(0, 64),
        envvar="BENCHLEAF_WORKERS",
        show_envvar=True,
        help="So many processes read at once. Without it: one a core, as far as memory goes. 0: none of "
        "their own, and no limits of time and memory.",
    )
    return option(function)
