"""The way to a cluster's scheduler, within a few seconds or not at all."""

from __future__ import annotations

import contextlib
import logging
import queue
import re
import socket
import threading
from collections.abc import Iterator
from typing import Any

from genbg.errors import GenbgError

CONNECT_S = 4
"""How long to wait for a connection, twice: for the port, and for a scheduler on it."""


class ClusterError(GenbgError):
    """The cluster can't be reached, does not fit this machine, or was lost."""


def library() -> Any:
    try:
        import distributed  # type: ignore[import-not-found, unused-ignore]
    except ImportError as error:
        raise ClusterError(
            "--cluster needs the extra `cluster`: pip install 'genbg[cluster]'"
        ) from error
    return distributed


@contextlib.contextmanager
def quiet_library() -> Iterator[None]:
    """Let the library log nothing: what matters is told by us, in one message."""
    import dask  # type: ignore[import-not-found, unused-ignore]

    names = ("distributed", "tornado", "asyncio", "dask")
    before = {name: logging.getLogger(name).level for name in names}
    for name in names:
        logging.getLogger(name).setLevel(logging.CRITICAL + 1)
    wait = {"distributed.comm.timeouts.connect": f"{CONNECT_S}s"}
    try:
        with dask.config.set(wait):
            yield
    finally:
        for name, level in before.items():
            logging.getLogger(name).setLevel(level)


def connect(distributed: Any, address: str) -> Any:
    """Return a client of the scheduler at an address.

    The library tries on by itself for longer than anybody waits, so a thread of its own does it, and
    it is waited for only so long. Raises ClusterError.
    """
    knock(address)
    found: queue.SimpleQueue[Any] = queue.SimpleQueue()

    def begin() -> None:
        try:
            client = distributed.Client(address, timeout=CONNECT_S, set_as_default=False)
        except Exception as error:
            found.put(error)
        else:
            found.put(client)

    threading.Thread(target=begin, daemon=True).start()
    try:
        client = found.get(timeout=CONNECT_S + 1)
    except queue.Empty:
        client = TimeoutError("it answers, but not as a scheduler does")
    if isinstance(client, Exception):
        why = str(client).splitlines()[0] if str(client) else type(client).__name__
        hint = "; tls:// needs certificates, see the README" if address.startswith("tls") else ""
        raise ClusterError(f"--cluster {address}: no scheduler speaks there ({why}){hint}")
    return client


def close(client: Any) -> None:
    """Let a client go, also of a scheduler that is gone, within a moment."""
    with contextlib.suppress(Exception):
        client.close(timeout=1)


def knock(address: str) -> None:
    """Raise ClusterError where the address is none or nobody listens there.

    The library would try on for a while, and tell of it in many lines.
    """
    found = re.fullmatch(r"(?:tcp|tls)://(\[[0-9a-fA-F:.]+\]|[^\s:/]+):(\d{1,5})", address)
    if not found or int(found[2]) > 65535:
        raise ClusterError(f"--cluster {address}: is no address; tcp://HOST:PORT is meant")
    try:
        socket.create_connection((found[1].strip("[]"), int(found[2])), CONNECT_S).close()
    except OSError as error:
        raise ClusterError(
            f"--cluster {address}: no scheduler answers there ({error}); start one with `dask "
            "scheduler`, and workers with `dask worker ADDRESS --nthreads 1`"
        ) from error


def is_reachable(worker: str) -> bool:
    """Whether exports can be fetched from a worker itself, past the scheduler."""
    try:
        knock(worker)
    except ClusterError:
        return False
    return True
