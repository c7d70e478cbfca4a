"""The few addresses of the live page, behind the guard.

  GET  /        the page            GET  /events  looks and status as server-sent events
  POST /turn    values turned       POST /write   values into the preset's file
  POST /text    the preset's text with the values, to be saved as a copy

Bodies are JSON, {"turned": {path: value}}, of at most `MOST_BYTES`.
"""

from __future__ import annotations

import asyncio
import json
import math
from collections.abc import AsyncIterator
from typing import Any

from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from genbg.errors import GenbgError
from genbg.live.builds import fault_lines
from genbg.live.guard import refusal
from genbg.live.page import live_page, look_event, status_event
from genbg.live.session import Session

MOST_BYTES = 64 * 1024
MOST_STREAMS = 16
BODY_S = 10
"""Seconds within which a body has to come."""
ALIVE_EVERY = 40
"""Quiet quarters of a second after which a stream says that it is alive."""
HEADERS = {
    "cache-control": "no-store",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


class BodyError(Exception):
    """A body that is not what the page sends; `status` is what the answer says."""

    def __init__(self, status: int, text: str):
        super().__init__(text)
        self.status = status


class Guarded:
    """Lets pass what `guard.refusal` lets pass; everything else never reaches the addresses."""

    def __init__(self, app: ASGIApp, port: int, token: str):
        self.app, self.port, self.token = app, port, token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return
        headers: dict[str, str] = {}
        for name, value in scope["headers"]:
            key = name.decode("latin-1").lower()
            # Two hosts or origins are none: joined, they are nobody's name.
            headers[key] = (
                f"{headers[key]}, {value.decode('latin-1')}"
                if key in headers
                else (value.decode("latin-1"))
            )
        why = refusal(scope["method"], headers, self.port, self.token)
        if why is None:
            await self.app(scope, receive, send)
        else:
            await PlainTextResponse(why + "\n", 403, HEADERS)(scope, receive, send)


def make_app(session: Session, port: int) -> ASGIApp:
    """Return the live page's application."""
    site = Site(session)
    routes = [
        Route("/", site.page),
        Route("/events", site.events),
        Route("/turn", site.turn, methods=["POST"]),
        Route("/write", site.write, methods=["POST"]),
        Route("/text", site.text, methods=["POST"]),
    ]
    return Guarded(Starlette(routes=routes), port, session.token)


class Site:
    """What each address answers."""

    def __init__(self, session: Session):
        self.session = session
        self.streams = 0

    async def page(self, request: Request) -> Response:
        body = live_page(self.session.state, self.session.token, self.session.why_not)
        return Response(body, media_type="text/html; charset=utf-8", headers=HEADERS)

    async def events(self, request: Request) -> Response:
        return Stream(self)

    async def stream(self) -> AsyncIterator[str]:
        """Yield events for one page until it goes."""
        shown, structure, quiet = 0, None, 0
        yield "retry: 500\n\n"
        async for state in self.session.states():
            if state is None:
                quiet += 1
                if quiet % ALIVE_EVERY == 0:
                    yield ": alive\n\n"
                continue
            if state.look.number != shown:
                shown = state.look.number
                yield look_event(state)
            yield status_event(state, state.groups != structure)
            structure = state.groups

    async def turn(self, request: Request) -> Response:
        return await self.answer(request, self.session.turn)

    async def write(self, request: Request) -> Response:
        return await self.answer(request, self.session.write)

    async def text(self, request: Request) -> Response:
        return await self.answer(request, self.session.text_with)

    async def answer(self, request: Request, work: Any) -> Response:
        """Hand the turned values of a body to `work`; its errors are told, 409."""
        try:
            said = work(await read_turned(request))
        except BodyError as error:
            return PlainTextResponse(f"{error}\n", error.status, HEADERS)
        except (GenbgError, OSError, UnicodeError) as error:
            return JSONResponse({"error": "\n".join(fault_lines(error))}, 409, HEADERS)
        return JSONResponse({"text": said}, headers=HEADERS)


class Stream(StreamingResponse):
    """Events for one page; it is one of those that are open from here until the page goes."""

    def __init__(self, site: Site):
        super().__init__(site.stream(), media_type="text/event-stream", headers=HEADERS)
        self.site = site

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if self.site.streams >= MOST_STREAMS:
            refused = PlainTextResponse("too many pages are open\n", 503, HEADERS)
            await refused(scope, receive, send)
            return
        self.site.streams += 1
        try:
            await super().__call__(scope, receive, send)
        finally:
            self.site.streams -= 1


async def read_turned(request: Request) -> Any:
    """Return `turned` of a request's body; raises BodyError where there is none."""
    kind = request.headers.get("content-type", "").split(";")[0].strip()
    if kind != "application/json":
        raise BodyError(415, "a body is application/json")
    try:
        async with asyncio.timeout(BODY_S):
            body = await read_body(request)
    except TimeoutError as error:
        raise BodyError(408, f"a body comes within {BODY_S} seconds") from error
    try:
        data = json.loads(body, parse_constant=no_number)
    except (ValueError, RecursionError) as error:
        raise BodyError(400, "a body is JSON") from error
    turned = data.get("turned") if isinstance(data, dict) else None
    if not isinstance(turned, dict):
        raise BodyError(400, 'a body is {"turned": {path: value}}')
    for path, value in turned.items():
        if not (is_simple(path) and is_value(value)):
            raise BodyError(400, "a value is a finite number, a text, a truth or a list of them")
    return turned


async def read_body(request: Request) -> bytes:
    """Return a request's body; raises BodyError where it is too long or cut short."""
    body = b""
    try:
        async for piece in request.stream():
            body += piece
            if len(body) > MOST_BYTES:
                raise BodyError(413, f"a body has at most {MOST_BYTES} bytes")
    except ClientDisconnect as error:
        raise BodyError(400, "the body ended early") from error
    return body


def no_number(name: str) -> None:
    """Refuse NaN and the infinities, which are not JSON."""
    raise ValueError(f"{name} is not a JSON number")


def is_value(value: Any) -> bool:
    """Return whether a control can have such a value: a simple one, or a list of simple ones."""
    return all(map(is_simple, value)) if isinstance(value, list) else is_simple(value)


def is_simple(value: Any) -> bool:
    """Return whether a value is a truth, a number that is finite, or text that UTF-8 can say."""
    if isinstance(value, str):
        return value.isascii() or not any("\ud800" <= letter <= "\udfff" for letter in value)
    return isinstance(value, int) or (isinstance(value, float) and math.isfinite(value))
