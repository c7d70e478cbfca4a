"""Painter of a ferry's deck seen from abeam, by the moon and by its own lamps.

The moon stands over the sea behind it, so it lights tops and edges; a pixel that a lamp reaches
takes the warm ramp. All that is not ferry is see-through.
"""

from __future__ import annotations

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.solids import (
    Facade,
    Kind,
    Light,
    Oblique,
    Shadows,
    Stage,
    drawn_facade,
    edge_tones,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.solids.glow import lamplight
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.ferry.build import DECK, NEAR, build_ferry
from genbg.paint.painters.ferry.keys import RAMPS, Keys

SLOPE = 0.5
"""Lines by which a unit deeper lies higher."""
WALLS = Facade(13.0, 30.0, (3.4, 9.0), 12.0, 1.0, glow=0.8, shutters=0.0, course=6.0)
LEAST_WARM, WARM_STEP = 0.1, 0.13
"""Lamplight from which a pixel takes the warm ramp, and from tone to tone of it."""


def paint(keys: Keys, job: Job) -> Painting:
    """The ferry; sea and sky are see-through."""
    picture = TonalPicture(job, RAMPS)
    dice = Dice(job.seed, "ferry")
    stage = Stage()
    lamps = build_ferry(stage, keys, dice, float(job.width))
    eye = Oblique(VIEW, job.top + keys.deck * job.lines + DECK, SLOPE, NEAR)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    moon = job.body.x if job.body else job.width * (0.5 + 0.4 * job.light[0])
    light = Light(0.6, 0.62, -0.1, moon, job.width / 2)
    lit = lighten(Shadows(stage, light), seen)
    seed = hash_words(job.seed, "wood")
    drawn = drawn_facade(seen, tones(seen, lit, seed, 0.25, 1.0), seed + 1, WALLS)
    tone = edge_tones(seen, drawn.tone, lit, seed + 2)
    picture.material[seen.has] = seen.material[seen.has]
    picture.tone[seen.has] = tone[seen.has]
    warm = lamplight(seen, lamps, eye) if lamps else np.zeros(tone.shape)
    warm = warm + 0.04 * (tone - 1.0) * (warm > 0)
    golden = seen.has & (warm > LEAST_WARM)
    picture.lay(golden, "warm", np.clip(np.floor((warm - LEAST_WARM) / WARM_STEP), 0, 4))
    picture.lay(drawn.pane & ~drawn.glow, "hull", 0.0)
    glass = drawn.glow
    picture.lay(glass, "lamp", np.where(shifted(glass, 0, 3), 0.0, 1.0))
    shines = seen.has & (seen.kind == Kind.LAMP)
    picture.lay(shines, "lamp", 2.0)
    picture.guard |= shines | glass
    picture.calm(job.thrift)
    return picture.painting(tidy=True)


VIEW = 160.0
"""Column of the ferry's middle: that of a screen that does not move."""

PAINTER = Painter(
    name="ferry",
    about="A ferry's deck seen from abeam, with mast, deckhouse, cargo and lit lamps.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
