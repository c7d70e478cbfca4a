"""Keys and ramps of the wood painter, and how its trees stand."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Job, Ramp
from genbg.paint.craft.air import away
from genbg.paint.craft.scatter import between, hash_words, pick_one


@dataclass(frozen=True)
class Keys:
    """Keys of the wood painter."""

    trees: float = key(0.5, "float", "How many trees stand.", low=0, high=1)
    girth: int = key(13, "int", "Radius of a usual trunk.", low=3, high=32, unit="pixels")
    canopy: float = key(
        0.2, "float", "How far leaves hang down, a share of the lines.", low=0, high=1
    )
    boughs: float = key(0.6, "float", "How many boughs reach out.", low=0, high=1)
    moss: float = key(0.5, "float", "How much moss grows on the bark.", low=0, high=1)
    creepers: float = key(0.4, "float", "How many creepers hang down.", low=0, high=1)
    ground: float = key(
        0.9, "float", "Where the ground begins, a share of the lines.", low=0.3, high=1
    )
    leafy: bool = key(True, "bool", "Whether there are leaves; bare boughs without.")
    room: int = key(
        62, "int", "Half the gap that trees leave before the light.", low=0, high=200, unit="pixels"
    )
    openings: int = key(
        1, "int", "Gaps that trees leave: before the light, and opposite it on the plane.",
        low=1, high=2,
    )  # fmt: skip


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
        "Leaves of the canopy.",
        ("#000024", "#002449", "#004949", "#246d49", "#499249", "#6db649", "#b6db49", "#dbff6d",
         "#ffffb6"),
        9,
        hazed=False,
    ),
    Ramp(
        "moss",
        "Moss on the wood, and the turf it stands on.",
        ("#000024", "#002449", "#004949", "#246d49", "#499249", "#6db649", "#b6db49", "#dbff6d"),
        8,
        hazed=False,
    ),
)  # fmt: skip


@dataclass(frozen=True)
class Tree:
    """A tree: column of its foot, radius there, columns by which its top leans, whether it is old.

    deep: lines by which it stands nearer to us than the ground's crest
    """

    x: float
    radius: float
    lean: float
    old: bool
    deep: float


PLANS = (
    ("gate", ((-0.98, 1.35, 0.5), (1.0, 1.05, -0.6), (2.7, 0.8, 0.4))),
    ("giant", ((1.15, 1.9, -0.7), (-1.5, 0.62, 0.5), (3.4, 1.0, 0.6))),
    ("rank", ((-1.05, 0.8, 0.4), (1.1, 0.95, -0.2), (2.1, 0.7, 0.5), (3.6, 1.15, -0.5))),
    ("pair", ((-1.2, 0.75, -0.7), (-1.75, 1.15, 0.4), (1.9, 1.5, -0.6))),
    ("arch", ((-1.3, 1.1, 2.1), (1.25, 0.85, -1.7), (3.2, 1.3, 0.5))),
    ("lone", ((-1.1, 1.7, 0.9), (2.6, 1.1, -0.5), (3.3, 0.7, 0.3))),
)
"""How trees stand about the light: (gaps from it, share of the usual girth, lean) of each."""
FARTHEST = 1.9
"""Gaps from the light at which the last tree stands where there is an opening opposite too."""
LEAN = 14.0
"""Columns by which a tree leans at most."""


def stand(keys: Keys, job: Job) -> list[Tree]:
    """The trees that a seed plants, from left to right of the light, never before it."""
    seed = hash_words(job.seed, "stand")
    light = job.body.x if job.body else between(seed, 0.0, job.width, "light")
    plan = PLANS[pick_one(seed, len(PLANS), "plan")][1]
    turned = 1 if pick_one(seed, 2, "turned") else -1
    gap = max(keys.room + 26.0, 60.0)
    trees: list[Tree] = []
    for copy in range(max(1, job.width // 512)):
        for n, (off, share, lean) in enumerate(plan):
            own = hash_words(seed, copy, n)
            if keys.openings > 1 and abs(off) > FARTHEST:
                off = FARTHEST - 0.12 * n if n % 2 else 0.12 * n - FARTHEST
            x = light + copy * 512 + turned * off * gap + between(own, -9, 9, 0)
            radius = keys.girth * share * between(own, 0.9, 1.12, 1)
            tilt = turned * lean * LEAN * between(own, 0.6, 1.1, 2)
            trees.append(Tree(x % job.width, radius, tilt, share > 1.2, between(own, -3, 6, 3)))
    return _more(keys, job, trees, seed, light)


def _more(keys: Keys, job: Job, trees: list[Tree], seed: int, light: float) -> list[Tree]:
    """Younger trees in the widest gaps, if many are asked for; fewer trees if few are."""
    wanted = round(len(trees) * (0.4 + 1.2 * keys.trees))
    for n in range(24):
        if len(trees) >= wanted:
            break
        x = between(seed, 0.0, job.width, "more", n)
        clear = [abs(float(away(x, tree.x, job.width))) > 34 + tree.radius for tree in trees]
        half = job.width // keys.openings
        if all(clear) and abs(float(away(x, light, half))) > keys.room:
            own = hash_words(seed, "young", n)
            radius = keys.girth * between(own, 0.45, 0.7, 0)
            trees.append(Tree(x, radius, between(own, -9, 9, 1), False, between(own, -6, 0, 2)))
    return trees[: max(1, wanted)]
