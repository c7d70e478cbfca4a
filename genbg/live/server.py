"""The server below the live page: uvicorn, with a time limit on the head of a request.

Whoever opens connections and never ends what he begins to say would keep others out, as only so
many may be open at once. So a connection that waits for the head of a request is closed after a
while, whether nothing comes or one byte now and then.
"""

from __future__ import annotations

import asyncio
from typing import Any

import h11
import uvicorn
from starlette.types import ASGIApp
from uvicorn.protocols.http.h11_impl import H11Protocol

HEAD_S = 5
"""Seconds within which the head of a request has to come, from when it is waited for."""
MOST_CONNECTIONS = 64
GRACE_S = 2
"""How long open streams may take to end."""


class TimedProtocol(H11Protocol):
    """One connection; `head_timer` runs while the head of a request is waited for."""

    head_timer: asyncio.TimerHandle | None = None

    def connection_made(self, transport: Any) -> None:
        super().connection_made(transport)
        self.watch_head()

    def data_received(self, data: bytes) -> None:
        super().data_received(data)
        self.watch_head()

    def on_response_complete(self) -> None:
        super().on_response_complete()
        self.watch_head()

    def connection_lost(self, exc: Exception | None) -> None:
        self.stop_timer()
        super().connection_lost(exc)

    def watch_head(self) -> None:
        """Start the timer where a head is waited for, stop it where none is."""
        if self.conn.their_state is not h11.IDLE:
            self.stop_timer()
        elif self.head_timer is None:
            self.head_timer = self.loop.call_later(HEAD_S, self.transport.close)

    def stop_timer(self) -> None:
        if self.head_timer is not None:
            self.head_timer.cancel()
            self.head_timer = None


def make_server(app: ASGIApp) -> uvicorn.Server:
    """Return a server of the application that says nothing by itself."""
    return uvicorn.Server(
        uvicorn.Config(
            app,
            http=TimedProtocol,
            ws="none",
            lifespan="off",
            log_level="critical",
            access_log=False,
            server_header=False,
            limit_concurrency=MOST_CONNECTIONS,
            timeout_keep_alive=HEAD_S,
            timeout_graceful_shutdown=GRACE_S,
        )
    )
