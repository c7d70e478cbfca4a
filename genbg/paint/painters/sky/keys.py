"""What a preset may say of a sky, and the materials it is painted with."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp

GRAINS = {"bold": 2, "fine": 4, "soft": 8}
"""Size of the threshold matrix for each word."""


@dataclass(frozen=True)
class Keys:
    """Keys of the sky painter."""

    bend: float = key(
        0.35, "float", "How the bands crowd: above 0 toward the horizon.", low=-1, high=1
    )
    grain: str = key("fine", "choice", "Dither between the bands.", choices=tuple(GRAINS))
    plain: float = key(
        0.5, "float", "Share of each band that is left without dither.", low=0, high=0.95
    )
    body: str = key("sun", "choice", "What stands in the sky.", choices=("none", "sun", "moon"))
    body_x: float = key(
        0.3, "float", "Where its centre is.", low=0, high=1, unit="share of the plane's width"
    )
    body_y: float = key(
        0.45, "float", "Where its centre is.", low=0, high=1.2, unit="share of the layer's lines"
    )
    wander: float = key(
        0.0,
        "float",
        "How far the seed may move it aside.",
        low=0,
        high=0.5,
        unit="share of the width",
    )
    body_size: int = key(48, "int", "Its diameter.", low=8, high=160, unit="pixels")
    phase: float = key(1.0, "float", "How full the moon is.", low=0.1, high=1)
    halo: float = key(0.5, "float", "Light around the body.", low=0, high=1)
    glow: float = key(
        0.0, "float", "Light along the horizon, most of it under the body.", low=0, high=1
    )
    tear: float = key(0.6, "float", "How flat streaks tear the light.", low=0, high=1)
    rays: float = key(0.0, "float", "Rays that fan out from the body.", low=0, high=1)
    streaks: float = key(0.0, "float", "Streaks of far cloud: 0 none.", low=0, high=1)
    drifts: int = key(0, "int", "Large drifts of cloud, lit by the body.", low=0, high=8)
    torn: float = key(0.0, "float", "How torn those streaks are: 0 smooth lenses.", low=0, high=1)
    stars: float = key(0.0, "float", "How many stars: 1 is a clear night.", low=0, high=1)
    nebula: float = key(0.0, "float", "A band of light among the stars.", low=0, high=1)


RAMPS = (
    Ramp(
        "sky",
        "The gradient, from the top of the sky down.",
        ("#0049b6", "#246db6", "#2492db", "#49b6db", "#6db6ff", "#92dbff", "#b6dbff", "#dbffff"),
        8,
        hazed=False,
    ),
    Ramp("halo", "Light at the horizon and around the body.", ("#ffffdb", "#fffff4"), 2, True),
    Ramp("body", "The disc, from rim or seas to its face.", ("#ffdb92", "#ffffff"), 3, True),
    Ramp("stars", "Stars, from dim to bright.", ("#6d6db6", "#ffffff"), 3, True),
    Ramp(
        "nebula", "Clouds of light, from faint to bright.", ("#24246d", "#924992"), 3, hazed=False
    ),
    Ramp(
        "streak",
        "Streaks of far cloud, from their shade to their lit edge.",
        ("#6d92db", "#b6b6db", "#ffffdb"),
        4,
        hazed=False,
    ),
)
