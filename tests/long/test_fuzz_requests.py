"""The door of the live page: whatever is sent to its port.

Not part of the test command; `.ci/run` runs it for a minute. See `fuzz.py`.
"""

from __future__ import annotations

import contextlib
import json
import random
import socket

from fuzz import fuzz, harmed, harmed_value
from live_server import SMALL, Live

from genbg.reading import parse_preset

PATHS = (
    "/",
    "/events",
    "/turn",
    "/write",
    "/text",
    "/../x",
    "/%00",
    "/turn?a=%ff",
    "*",
    "http://x/",
)
TURNED = {
    "seed": 7,
    "layer.1.height": 0.5,
    "layer.2.distance": [4.0, 1.0],
    "scene.haze": "#102030",
    "layer.0.colours.sky": ["#2449b6", "#ffffff"],
    "mood.night.amount": 0.1,
}
WORDS = (
    *(b"\r\n", b"\r\n\r\n", b"\0", b"Host: x\r\n", b"Transfer-Encoding: chunked\r\n", b"0\r\n\r\n"),
    *(b"Content-Length: 999999\r\n", b"Content-Length: -1\r\n", b"Expect: 100-continue\r\n"),
    *(
        b"Upgrade: websocket\r\nConnection: Upgrade\r\n",
        b"HTTP/1.0",
        b"HTTP/9.9",
        b"PRI * HTTP/2.0",
    ),
    *(b"NaN", b"1e999", b'"\\ud800"', b"[" * 5000, b"9" * 5000, b"\xff\xfe"),
)


def request(live: Live, dice: random.Random) -> bytes:
    """Return a request that is nearly right."""
    body = b""
    if dice.random() < 0.8:
        turned = {key: TURNED[key] for key in dice.sample(sorted(TURNED), dice.randint(0, 3))}
        value = harmed_value({"turned": turned}, dice)
        body = json.dumps(value).encode("utf-8", "surrogatepass")
        if dice.random() < 0.3:
            body = harmed(body, dice, WORDS)
    heads = {
        "Host": f"127.0.0.1:{live.port}",
        "Origin": f"http://127.0.0.1:{live.port}",
        "Content-Type": "application/json",
        "Content-Length": str(len(body)),
        "x-genbg-token": live.token,
        "Connection": "close",
    }
    if dice.random() < 0.2:
        heads.pop(dice.choice(sorted(heads)))
    method = dice.choice(["GET", "POST", "POST", "POST", "PUT", "HEAD", "OPTIONS", "X"])
    lines = [f"{method} {dice.choice(PATHS)} HTTP/1.1"]
    lines += [f"{name}: {value}" for name, value in heads.items()]
    data = "\r\n".join(lines).encode() + b"\r\n\r\n" + body
    return harmed(data, dice, WORDS) if dice.random() < 0.4 else data


def answer(port: int, sent: bytes) -> bytes:
    """The first line that comes back; nothing where the connection was closed before."""
    head = b""
    with contextlib.suppress(ConnectionError):
        line = socket.create_connection(("127.0.0.1", port), timeout=60)
        with line:
            line.sendall(sent)
            line.shutdown(socket.SHUT_WR)
            head = line.recv(200).split(b"\r\n")[0]
    return head


def test_requests(tmp_path, need) -> None:
    """No answer is a fault of the server's, it lives on, and the preset stays one."""
    for name in ("starlette", "uvicorn", "watchfiles", "tomlkit"):
        need.module(name)
    path = tmp_path / "morning.toml"
    path.write_text(SMALL)
    live = Live(path, path)

    def trial(dice: random.Random) -> None:
        sent = request(live, dice)
        assert b" 500 " not in answer(live.port, sent), sent
        assert live.process.poll() is None
        parse_preset(path.read_text("utf-8"))
        if dice.random() < 0.05:
            assert live.client.get("/").status_code == 200

    try:
        assert fuzz("requests", trial)
        assert live.client.get("/").status_code == 200
    finally:
        live.end()
