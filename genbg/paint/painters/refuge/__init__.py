"""Painter of a shoulder of snow with a refuge: lit house, lamp, path and laden firs.

One height field carries house and trees, lit column by column from the scene's sun or moon. Lamp
and windows throw their own light on the snow. The seed chooses where the house stands and how.
"""

from __future__ import annotations

from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.refuge.homely import tread_path
from genbg.paint.painters.refuge.house import build_house
from genbg.paint.painters.refuge.keys import Keys
from genbg.paint.painters.refuge.lamplight import lay_lamp, lay_light, lay_shadow
from genbg.paint.painters.refuge.shoulder import lay_shoulder, lay_trail
from genbg.paint.painters.refuge.site import draw_site
from genbg.paint.painters.refuge.trees import cast_firs, fir_places, plant_firs

TRAIL_UP_TO = 0.5
"""Thrift from which footprints are left out: each costs tiles."""

RAMPS = (
    Ramp("lit", "Snow in the light.", ("#244992", "#92b6db", "#ffffff"), 6, hazed=False),
    Ramp("shade", "Snow in shade.", ("#000024", "#24246d", "#244992"), 5, hazed=False),
    Ramp("leaf", "Needles.", ("#000024", "#002449", "#496d6d"), 4, hazed=False),
    Ramp("wood", "Walls, posts and doors.", ("#240000", "#6d2424", "#b66d24"), 5, hazed=False),
    Ramp("stone", "Chimney and footing.", ("#240024", "#49496d", "#9292b6"), 4, hazed=False),
    Ramp(
        "glow",
        "Lamplight on snow, from its rim inward.",
        ("#24246d", "#926d92", "#ffdb92"),
        7,
        True,
    ),
    Ramp("lamp", "Lamp and lit windows.", ("#924900", "#ffb649", "#ffffb6"), 4, True),
)


def paint(keys: Keys, job: Job) -> Painting:
    """The shoulder and all that stands on it; see-through above."""
    picture = TonalPicture(job, RAMPS)
    site = draw_site(job, keys)
    shoulder = lay_shoulder(picture, job, keys, site)
    firs = fir_places(job, keys, site, shoulder)
    cast_firs(picture, shoulder, firs, keys.homely)
    if not site.lived_in:
        plant_firs(picture, job, keys, shoulder, firs)
        picture.calm(job.thrift)
        return picture.painting(tidy=True)
    lay_shadow(picture, job, site, shoulder)
    if keys.homely:
        tread_path(picture, job, site, shoulder)
    if keys.lamplight > 0:
        lay_light(picture, job, site, shoulder, keys.lamplight, keys.homely)
    if not keys.homely and job.thrift < TRAIL_UP_TO:
        lay_trail(picture, job, site, shoulder)
    plant_firs(picture, job, keys, shoulder, [fir for fir in firs if fir[0] >= site.deep])
    build_house(picture, job, keys, site, shoulder)
    lay_lamp(picture, site, shoulder)
    plant_firs(picture, job, keys, shoulder, [fir for fir in firs if fir[0] < site.deep])
    picture.calm(job.thrift)
    return picture.painting(tidy=True)


PAINTER = Painter(
    name="refuge",
    about="A shoulder of snow with a lit refuge, a lamp, a path and laden firs.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
