"""Painter of high mountains over a valley: ranges with crests, spurs, water, woods in mist.

One ramp of air colours all of it, from the darkest wood to the brightest snow, so that far things
sink into it by themselves. Light comes from the scene's sun or moon, column by column. The seed
chooses the plan: where the great peaks stand beside the body, and what lies in the valley.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.peaks.plans import draw_plan
from genbg.paint.painters.peaks.ranges import paint_far_chain, paint_great_peaks
from genbg.paint.painters.peaks.scene import view_of
from genbg.paint.painters.peaks.valley import paint_valley


@dataclass(frozen=True)
class Keys:
    """Keys of the peaks painter."""

    height: float = key(
        0.8,
        "float",
        "The highest summit.",
        low=0.2,
        high=1,
        unit="share of the lines over the foot",
    )
    foot: float = key(
        0.66,
        "float",
        "Where the valley begins.",
        low=0.3,
        high=1,
        unit="share of the layer's lines",
    )
    form: str = key(
        "ribbed",
        "choice",
        "How slopes are cut: into many small ribs, or into broad planes with round hills before.",
        choices=("ribbed", "broad"),
    )
    plan: str = key(
        "any",
        "choice",
        "Where the great peaks stand; any: as the seed says.",
        choices=("any", "gap", "saddle", "horn", "wall"),
    )
    valley: str = key(
        "any",
        "choice",
        "What lies in the valley; any: as the seed says.",
        choices=("any", "river", "lake", "meadow"),
    )
    woods: float = key(0.6, "float", "How much of the valley is wooded.", low=0, high=1)
    hamlet: bool = key(True, "bool", "A few lit windows by the water.")


RAMPS = (
    Ramp(
        "air",
        "Rock, woods and snow in one ramp, from deep shade to snow in the light.",
        ("#000049", "#244992", "#6d92b6", "#92b6db", "#ffffff"),
        10,
        hazed=False,
    ),
    Ramp(
        "water",
        "River and lake, from dark to where the light lies on them.",
        ("#002449", "#00246d", "#244992", "#92b6db", "#ffffff"),
        8,
        hazed=False,
    ),
    Ramp("lamp", "Lit windows far off and the snow before them.", ("#b66d92", "#ffdb92"), 2, True),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Far ranges, great peaks and the valley before them; see-through above the crests."""
    picture = TonalPicture(job, RAMPS)
    view = view_of(job, round(keys.foot * job.lines))
    plan = draw_plan(job.seed, keys.plan, keys.valley)
    high = keys.height * view.foot
    paint_far_chain(picture, view, plan, high)
    broad = keys.form == "broad"
    paint_great_peaks(picture, view, plan, high, broad)
    if view.foot < job.lines:
        paint_valley(picture, view, plan, keys.woods, keys.hamlet, broad)
    hide_strays(picture)
    picture.calm(job.thrift)
    return picture.painting(tidy=True)


def hide_strays(picture: TonalPicture) -> None:
    """Ground goes on down to the last line wherever something has been painted above."""
    painted = np.logical_or.accumulate(picture.holds(), axis=0) & ~picture.holds()
    if painted.any():
        picture.lay(painted, "air", 4.0)


PAINTER = Painter(
    name="peaks",
    about="High mountains in the light of sun or moon, and a valley with water and woods in mist.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
