"""Painter of near ground with form: drifts of snow or dunes of sand, rocks, a trodden way.

Crests are hulls, so they are sharp, their lee lies in shade and throws its shadow; the way is cut
into the ground and the light draws its edges. The seed lays out crests, rocks, trees and the way.
"""

from __future__ import annotations

from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.drifts.desert import set_desert
from genbg.paint.painters.drifts.field import lay_drifts
from genbg.paint.painters.drifts.grass import grow_grass
from genbg.paint.painters.drifts.keys import Keys
from genbg.paint.painters.drifts.mounds import lay_mounds
from genbg.paint.painters.drifts.stand import stand_things
from genbg.paint.painters.drifts.things import set_things

RAMPS = (
    Ramp("lit", "Ground in the light.", ("#496db6", "#92b6ff", "#ffffff"), 6, hazed=False),
    Ramp("shade", "Ground in shade.", ("#000024", "#24246d", "#244992"), 5, hazed=False),
    Ramp(
        "rock",
        "Bare rock, from deep shade to light.",
        ("#000024", "#49496d", "#9292b6"),
        5,
        hazed=False,
    ),
    Ramp("leaf", "Needles and dry grass.", ("#000024", "#002449", "#496d6d"), 4, hazed=False),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Near ground; see-through above its ragged edge."""
    picture = TonalPicture(job, RAMPS)
    round_forms = keys.form == "mounds"
    field = (lay_mounds if round_forms else lay_drifts)(picture, job, keys)
    if keys.grass > 0:
        grow_grass(picture, job, keys.grass, field)
    if keys.growth == "desert":
        set_desert(picture, job, keys, field)
    else:
        (stand_things if round_forms else set_things)(picture, job, keys, field)
    picture.calm(job.thrift)
    return picture.painting(tidy=True)


PAINTER = Painter(
    name="drifts",
    about="Near ground with form: snow drifts or dunes with sharp crests, rocks, a trodden way.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
