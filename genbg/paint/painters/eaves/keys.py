"""Keys and ramps of the eaves painter, and how its trees stand."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Job, Ramp
from genbg.paint.craft.air import away
from genbg.paint.craft.scatter import between, hash_words, pick_one


@dataclass(frozen=True)
class Keys:
    """Keys of the eaves painter."""

    girth: float = key(13.0, "float", "Radius of a usual trunk.", low=3, high=32, unit="pixels")
    canopy: float = key(
        0.2, "float", "How far leaves hang down, a share of the lines.", low=0, high=1
    )
    boughs: float = key(0.6, "float", "How many boughs reach out.", low=0, high=1)
    moss: float = key(0.5, "float", "How much moss grows on bark and stone.", low=0, high=1)
    ground: float = key(
        0.88, "float", "Where the near bank begins, a share of the lines.", low=0.3, high=1
    )
    stones: float = key(0.5, "float", "How many boulders lie on the bank.", low=0, high=1)
    ferns: float = key(0.5, "float", "How many ferns and broad leaves grow there.", low=0, high=1)
    pools: float = key(0.6, "float", "How much light falls on the bank.", low=0, high=1)
    room: int = key(
        62, "int", "Half the gap that trees leave before the light.", low=0, high=200, unit="pixels"
    )


RAMPS = (
    Ramp(
        "bark",
        "Wood.",
        ("#000024", "#240049", "#492449", "#6d4949", "#926d49", "#db926d", "#ffdb92"),
        7,
        hazed=False,
    ),
    Ramp(
        "leaves",
        "Leaves, moss and turf.",
        ("#000024", "#002449", "#004949", "#246d49", "#499249", "#6db649", "#b6db49", "#dbff6d",
         "#ffffb6"),
        9,
        hazed=False,
    ),
    Ramp("stone", "Boulders.", ("#242449", "#49496d", "#6d9292", "#b6db92"), 4, hazed=False),
)  # fmt: skip


@dataclass(frozen=True)
class Tree:
    """A tree: column of its foot, radius there, columns by which its top leans.

    deep: lines by which it stands nearer to us than the bank's crest
    """

    x: float
    radius: float
    lean: float
    deep: float


PLANS = (
    ((-1.0, 1.25, 0.5), (1.05, 0.8, -0.5), (1.5, 0.5, 0.4)),
    ((1.15, 1.6, -0.6), (-1.45, 0.55, 0.5), (-1.8, 0.8, -0.2)),
    ((-1.05, 0.75, 0.4), (1.1, 0.95, -0.3), (1.75, 0.6, 0.5)),
    ((-1.2, 0.7, -0.7), (-1.7, 1.1, 0.4), (1.7, 1.3, -0.6)),
    ((-1.3, 1.1, 2.0), (1.25, 0.8, -1.6)),
    ((-1.05, 1.5, 0.8), (1.6, 0.6, -0.5)),
    ((-1.6, 0.9, 1.2), (1.1, 0.65, 0.3), (1.42, 0.95, -0.9)),
)
"""How trees stand about an opening: (gaps from it, share of the usual girth, lean) of each."""
LEAST = 16.0
"""Columns between two trunks."""
LEAN = 14.0
"""Columns by which a tree leans at most."""


def stand(keys: Keys, job: Job) -> list[Tree]:
    """The trees that a seed plants: about the light, and about the opening opposite it."""
    seed = hash_words(job.seed, "stand")
    light = job.body.x if job.body else between(seed, 0.0, job.width, "light")
    first = pick_one(seed, len(PLANS), "plan")
    gap = max(keys.room + 24.0, 56.0)
    trees: list[Tree] = []
    for opening in range(max(1, job.width // 256)):
        own = hash_words(seed, "opening", opening)
        plan = PLANS[(first + opening * (1 + pick_one(seed, len(PLANS) - 1, "other"))) % len(PLANS)]
        turned = 1 if pick_one(own, 2, "turned") else -1
        for n, (off, share, lean) in enumerate(plan):
            x = light + opening * 256 + turned * off * gap + between(own, -9, 9, n)
            radius = keys.girth * share * between(own, 0.9, 1.12, n, 1)
            tilt = turned * lean * LEAN * between(own, 0.6, 1.1, n, 2)
            far = [
                abs(float(away(x, one.x, job.width))) > 16 + one.radius + radius for one in trees
            ]
            if all(far):
                trees.append(Tree(x % job.width, radius, tilt, between(own, -3, 6, n, 3)))
    return trees
