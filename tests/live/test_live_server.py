"""The live page's server: what it shows, whom it answers, what it writes, how it ends."""

from __future__ import annotations

import contextlib
import http.client
import shutil
import socket
from functools import partial

import httpx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from live_server import SMALL, Live

import genbg
from genbg.live.guard import hosts, refusal
from genbg.write.player import page_data


def next_of(events, name, wanted=lambda data: True):
    """The next event of a name for which something holds."""
    for _ in range(40):
        found, data = next(events)
        if found == name and wanted(data):
            return data
    raise AssertionError(f"no such {name} event")


def finished(data) -> bool:
    """Whether a look is the finished backdrop."""
    return not data["sketch"]


def has_seed(data, seed: int) -> bool:
    """Whether a look is of that seed."""
    return data["data"]["about"]["seed"] == seed


def put_back(live) -> None:
    """Give the preset its first text, and no turned values."""
    live.path.write_text(SMALL)
    live.post("/turn", {})


# --- what it shows --------------------------------------------------------------------------------


def test_a_save_is_shown_and_then_finished(live) -> None:
    """After a save comes a first look, then exactly what an export's page would carry.

    A stream sends the newest look only, so a busy machine may skip a first look; not five of them.
    """
    put_back(live)
    shown: list[dict] = []
    with contextlib.closing(live.events()) as events:
        next_of(events, "status", finished)
        for seed in range(4, 9):
            live.path.write_text(SMALL.replace("seed = 3 ", f"seed = {seed} "))
            shown.clear()
            while not shown or shown[-1]["sketch"]:
                shown.append(next_of(events, "look", partial(has_seed, seed=seed)))
            if len(shown) > 1:
                break
    look, done = shown
    assert look["sketch"]
    assert done["number"] > look["number"]
    assert done["data"] == page_data(genbg.build(genbg.load_preset(live.path)))
    put_back(live)


def test_a_fault_keeps_the_last_picture(live) -> None:
    """A preset with a fault is told with its line; the page still has the good picture."""
    put_back(live)
    events = live.events()
    with contextlib.closing(events):
        good = next_of(events, "look", finished)
        live.path.write_text(SMALL.replace("tile_budget = 300", "tile_budget = 0"))
        told = None
        while told is None:  # a look of the text before may still come
            name, data = next(events)
            good = data if name == "look" else good
            told = data if name == "status" and "tile_budget" in str(data["faults"]) else None
    (line,) = told["faults"]
    assert f"{live.path}:6:" in line
    assert "machine.tile_budget = 0" in line
    assert live.page()["bytes"] == good["data"]["bytes"]
    put_back(live)
    events = live.events()
    with contextlib.closing(events):
        next_of(events, "status", lambda data: not data["faults"])


def test_turned_values_are_shown_and_not_written(live) -> None:
    """A turned control repaints; the file stays as it is until the button is pressed."""
    put_back(live)
    events = live.events()
    with contextlib.closing(events):
        next_of(events, "status")
        assert live.post("/turn", {"seed": 77}).status_code == 200
        look = next_of(events, "look", lambda data: data["data"]["about"]["seed"] == 77)
        assert look["data"]["about"]["title"] == "Below the lamp house"
        told = next_of(events, "status", lambda data: data["turned"])
    assert told["turned"] == {"seed": 77}
    assert live.path.read_text() == SMALL
    put_back(live)


def test_an_explicit_press_writes_the_preset(live) -> None:
    """Written values change their own text only, and nothing else lies in the folder after."""
    put_back(live)
    answer = live.post("/write", {"seed": 12, "layer.1.height": 0.5})
    assert answer.status_code == 200
    assert live.path.read_text() == SMALL.replace("seed = 3 ", "seed = 12 ").replace(
        "height = 0.6", "height = 0.5"
    )
    assert [one.name for one in live.path.parent.iterdir()] == [live.path.name]
    put_back(live)


def test_values_that_fit_nothing_are_told(live) -> None:
    """An unknown path, a wrong value, a preset with a fault: the answer says so, 409."""
    put_back(live)
    for address, turned, says in (
        ("/turn", {"machine.no_such": 1}, "no such control"),
        ("/turn", {"title": "x"}, "no such control"),
        ("/write", {"machine.tile_budget": -1}, "tile_budget"),
    ):
        answer = live.post(address, turned)
        assert answer.status_code == 409
        assert says in answer.json()["error"]
    assert live.path.read_text() == SMALL


def test_a_copy_is_text_for_the_person_to_save(live) -> None:
    """The copy has the turned values; nothing is written."""
    put_back(live)
    answer = live.post("/text", {"seed": 5})
    assert answer.json()["text"] == SMALL.replace("seed = 3 ", "seed = 5 ")
    assert live.path.read_text() == SMALL


# --- whom it answers ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("host", "origin", "site"),
    [
        ("example.org", None, None),
        ("127.0.0.1", None, None),
        ("127.0.0.1:1", None, None),
        ("", None, None),
        (None, "http://example.org", None),
        (None, "null", None),
        (None, "https://127.0.0.1", None),
        (None, None, "cross-site"),
        (None, None, "same-site"),
    ],
)
@pytest.mark.parametrize("address", ["/", "/events", "/nothing"])
def test_others_are_refused(live, address, host, origin, site) -> None:
    """Another name, another site's page, or a wrong port: 403, and no word of the preset."""
    headers = {"host": host, "origin": origin, "sec-fetch-site": site}
    sent = {name: value for name, value in headers.items() if value is not None}
    answer = live.client.get(address, headers=sent)
    assert answer.status_code == 403
    assert len(answer.text) < 100


@pytest.mark.parametrize(
    "wrong",
    [
        {"x-genbg-token": None},
        {"x-genbg-token": "guess"},
        {"x-genbg-token": "é".encode("latin-1")},
        {"origin": None},
        {"origin": "http://example.org"},
        {"host": "rebound.example.org"},
        {"sec-fetch-site": "cross-site"},
    ],
)
@pytest.mark.parametrize("address", ["/turn", "/write", "/text"])
def test_changes_need_the_pages_own_secret(live, address, wrong) -> None:
    """Without the token, or from elsewhere, nothing is turned, written or told."""
    put_back(live)
    assert live.post(address, {"seed": 999}, **wrong).status_code == 403
    assert live.path.read_text() == SMALL


@pytest.mark.parametrize(
    "path",
    [
        "/morning.toml",
        "/../morning.toml",
        "/%2e%2e/etc/passwd",
        "//etc/passwd",
        "/events/../../etc/passwd",
        "/static/live.js",
        "/.git/config",
    ],
)
def test_only_the_pages_addresses_are_served(live, path) -> None:
    """No path leads to a file."""
    connection = http.client.HTTPConnection("127.0.0.1", live.port, timeout=20)
    connection.request("GET", path)
    answer = connection.getresponse()
    assert answer.status == 404
    assert answer.read() == b"Not Found"
    connection.close()


def test_bodies_are_small_json(live) -> None:
    """Too large, no JSON, another type, another shape: told, and nothing is done."""
    headers = {"origin": live.address.rstrip("/"), "x-genbg-token": live.token}
    json_type = {**headers, "content-type": "application/json"}
    for content, sent, status in (
        (b"x" * 70_000, json_type, 413),
        (b"{", json_type, 400),
        (b"[" * 60_000, json_type, 400),
        (b"[]", json_type, 400),
        (b'{"turned": 1}', json_type, 400),
        (b'{"turned": {}}', headers, 415),
        (b'{"turned": {}}', {**headers, "content-type": "text/plain"}, 415),
    ):
        assert live.client.post("/turn", content=content, headers=sent).status_code == status


def test_the_page_may_ask_nobody_else(live) -> None:
    """The page's policy allows its own program and style, and its own server, nothing else."""
    text = live.client.get("/").text
    assert "default-src &#x27;none&#x27;" in text
    assert "connect-src &#x27;self&#x27;" in text
    assert "unsafe" not in text.split("</head>")[0].split("<style>")[0]


def test_it_listens_on_this_machine_alone(live) -> None:
    """Other addresses of this machine find nobody at the port."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as other:
        other.settimeout(2)
        with pytest.raises(ConnectionRefusedError):
            other.connect(("127.0.0.2", live.port))


LINES = st.lists(
    st.one_of(
        st.binary(max_size=60),
        st.sampled_from(
            [
                b"GET / HTTP/1.1",
                b"POST /turn HTTP/1.1",
                b"GET /events HTTP/9.9",
                b"Host: 127.0.0.1",
                b"Content-Length: -1",
                b"Content-Length: 99999999999999999999",
                b"Transfer-Encoding: chunked",
                b"Connection: upgrade",
                b"Upgrade: websocket",
                b"",
            ]
        ),
    ),
    max_size=8,
)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(LINES)
def test_a_fuzzed_request_never_stops_it(live, lines) -> None:
    """Whatever bytes come, no answer is a fault of the server's, and the page is served after."""
    with socket.create_connection(("127.0.0.1", live.port), timeout=5) as line:
        line.sendall(b"\r\n".join(lines) + b"\r\n\r\n")
        line.shutdown(socket.SHUT_WR)
        with contextlib.suppress(OSError):
            assert b" 500 " not in line.recv(200).split(b"\r\n")[0]
    assert live.process.poll() is None


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.sampled_from(["/turn", "/text"]),
    st.dictionaries(
        st.one_of(st.sampled_from(["seed", "layer.1.distance", "layer.9.x", ""]), st.text()),
        st.recursive(
            st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text()),
            lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
            max_leaves=5,
        ),
        max_size=3,
    ),
)
def test_a_fuzzed_body_never_stops_it(live, address, turned) -> None:
    """Any JSON is taken or told to be wrong; the preset is not touched."""
    with contextlib.suppress(ValueError):  # what JSON can't say is not sent
        assert live.post(address, turned).status_code in (200, 400, 409)
    assert live.path.read_text() == SMALL


def test_it_still_answers_after_all_that(live) -> None:
    """The page is served and a save is still seen."""
    put_back(live)
    assert live.page()["about"]["title"] == "Below the lamp house"


def test_the_guard_knows_two_names() -> None:
    """127.0.0.1 and localhost with the port; a name alone or with another port is refused."""
    assert hosts(80) == {"127.0.0.1:80", "localhost:80"}
    assert refusal("GET", {"host": "localhost:80"}, 80, "t") is None
    assert refusal("GET", {"host": "localhost"}, 80, "t")
    assert refusal("POST", {"host": "localhost:80"}, 80, "t")
    ours = {"host": "localhost:80", "origin": "http://localhost:80", "x-genbg-token": "t"}
    assert refusal("POST", ours, 80, "t") is None


# --- how it ends, and what it can't do ------------------------------------------------------------


def test_ctrl_c_ends_it_with_130(small, need) -> None:
    """Even while a page listens, it ends soon, with one line and no traceback."""
    need.module("uvicorn")
    server = Live(small, small)
    events = server.events()
    next_of(events, "look")
    status, errors = server.end()
    assert status == 130
    assert errors.strip() == "Stopped; nothing was left half-written."
    with contextlib.suppress(httpx.HTTPError, RuntimeError):
        events.close()


def test_a_bundled_preset_is_read_only(tmp_path, need) -> None:
    """It can be turned and copied, and writing says what to do instead."""
    need.module("uvicorn")
    server = Live("reed-dawn", tmp_path / "none")
    try:
        assert "save a copy" in server.page()["live"]["whyNot"]
        answer = server.post("/write", {"seed": 5})
        assert answer.status_code == 409
        assert "save a copy" in answer.json()["error"]
        assert "seed = 5" in server.post("/text", {"seed": 5}).json()["text"]
    finally:
        server.end()


def test_a_link_stays_a_link(small, need) -> None:
    """Writing through a symbolic link changes the file that it leads to."""
    need.module("uvicorn")
    folder = small.parent / "elsewhere"
    folder.mkdir()
    real = shutil.move(small, folder / "real.toml")
    small.symlink_to(real)
    server = Live(small, small)
    try:
        assert server.post("/write", {"seed": 8}).status_code == 200
    finally:
        server.end()
    assert small.is_symlink()
    assert "seed = 8 " in real.read_text()
