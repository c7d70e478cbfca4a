"""contact.html: all variants on one page that sorts, filters and marks favourites.

The page is `page.html`, the rows as JSON, and `page_end.html`; stills are loaded as they scroll in.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
UNSEEN = ("made_from", "sha256", "hashed", "settings", "versions", "line_sha256")
"""What of a row the page does not show."""


def page_parts(rows: Iterator[dict[str, Any]], shown: int) -> Iterator[bytes]:
    """Yield the page piece by piece, so that it need not stand in memory.

    shown: how many variants, the first ones, stand on the contact sheets
    """
    yield (HERE / "page.html").read_bytes().replace(b"{shown}", str(shown).encode())
    comma = b""
    for row in rows:
        seen = {key: value for key, value in row.items() if key not in UNSEEN}
        # "<" would let a name end the script element
        text = json.dumps(seen, ensure_ascii=False).replace("<", "\\u003c")
        yield comma + text.encode("utf-8")
        comma = b",\n"
    yield (HERE / "page_end.html").read_bytes()
