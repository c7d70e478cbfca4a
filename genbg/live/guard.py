"""Who may ask the live page's server: the page itself, on this machine, and nobody else.

A page of some other site, open in the same browser, can send requests to 127.0.0.1; a name of that
site can be made to mean 127.0.0.1. So the name asked for (Host) must be ours, a page that asks
(Origin) must be ours, and whatever changes something carries a secret that only our page was told.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Mapping

TOKEN_HEADER = "x-genbg-token"
SECRET_BYTES = 24


def new_token() -> str:
    """Return a secret for one run of the server."""
    return secrets.token_urlsafe(SECRET_BYTES)


def hosts(port: int) -> frozenset[str]:
    """Return the names that our server answers to."""
    return frozenset({f"127.0.0.1:{port}", f"localhost:{port}"})


def refusal(method: str, headers: Mapping[str, str], port: int, token: str) -> str | None:
    """Return why a request is refused, or None where it may pass.

    headers: by name in small letters
    """
    if headers.get("host", "") not in hosts(port):
        return "this server answers to 127.0.0.1 alone"
    origin = headers.get("origin")
    ours = {f"http://{host}" for host in hosts(port)}
    if origin is not None and origin not in ours:
        return "another site's page asked"
    if headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
        return "another site's page asked"
    if method in ("GET", "HEAD"):
        return None
    if origin is None:
        return "a change is asked for by the page alone"
    given = headers.get(TOKEN_HEADER, "").encode("utf-8", "replace")
    if not hmac.compare_digest(given, token.encode()):
        return "the page is of another run; load it again"
    return None
