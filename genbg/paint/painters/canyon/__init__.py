"""Painter of a land of layered rock and dunes in low light, with a dwelling.

Rock is a solid of beds that is marched through, the ground a height field; both throw their shadows
on the ground. The far rank stands in dust, the near one carries the shelter. The seed draws the
plan: where masses stand, whether an arch opens, where dunes and a dry river run.
"""

from __future__ import annotations

from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.canyon.cover import grow_scrub, lay_pan, strew_rubble
from genbg.paint.painters.canyon.floor import lay_floor, lay_front
from genbg.paint.painters.canyon.keys import Keys
from genbg.paint.painters.canyon.plans import draw_plan
from genbg.paint.painters.canyon.sand import heap_sand, mark_sand
from genbg.paint.painters.canyon.shelter import build_shelter
from genbg.paint.painters.canyon.stone import lay_rock, raise_rocks

RAMPS = (
    Ramp("lit", "Rock in the light.", ("#6d2449", "#db6d49", "#ffffb6"), 7, hazed=False),
    Ramp(
        "shade", "All shade, from near to far.", ("#240024", "#6d496d", "#ffdbb6"), 8, hazed=False
    ),
    Ramp("sand", "Sand in the light.", ("#b66d49", "#ffb66d", "#ffffb6"), 7, hazed=False),
    Ramp("cool", "Sand in shade.", ("#24244a", "#6d6d92", "#ffdbb6"), 7, hazed=False),
    Ramp("clay", "The dry river's bed.", ("#926db6", "#ffdbdb"), 4, hazed=False),
    Ramp(
        "wall",
        "The shelter's walls: three of shade, three of light.",
        ("#49246d", "#ffffdb"),
        6,
        hazed=False,
    ),
    Ramp("cloth", "Awning and door.", ("#004949", "#2492b6"), 3, hazed=False),
    Ramp("lamp", "Lamp and lit windows.", ("#b64900", "#ffdb6d", "#ffffb6"), 3, True),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Rock, ground and shelter; see-through above."""
    picture = TonalPicture(job, RAMPS)
    plan = draw_plan(job, keys)
    rocks = raise_rocks(job, keys, plan)
    floor = lay_floor(picture, job, keys, plan, rocks)
    for rock in rocks:
        lay_rock(picture, job, keys, rock)
    lay_front(picture, job, keys, plan, floor)
    if keys.rank == "near":
        mark_sand(picture, job, plan, keys.dunes > 0)
        lay_pan(picture, job, plan, floor.lie.ground)
        strew_rubble(picture, job, plan, rocks)
        grow_scrub(picture, job, plan)
    if plan.shelter:
        build_shelter(picture, job, keys, plan)
        heap_sand(picture, job, plan)
    picture.calm(job.thrift)
    return picture.painting(tidy=True)


PAINTER = Painter(
    name="canyon",
    about="A land of layered rock and dunes in low light, with a caravans' shelter.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
