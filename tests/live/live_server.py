"""A small preset with comments, and a live server of it in a process of its own."""

from __future__ import annotations

import json
import re
import signal
import subprocess
import sys

import httpx
import pytest

SMALL = """\
# A quiet morning below the lamp house.
title = "Below the lamp house"
seed = 3          # another number, another morning

[machine]
tile_budget = 300  # the game needs the rest

# What all layers share.
[scene]
haze = "#92b6db"
haze_half = 12.0

# The farthest first.
[[layer]]
paint = "sky"
lines = [0, 160]
colours.sky = ["#2449b6", "#92b6db", "#ffdbb6"]   # from the top down

[[layer]]
paint = "ridge"
name = "hills"
lines = [96, 160]
distance = 8.0     # far away
height = 0.6

# Nearest.
[[layer]]
paint = "ridge"
name = "shore"
plane = "front"
lines = [128, 224]
distance = [4.0, 1.0]

[mood.night]
tint = "#242492"   # moonlight
amount = 0.7
"""


class Live:
    """A running server. path: of its preset; port, address: where it listens"""

    def __init__(self, source, path):
        self.path = path
        command = [sys.executable, "-m", "genbg.cli", "live", str(source), "--no-browser"]
        self.process = subprocess.Popen(
            command,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            # a shell lets what it starts with & ignore Ctrl-C
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
        )
        try:
            self.meet()
        except BaseException:
            self.process.kill()
            self.process.communicate()
            raise

    def meet(self) -> None:
        """Learn the address and the page's secret."""
        said = self.process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)/", said)
        assert found, f"{said!r} {self.process.stderr.read()}"
        self.address, self.port = found[0], int(found[1])
        self.client = httpx.Client(base_url=self.address, timeout=20, trust_env=False)
        self.token = self.page()["live"]["token"]

    def page(self) -> dict:
        """The data in the page."""
        text = self.client.get("/").text
        return json.loads(re.search(r'id="backdrop">(.*?)</script>', text, re.S)[1])

    def post(self, address, turned, **headers):
        """Ask as the page asks; a header of None is left out."""
        usual = {"origin": self.address.rstrip("/"), "x-genbg-token": self.token}
        sent = {name: value for name, value in {**usual, **headers}.items() if value is not None}
        return self.client.post(address, json={"turned": turned}, headers=sent)

    def events(self):
        """Yield (name, data) as the page hears them."""
        with self.client.stream("GET", "/events") as answer:
            name = None
            for line in answer.iter_lines():
                if line.startswith("event: "):
                    name = line.removeprefix("event: ")
                elif line.startswith("data: "):
                    yield name, json.loads(line.removeprefix("data: "))

    def end(self) -> tuple[int, str]:
        """Stop it as Ctrl-C does; its status and what it said on standard error."""
        self.client.close()
        self.process.send_signal(signal.SIGINT)
        _, errors = self.process.communicate(timeout=30)
        return self.process.returncode, errors


@pytest.fixture(scope="module")
def live(tmp_path_factory, need):
    """A server of the small preset."""
    for name in ("starlette", "uvicorn", "watchfiles", "tomlkit"):
        need.module(name)
    path = tmp_path_factory.mktemp("live") / "morning.toml"
    path.write_text(SMALL)
    server = Live(path, path)
    yield server
    server.end()
