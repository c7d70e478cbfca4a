"""What tests of the exported source share with the driver's: the times of instructions."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1] / "machine"))
