"""The live page's server when others misbehave: too many, too slow, killed, deleted, broken."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import socket
from pathlib import Path

import pytest
from live_server import SMALL, Live
from test_live_server import finished, next_of, put_back

from genbg.live.serve import MOST_STREAMS
from genbg.live.session import BUNDLED, GONE, Session
from genbg.reading.bundled import find_bundled

WAIT_S = 120
"""A test that waits for the server gives up after this; no test asserts how long it takes."""


@pytest.fixture
def own(small, need):
    """A server of the small preset for one test alone."""
    for name in ("starlette", "uvicorn", "watchfiles", "tomlkit"):
        need.module(name)
    server = Live(small, small)
    yield server
    if server.process.poll() is None:
        server.end()


def connect(live) -> socket.socket:
    return socket.create_connection(("127.0.0.1", live.port), timeout=WAIT_S)


def ask(live, address) -> bytes:
    return f"GET {address} HTTP/1.1\r\nHost: 127.0.0.1:{live.port}\r\n\r\n".encode()


BODIES = [
    '{"turned": {"seed": NaN}}',
    '{"turned": {"seed": Infinity}}',
    '{"turned": {"layer.1.height": -Infinity}}',
    '{"turned": {"layer.1.height": 1e999}}',
    '{"turned": {"layer.1.distance": [1, 1e999]}}',
    '{"turned": {"scene.haze": "\\ud800"}}',
    '{"turned": {"scene.haze": ["\\udfff"]}}',
    '{"turned": {"\\ud800": 1}}',
    '{"turned": {"seed": {"a": 1}}}',
    '{"turned": {"seed": [[1]]}}',
    '{"turned": {"seed": null}}',
]


@pytest.mark.parametrize("body", BODIES)
@pytest.mark.parametrize("address", ["/turn", "/write", "/text"])
def test_values_that_no_control_has_are_refused(live, address, body) -> None:
    """No number that JSON can't say, no half of a letter: 400, and the page is as it was."""
    answer = live.client.post(
        address,
        content=body,
        headers={
            "content-type": "application/json",
            "origin": live.address.rstrip("/"),
            "x-genbg-token": live.token,
        },
    )
    assert answer.status_code == 400
    assert live.page()["live"]["turned"] == {}


def test_forty_streams_at_once_are_sixteen(live) -> None:
    """Asked for in one breath, as many are answered as are allowed, and the others are told."""
    with contextlib.ExitStack() as stack:
        lines = [stack.enter_context(connect(live)) for _ in range(40)]
        for line in lines:
            line.sendall(ask(live, "/events"))
        heads = [line.recv(12).split()[1] for line in lines]
        assert heads.count(b"200") == MOST_STREAMS
        assert heads.count(b"503") == 40 - MOST_STREAMS
    status = b"503"
    while status == b"503":  # until the server has seen that they are gone
        with connect(live) as line:
            line.sendall(ask(live, "/events"))
            status = line.recv(12).split()[1]
    assert status == b"200"


def test_half_a_request_is_not_waited_for(own) -> None:
    """A hundred begun requests keep others out for a while only: each is closed by the server."""
    with contextlib.ExitStack() as stack:
        lines = [stack.enter_context(connect(own)) for _ in range(100)]
        for number, line in enumerate(lines):
            line.sendall(b"GET / HTTP/1.1\r\nHo" if number % 2 else b"")
        assert all(line.recv(1) == b"" for line in lines)
    own.client.close()
    own.client = type(own.client)(base_url=own.address, timeout=WAIT_S, trust_env=False)
    assert own.page()["about"]["title"] == "Below the lamp house"


def test_a_second_request_of_a_connection_is_not_waited_for_either(live) -> None:
    """The limit holds after an answer, too, and it does not cut an answer short."""
    with connect(live) as line:
        line.sendall(ask(live, "/nothing"))
        assert line.recv(12).startswith(b"HTTP/1.1 404")
        line.sendall(b"GET / HT")
        while line.recv(4096):
            pass


def children(pid: int) -> list[int]:
    """Processes below one, from the system's own list; the helper that tracks them left out."""
    found = []
    for task in Path(f"/proc/{pid}/task").iterdir():
        for child in (task / "children").read_text().split():
            if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes():
                found.append(int(child))
    return found


@pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="needs /proc")
def test_a_killed_worker_does_not_leave_the_sketch(own) -> None:
    """The process that finishes is killed while it works: another finishes in its stead."""
    events = own.events()
    with contextlib.closing(events):
        next_of(events, "status", finished)
        assert own.post("/turn", {"seed": 5}).status_code == 200
        next_of(events, "look", lambda data: data["data"]["about"]["seed"] == 5 and data["sketch"])
        for child in children(own.process.pid):
            os.kill(child, signal.SIGKILL)
        next_of(events, "look", lambda data: data["data"]["about"]["seed"] == 5 and finished(data))


def test_a_worker_killed_at_every_try_is_told(small, monkeypatch, need) -> None:
    """Where no process lives to the end, the page says that it shows a first look."""
    need.module("starlette")
    import asyncio
    from concurrent.futures.process import BrokenProcessPool

    tried = []

    class Dying:
        def submit(self, *arguments):
            tried.append(arguments)
            raise BrokenProcessPool("killed")

        def shutdown(self, **named):
            pass

    monkeypatch.setattr("genbg.live.session.new_pool", Dying)
    session = Session(str(small))
    told = asyncio.run(session.finish_look({}))
    assert isinstance(told, tuple)
    assert "ended from outside" in told[0]
    assert len(tried) == 3


def test_a_link_to_a_bundled_preset_is_read_only(tmp_path, need) -> None:
    """What came with the program is not written to, whichever way leads to it."""
    need.module("starlette")
    link = tmp_path / "mine.toml"
    link.symlink_to(find_bundled("reed-dawn"))
    session = Session(str(link))
    assert session.why_not == BUNDLED
    before = link.read_bytes()
    with pytest.raises(Exception, match="save a copy"):
        session.write({"seed": 5})
    assert link.read_bytes() == before


def test_a_deleted_preset_did_not_come_with_the_program(small, need) -> None:
    """The page says that the file is gone, and so does the button."""
    need.module("starlette")
    session = Session(str(small))
    assert session.why_not == ""
    small.unlink()
    assert session.why_not == GONE
    small.write_text(SMALL)
    assert session.why_not == ""


def test_one_file_has_one_name_and_the_terminal_tells(small, monkeypatch, need) -> None:
    """However the path was written, each message calls the file the same; a mended save is told."""
    need.module("uvicorn")
    monkeypatch.chdir(small.parent)
    server = Live(f"./{small.name}", small)
    try:
        events = server.events()
        with contextlib.closing(events):
            next_of(events, "status", finished)
            for harm in (
                lambda: small.write_text(SMALL.replace("height = 0.6", "heigt = 0.6")),
                lambda: small.write_text(SMALL.replace("height = 0.6", "height = = 0.6")),
                lambda: small.write_bytes(b"\xff"),
                small.unlink,
            ):
                harm()
                told = next_of(events, "status", lambda data: data["faults"])["faults"]
                line = server.process.stdout.readline().strip()
                assert line == told[0]
                assert line.startswith(f"{small.name}:")
                small.write_text(SMALL)
                next_of(events, "status", lambda data: not data["faults"])
                assert server.process.stdout.readline().strip() == "mended"
        small.unlink()
        for address in ("/text", "/write"):
            error = server.post(address, {"seed": 4}).json()["error"]
            assert error.startswith((f"{small.name}: ", GONE))
    finally:
        server.end()


def test_the_bodies_are_what_they_seem() -> None:
    """Python's own reader takes all of these, so refusing them is the server's work."""
    for body in BODIES:
        assert "turned" in json.loads(body)


def test_nothing_is_left_of_it(live) -> None:
    """After all that the page is served, and a save is still seen."""
    put_back(live)
    assert live.page()["about"]["title"] == "Below the lamp house"
