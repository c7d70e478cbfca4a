"""player.html: one page that draws the backdrop from the machine's bytes, with no network.

The page is a skeleton, a style sheet and a program, all in `templates/player/`, put together into
one file with the data in between. Nothing is built or compiled: the parts of the program stand one
after another in one function, in the order of `SCRIPTS`.

The data is one JSON object:

  about   the manifest, without the list of files and its own hash
  bytes   {path: base64} of the files under machine/ that the page draws from
  views   what only helps to look: which layer each plane pixel is from, and how much merging
          changed it. Both as pairs of bytes (value, length - 1), line after line of a plane,
          planes FRONT, BACK
"""

from __future__ import annotations

import base64
import functools
import hashlib
import html
import json
from collections.abc import Iterator, Mapping
from string import Template
from typing import Any

import numpy as np

from genbg import __version__
from genbg.model import Backdrop
from genbg.write import machine_bytes, source
from genbg.write.manifest import manifest_table
from genbg.write.merging import change_levels

NAME = "player.html"
SCRIPTS = (
    "bytes.js",
    "machine.js",
    "memory.js",
    "motion.js",
    "sprites.js",
    "screen.js",
    "view.js",
    "stage.js",
    "veil.js",
    "rail.js",
    "apart.js",
    "transport.js",
    "layers.js",
    "mark.js",
    "colours.js",
    "patterns.js",
    "report.js",
    "main.js",
)
"""Parts of the program; each may use what stands before it."""

LEFT_OUT = ("files", "manifest_sha256")
"""Keys of the manifest that can't be known before the page is written."""
DUMPS = "machine/preview"
"""Folder of what memory holds in each frame; the page works it out, for any camera and time."""

IMAGE = "machine/cartridge.bin"
"""Holds the same bytes once more."""

NO_LAYER = 255
LONGEST_RUN = 256

DATA_BEGINS = b'<script type="application/json" id="backdrop">'
DATA_ENDS = b"</script>"


def files(backdrop: Backdrop) -> Iterator[tuple[str, bytes]]:
    """Yield player.html."""
    yield NAME, page_bytes(page_data(backdrop))


def page_data(backdrop: Backdrop) -> dict[str, Any]:
    """Return what the page shows, as plain JSON values."""
    about = manifest_table(backdrop, ())
    return {
        "about": {key: value for key, value in about.items() if key not in LEFT_OUT},
        "bytes": {
            path: base64.b64encode(data).decode()
            for path, data in machine_bytes.files(backdrop)
            if is_carried(path)
        },
        "views": {
            "owners": [run_text(plane) for plane in layer_owners(backdrop)],
            "changes": [run_text(plane) for plane in change_levels(backdrop)],
        },
    }


def is_carried(path: str) -> bool:
    """Return whether the page carries a file of the export's machine/ folder."""
    folder, _, name = path.rpartition("/")
    return name.endswith((".bin", ".map")) and folder != DUMPS and path != IMAGE


def page_bytes(
    data: Mapping[str, Any], scripts: tuple[str, ...] = SCRIPTS, connect: str = ""
) -> bytes:
    """Return the page of such data; the same data gives the same bytes.

    scripts: parts of the program; more may follow `SCRIPTS`
    connect: where the program may ask for more, as the rule of the browser says it; "": nowhere
    """
    style, script = style_text(), script_text(scripts)
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    page = Template(template("page.html")).substitute(
        policy=html.escape(policy(style, script, connect)),
        version=__version__,
        title=html.escape(data["about"]["title"] or data["about"]["name"]),
        style=style,
        # inside a script element only "</" and "<!" mean something to the browser
        data=text.replace("<", "\\u003c"),
        script=script,
    )
    return page.encode()


def policy(style: str, script: str, connect: str = "") -> str:
    """Return the rule by which the browser refuses whatever is not in the page."""
    hashes = [
        base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        for text in (style, script)
    ]
    return (
        f"default-src 'none'; style-src 'sha256-{hashes[0]}'; script-src 'sha256-{hashes[1]}'; "
        "img-src data: blob:; base-uri 'none'; form-action 'none'"
        + (f"; connect-src {connect}" if connect else "")
    )


def read_page(page: bytes) -> dict[str, Any] | None:
    """Return the data of a page's bytes; None where it holds none that can be read."""
    _, begun, rest = page.partition(DATA_BEGINS)
    text, ended, _ = rest.partition(DATA_ENDS)
    if not begun or not ended:
        return None
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return data if isinstance(data, dict) else None


@functools.cache
def template(name: str) -> str:
    """Return a file of templates/player/ as text."""
    return source.template(f"player/{name}")


def style_text() -> str:
    """Return the style sheet as it stands in the page."""
    return "\n" + template("style.css")


@functools.cache
def script_text(scripts: tuple[str, ...]) -> str:
    """Return the program as it stands in the page."""
    body = "\n".join(template(name) for name in scripts)
    return f'\n"use strict";\n(() => {{\n{body}}})();\n'


def layer_owners(backdrop: Backdrop) -> np.ndarray:
    """Return (2, H, W) uint8: number of the layer that each plane pixel is from, or NO_LAYER."""
    width, height = backdrop.machine.plane_px
    owners = np.full((2, height, width), NO_LAYER, dtype=np.uint8)
    planes = {"front": owners[0], "back": owners[1]}
    for number, layer in enumerate(backdrop.layers[:NO_LAYER]):
        if layer.plane in planes:
            lines = planes[layer.plane][layer.top : layer.top + len(layer.alpha)]
            alpha = layer.alpha[: len(lines)]
            lines[:, : alpha.shape[1]][alpha] = number
    return owners


def run_text(plane: np.ndarray) -> str:
    """Return bytes as base64 of pairs (value, length - 1); the longest run is 256 bytes."""
    flat = plane.ravel()
    first = np.concatenate([[0], np.flatnonzero(np.diff(flat)) + 1])
    length = np.diff(np.concatenate([first, [len(flat)]]))
    pieces = -(-length // LONGEST_RUN)
    last = np.cumsum(pieces) - 1
    value = np.repeat(flat[first], pieces)
    less_one = np.full(len(value), LONGEST_RUN - 1, dtype=np.uint8)
    less_one[last] = (length - 1) % LONGEST_RUN
    return base64.b64encode(np.stack([value, less_one], axis=1).tobytes()).decode()
