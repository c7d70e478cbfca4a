"""Starts the live page's server on this machine alone, and ends it."""

from __future__ import annotations

import asyncio
import contextlib
import importlib
import socket
import webbrowser
from collections.abc import Callable

from genbg.errors import GenbgError

HOST = "127.0.0.1"
LIBRARIES = ("starlette", "uvicorn", "watchfiles", "tomlkit")


def need_libraries() -> None:
    """Raise GenbgError where a library of the extra `live` is missing."""
    for name in LIBRARIES:
        try:
            importlib.import_module(name)
        except ImportError as error:
            raise GenbgError(
                f"`genbg live` needs {name}, which is not installed: pip install 'genbg[live]'"
            ) from error


def run_live(source: str, port: int, open_browser: bool, say: Callable[[str], None]) -> None:
    """Serve the page of a preset until Ctrl-C, which comes back as KeyboardInterrupt.

    port: 0 takes a free one; say: told the page's address and name

    Raises PresetError where the preset gives no picture to begin with, GenbgError where a library
    is missing or the port is taken.
    """
    need_libraries()
    with open_port(port) as listener:
        asyncio.run(serve(source, listener, open_browser, say))


def open_port(port: int) -> socket.socket:
    """Return a socket that listens on this machine alone."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((HOST, port))
        listener.listen(64)
    except OSError as error:
        listener.close()
        cure = "another --port, or none for a free one, may do"
        raise GenbgError(f"port {port} can't be used: {error.strerror}; {cure}") from error
    return listener


async def serve(
    source: str, listener: socket.socket, open_browser: bool, say: Callable[[str], None]
) -> None:
    """Serve until told to end; the work goes on beside it."""
    from genbg.live.serve import make_app
    from genbg.live.server import make_server
    from genbg.live.session import Session

    session = Session(source, say)
    port = listener.getsockname()[1]
    server = make_server(make_app(session, port))
    address = f"http://{HOST}:{port}/"
    say(f"{session.builder.path}: shown at {address}; Ctrl-C ends it")
    if open_browser:
        asyncio.get_running_loop().run_in_executor(None, webbrowser.open, address)
    work = asyncio.create_task(session.work())
    ending = asyncio.create_task(end_with(server, session.stop))
    try:
        await server.serve(sockets=[listener])
    finally:
        session.stop.set()
        ending.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await work


async def end_with(server: object, stop: asyncio.Event) -> None:
    """Set `stop` as soon as the server is told to end, so that open streams end too."""
    while not getattr(server, "should_exit", False):
        await asyncio.sleep(0.1)
    stop.set()
