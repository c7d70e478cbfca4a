"""What fuzzers share with other tests: forgeries of exports, and a live server."""

from __future__ import annotations

import sys
from pathlib import Path

for folder in ("", "check", "live"):
    sys.path.insert(0, str(Path(__file__).parents[1] / folder))
