"""The way to a cluster's scheduler, within a few seconds or not at all."""

from __future__ import annotations

import contextlib
import logging
import queue
import re
import socket
import ssl
import threading
from collections.abc import Iterator
from typing import Any

from genbg.errors import GenbgError

CONNECT_S = 4
"""How long to wait for a connection, twice: for the port, and for a scheduler on it."""


LONGEST_GREETING = 1 << 16
"""Bytes; a real one has some hundred."""


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

    before = logging.root.manager.disable
    logging.disable(logging.CRITICAL)
    try:
        with dask.config.set({"distributed.comm.timeouts.connect": f"{CONNECT_S}s"}):
            yield
    finally:
        logging.disable(before)


def connect(distributed: Any, address: str) -> Any:
    """Return a client of the scheduler at an address.

    The library tries on by itself for longer than anybody waits, so a thread of its own does it.
    Raises ClusterError.
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
        greeted = is_greeted(found[1].strip("[]"), int(found[2]), address.startswith("tls"))
    except (TimeoutError, ssl.SSLError):
        greeted = False
    except OSError as error:
        raise ClusterError(
            f"--cluster {address}: no scheduler answers there ({error}); start one with `dask "
            "scheduler`, and workers with `dask worker ADDRESS --nthreads 1`"
        ) from error
    if not greeted:
        raise ClusterError(
            f"--cluster {address}: no scheduler speaks there: what listens on that port does not "
            "greet as one does"
        )


def is_greeted(host: str, port: int, secret: bool) -> bool:
    """Whether what listens on a port greets as a scheduler or a worker of the library does.

    It begins with the number of bytes that follow, 8 bytes, little end first; with tls://, it takes
    part in the opening of TLS. (distributed/comm/tcp.py)
    Raises OSError where nobody listens, or nothing comes within `CONNECT_S`.
    """
    with socket.create_connection((host, port), CONNECT_S) as line:
        line.settimeout(CONNECT_S)
        if secret:
            with ssl._create_unverified_context().wrap_socket(line):  # only whether it speaks TLS
                return True
        size = line.recv(8, socket.MSG_WAITALL)
        return len(size) == 8 and int.from_bytes(size, "little") < LONGEST_GREETING


def is_reachable(worker: str) -> bool:
    """Whether exports can be fetched from a worker itself, past the scheduler."""
    try:
        knock(worker)
    except ClusterError:
        return False
    return True
