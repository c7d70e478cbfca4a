"""What fuzzers share with other tests: forgeries of exports, a live server, painters' jobs."""

from __future__ import annotations

import sys
from pathlib import Path

for folder in ("", "check", "live", "paint"):
    sys.path.insert(0, str(Path(__file__).parents[1] / folder))
