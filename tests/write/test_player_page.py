"""write.player: one file that carries the machine's bytes and asks nothing of the network."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import html
import re

import numpy as np
import pytest
from sample import make_backdrop

from genbg.write import machine_bytes, player


def page_of(backdrop):
    return next(player.files(backdrop))[1].decode()


@pytest.fixture(scope="module")
def full():
    return make_backdrop(2, full=True)


def test_the_page_carries_the_machine_bytes(full):
    """Every binary file of machine/ is in the page as it is on the disk, but the frames' dumps."""
    carried = player.read_page(page_of(full).encode())["bytes"]
    expected = {
        path: data
        for path, data in machine_bytes.files(full)
        if not path.startswith("machine/preview/")
    }
    assert {path: base64.b64decode(text) for path, text in carried.items()} == expected
    assert {"machine/pieces.bin", "machine/waves.bin", "machine/motion.bin"} <= carried.keys()


def test_nothing_of_the_page_lies_elsewhere(full):
    """No address, import or link to another file stands in the page, and its rule forbids them."""
    page = page_of(full)
    # the name of SVG looks like an address and is never fetched
    addresses = set(re.findall(r"\b[a-z]+://[^\s\"'<]*", page)) - {"http://www.w3.org/2000/svg"}
    assert addresses == set()
    assert not re.search(r"@import|\bfetch\(|XMLHttpRequest|WebSocket|\bimport\b\s*[({*]", page)
    assert "default-src 'none'" in html.unescape(page)


def test_the_rule_lets_only_the_page_s_own_program_run(full):
    """The hashes of the rule are those of the style and the script as they stand in the page."""
    page = page_of(full)
    rule = html.unescape(re.search(r'Content-Security-Policy" content="(.*?)"', page)[1])
    for kind, tile in (
        ("style", r"<style>(.*?)</style>"),
        ("script", r"<script>(.*?)</script>"),
    ):
        text = re.search(tile, page, re.S)[1]
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"{kind}-src 'sha256-{digest}'" in rule


@pytest.mark.parametrize(
    "title", ["</script><b>\"&amp;'", "<!--<script>", "Ünïcode 橋 \u2028", "$x"]
)
def test_a_title_is_only_a_title(title, full):
    """A title that looks like markup comes back as it was, and ends no element of the page."""
    page = page_of(dataclasses.replace(full, title=title))
    assert player.read_page(page.encode())["about"]["title"] == title
    assert html.unescape(re.search(r"<title>(.*?)</title>", page, re.S)[1]) == title
    assert page.count("</script>") == 2


def test_the_same_backdrop_gives_the_same_page():
    """Nothing of the clock or of the run is in the page."""
    assert page_of(make_backdrop(5, full=True)) == page_of(make_backdrop(5, full=True))


@pytest.mark.parametrize("length", [1, 255, 256, 257, 512, 700])
def test_runs_are_read_back(length):
    """Pairs of value and length less one give the bytes again, read by a plain loop."""
    plane = np.array([[3] * length + [7, 7, 3]], dtype=np.uint8)
    pairs = base64.b64decode(player.run_text(plane))
    found = b"".join(bytes([pairs[n]]) * (pairs[n + 1] + 1) for n in range(0, len(pairs), 2))
    assert found == plane.tobytes()


def test_owners_are_the_last_layers_painted(full):
    """A plane pixel belongs to the last layer of its plane that covers it."""
    layer = full.layers[0]
    holes = dataclasses.replace(layer, name="holes", alpha=layer.alpha.copy())
    holes.alpha[:, ::3] = False
    owners = player.layer_owners(dataclasses.replace(full, layers=(layer, holes)))
    back = owners[1][layer.top : layer.top + len(layer.alpha)]
    assert (back == np.where(holes.alpha, 1, 0)).all()
    assert (owners[0] == player.NO_LAYER).all()


@pytest.mark.parametrize(
    "page", [b"", b"\xff\xfe", b'<script type="application/json" id="backdrop">{</script>',
             b'<script type="application/json" id="backdrop">[1]</script>']
)  # fmt: skip
def test_what_is_no_page_holds_no_data(page):
    """Reading something else as a page gives nothing rather than an error."""
    assert player.read_page(page) is None
