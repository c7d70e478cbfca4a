"""Painter of near ground with form: drifts of snow or dunes of sand, rocks, a trodden way.

Crests are hulls, so they are sharp, their lee lies in shade and throws its shadow; the way is cut
into the ground and the light draws its edges. The seed lays out crests, rocks, trees and the way.
"""

from __future__ import annotations

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.drifts.field import lay_drifts
from genbg.paint.painters.drifts.grass import grow_grass
from genbg.paint.painters.drifts.things import set_things
from genbg.records import record


@record(frozen=True)
class DriftsKeys:
    """Keys of the drifts painter."""

    height: float = key(0.6, "float", "How high drifts rise.", low=0, high=1)
    spacing: int = key(140, "int", "How far apart drifts lie.", low=40, high=256, unit="pixels")
    level: float = key(
        0.2, "float", "How light level ground is.", low=0, high=1, unit="share of the ramp"
    )
    edge: float = key(
        0.4, "float", "How ragged the upper edge is: 0 covers all lines.", low=0, high=1
    )
    way: float = key(0.5, "float", "How likely a trodden way is.", low=0, high=1)
    ripples: float = key(0.0, "float", "Ripples that wind left.", low=0, high=1)
    rocks: float = key(0.5, "float", "How many rocks.", low=0, high=1)
    stone: float = key(0.35, "float", "How big rocks are.", low=0, high=1)
    growth: str = key("firs", "choice", "What grows there.", choices=("firs", "scrub"))
    trees: float = key(0.4, "float", "How many firs or bushes.", low=0, high=1)
    grass: float = key(0.0, "float", "How much grass grows in tufts.", low=0, high=1)
    cap: bool = key(True, "bool", "Snow lies on rocks and firs.")
    gloom: float = key(
        0.0, "float", "How much lies in the shade of something unseen.", low=0, high=1
    )
    contrast: float = key(
        0.7, "float", "How much light and shade differ from form to form.", low=0, high=1
    )
    cool: float = key(0.0, "float", "How much darker it grows toward us.", low=0, high=1)


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


def paint(keys: DriftsKeys, job: Job) -> Painting:
    """Near ground; see-through above its ragged edge."""
    picture = TonalPicture(job, RAMPS)
    field = lay_drifts(picture, job, keys)
    if keys.grass > 0:
        grow_grass(picture, job, keys.grass, field)
    set_things(picture, job, keys, field)
    picture.calm(job.thrift)
    return picture.painting(tidy=True)


PAINTER = Painter(
    name="drifts",
    about="Near ground with form: snow drifts or dunes with sharp crests, rocks, a trodden way.",
    params=DriftsKeys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
