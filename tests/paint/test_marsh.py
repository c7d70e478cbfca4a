"""The marsh: reeds end at their foot, the mirror turns them over, beds leave the light its path."""

from __future__ import annotations

import numpy as np
import pytest
from contract_jobs import plain_job

from genbg.paint.craft.dice import Dice
from genbg.paint.marsh import PAINTER
from genbg.paint.marsh.reeds import PATH, lay_beds
