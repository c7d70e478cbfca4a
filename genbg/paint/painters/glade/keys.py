"""Keys and ramps of the glade painter, and what its seed stages."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Body, Job, Ramp
from genbg.paint.craft.air import Clearing
from genbg.paint.craft.scatter import between, hash_words, pick_one

SIGHTS = ("shelter", "bridge", "ferry", "post", "gate", "hut", "steps", "none")
"""What may stand on the far bank."""
ALL = ("bridge", "hut", "ferry", "steps", "shelter", "gate")
"""Those that take turns where any of all is asked for."""


@dataclass(frozen=True)
class Keys:
    """Keys of the glade painter."""

    trees: float = key(0.6, "float", "How closely trunks stand.", low=0, high=1)
    rays: float = key(0.7, "float", "How many shafts of light fall.", low=0, high=1)
    shore: float = key(
        0.88, "float", "Where the far bank meets the water, a share of the lines.", low=0.5, high=1
    )
    bank: float = key(0.5, "float", "How high and rough the far bank is.", low=0, high=1)
    open: bool = key(
        False, "bool", "Whether open hills lie behind the bank, under a sky, in place of a wood."
    )
    grove: float = key(
        0.0, "float", "How many trees in blossom stand on the far bank.", low=0, high=1
    )
    ruins: float = key(0.0, "float", "How many arcades stand in the haze.", low=0, high=1)
    water: bool = key(
        True, "bool", "Whether the bank ends at water; without, it runs out into the ground."
    )
    sight: str = key(
        "any", "choice", "What stands on the far bank.", choices=("any", "all", *SIGHTS)
    )  # fmt: skip
    scale: float = key(1.0, "float", "How large that is.", low=0.5, high=2)
    shafts: bool = key(
        False, "bool", "Whether the light stands in shafts of flat tones between bolder trees."
    )


RAMPS = (
    Ramp(
        "air",
        "Air between trees, and all that is far, from shade to full light.",
        ("#002449", "#24496d", "#496d6d", "#6d9292", "#92b692", "#b6db92", "#dbff92", "#ffffb6",
         "#ffffdb"),
        9,
        hazed=False,
    ),
    Ramp(
        "leaves",
        "Turf, bushes and moss of the far bank.",
        ("#000024", "#002449", "#004949", "#246d49", "#499249", "#6db649", "#b6db49", "#dbff6d",
         "#ffffb6"),
        9,
        hazed=False,
    ),
    Ramp(
        "bark",
        "Near trunks of the far bank, its earth, timber.",
        ("#000024", "#240049", "#492449", "#6d4949", "#926d49", "#db926d", "#ffdb92"),
        7,
        hazed=False,
    ),
    Ramp(
        "blossom",
        "Trees in blossom on the far bank.",
        ("#49246d", "#92496d", "#db6d92", "#ff92b6", "#ffb6db", "#ffdbdb", "#ffffff"),
        7,
        hazed=False,
    ),
    Ramp("stone", "Stones.", ("#242449", "#49496d", "#6d6d92", "#9292b6"), 4, hazed=False),
    Ramp(
        "lamp",
        "The lamp, and what it shines on.",
        ("#490000", "#922400", "#db6d00", "#ffb649", "#ffdb6d", "#ffffdb"),
        6,
        lit=True,
    ),
)  # fmt: skip


@dataclass(frozen=True)
class Stage:
    """One place: where light and sight stand, in plane columns and lines of the layer.

    focus: column of the sight; size: its scale, smaller where it is far; kind: which one it is
    feature: what lies in the water: "stones", "trunk" or "both"
    clearings: the brightest first; shore: line at which the far bank meets the water
    """

    focus: float
    size: float
    kind: str
    feature: str
    clearings: tuple[Clearing, ...]
    shore: float


def stage(keys: Keys, job: Job) -> Stage:
    """The place that a seed makes: sight left or right, near or far, light before or beside it."""
    seed = hash_words(job.seed, "stage")
    focus = between(seed, 56.0, 264.0, "focus")
    size = (0.8, 1.0, 1.2)[pick_one(seed, 3, "size")] * keys.scale
    kind = keys.sight
    if kind in ("any", "all"):
        among, word = (ALL, "view") if kind == "all" else (SIGHTS[:3], "kind")
        kind = among[pick_one(seed, len(among), word)]
    feature = ("stones", "trunk", "both")[pick_one(seed, 3, "feature")]
    beside = between(seed, -26.0, 34.0, "beside")
    if kind == "gate":  # one looks through it into the light
        beside *= 0.2
    lean = -0.55 if job.light[0] < 0 else 0.55
    shore = _shore(keys, job)
    if keys.open:
        return Stage(
            focus, size, kind, feature, _low_sun(keys, job, focus + beside), _shore(keys, job)
        )
    other = focus + job.width / 2 + between(seed, -40.0, 30.0, "other")
    shore = _shore(keys, job)
    clearings = (
        Clearing(focus + beside, shore * 0.58, between(seed, 66.0, 96.0, "wide"), 54.0, 1.0, lean),
        Clearing(other, shore * 0.54, between(seed, 40.0, 64.0, "other wide"), 46.0, 0.62, lean),
    )
    return Stage(focus, size, kind, feature, clearings, shore)


def _shore(keys: Keys, job: Job) -> float:
    """The line at which the far bank meets the water."""
    seed = hash_words(job.seed, "stage")
    return keys.shore * job.lines + between(seed, -7.0, 3.0, "shore")


def _low_sun(keys: Keys, job: Job, x: float) -> tuple[Clearing, ...]:
    """The light of an open sky: a broad one above the hills, and a weak one far from it."""
    seed = hash_words(job.seed, "sun")
    shore = _shore(keys, job)
    wide = between(seed, 100.0, 150.0, "wide")
    first = Clearing(x, shore * 0.72, wide, 46.0, 1.0, 0.0)
    return first, Clearing(x + job.width / 2, shore * 0.8, 120.0, 30.0, 0.5, 0.0)


def body(keys: Keys, job: Job) -> Body:
    """The light of the scene: the heart of the brightest clearing."""
    first = stage(keys, job).clearings[0]
    return Body(first.x % job.width, job.top + first.y, first.across / 2)
