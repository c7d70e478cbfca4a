"""The player page with what makes it live: one panel, its program, and a wish to hear of saves."""

from __future__ import annotations

import html
import json
from importlib import resources
from string import Template
from typing import Any

from genbg import __version__
from genbg.live.builds import State
from genbg.write import player

END = "})();\n"
"""How the page's program ends; what is live goes before it, into the same function."""


def live_page(state: State, token: str, why_not: str) -> bytes:
    """Return the page of a state.

    token: secret that lets the page turn and write; why_not: why the preset can't be written, or ""
    """
    data = json.loads(state.look.data)
    data["live"] = {"token": token, "whyNot": why_not, **status(state), "groups": state.groups}
    style = player.style_text() + part("live.css")
    script = player.script_text(player.SCRIPTS).removesuffix(END) + part("live.js") + END
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return (
        Template(player.template("page.html"))
        .substitute(
            policy=html.escape(f"{player.policy(style, script)}; connect-src 'self'"),
            version=__version__,
            title=html.escape(data["about"]["title"] or data["about"]["name"]),
            style=style,
            data=text.replace("<", "\\u003c"),
            script=script,
        )
        .encode()
    )


def status(state: State) -> dict[str, Any]:
    """Return what is said beside the picture."""
    return {
        "number": state.look.number,
        "sketch": state.look.sketch,
        "faults": list(state.faults),
        "turned": dict(state.turned),
    }


def look_event(state: State) -> str:
    """Return the event that carries a picture."""
    look = state.look
    return event(
        "look",
        f'{{"number":{look.number},"sketch":{json.dumps(look.sketch)},"data":{look.data}}}',
    )


def status_event(state: State, with_groups: bool) -> str:
    """Return the event that tells how things stand, and the controls where they may differ."""
    told = status(state)
    if with_groups:
        told["groups"] = state.groups
    return event("status", json.dumps(told, ensure_ascii=False, separators=(",", ":")))


def event(name: str, data: str) -> str:
    """Return a server-sent event; JSON on one line. Source: WHATWG HTML, 9.2."""
    return f"event: {name}\ndata: {data}\n\n"


def part(name: str) -> str:
    """Return a file of this folder as text."""
    return resources.files("genbg.live").joinpath(name).read_text("utf-8")
