"""The wood, its glade, its pool and its bank: what each leaves free, mirrors, and repeats."""

import numpy as np
import pytest
from painting_checks import job_of, paint

from genbg.model import Painting, RampUse
from genbg.paint.contract import Body, Seen
from genbg.paint.craft.air import away
from genbg.paint.table import painter

SEEDS = range(1, 11)
GLADE = {"top": 0, "bottom": 152}
WOOD = {"top": 0, "bottom": 200}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_glade_is_whole_above_its_waterline(seed: int) -> None:
    """No see-through pixel above the bank, and none painted in the last lines but a few stones."""
    ink = paint("glade", seed=seed, width=256, **GLADE).ink
    assert (ink[:110] > 0).all()
    assert (ink[-2:] > 0).mean() < 0.2


def test_glades_of_ten_seeds_are_ten_places() -> None:
    """The light stands at places that differ by more than 8 columns in most pairs of ten seeds."""
    glade = painter("glade")
    assert glade.body is not None
    jobs = [job_of("glade", seed=seed, **GLADE) for seed in SEEDS]
    places = [glade.body(job.params, job).x for job in jobs]
    pairs = [(a, b) for a in places for b in places if a < b]
    assert sum(b - a > 8 for a, b in pairs) > 0.8 * len(pairs)
    assert np.ptp(places) > 120


@pytest.mark.parametrize("seed", SEEDS)
def test_trees_leave_the_light_free(seed: int) -> None:
    """At half height, no wood stands within half of the room before the scene's light."""
    bare = {"leafy": False}  # wood alone is what the claim is about
    painting = paint("wood", seed=seed, body=Body(200.0, 80.0, 40.0), params=bare, **WOOD)
    columns = np.nonzero(painting.ink[110] > 0)[0]
    assert len(columns) > 10
    assert np.abs(away(columns, 200.0, 512)).min() > 31


def test_narrow_and_wide_planes_are_painted() -> None:
    """Any width that is a multiple of 256 works."""
    for width in (256, 768):
        for name in ("glade", "wood", "bank", "eaves", "mere"):
            assert paint(name, width=width, top=184, bottom=224).ink.shape == (40, width)


def striped(lines: int) -> Seen:
    """A layer whose lines are dark but for a bright band of four, ten lines above its last."""
    ink = np.ones((lines, 512), dtype=np.uint16)
    ink[lines - 14 : lines - 10] = 8
    return Seen(0, Painting(ink, (RampUse("air", 8),)))


def test_water_mirrors_about_its_foot() -> None:
    """Equal angles (Hero of Alexandria): what stands 10 to 13 lines above the waterline lies about
    as far below it, and what is not there is not mirrored."""
    job = job_of("pool", top=120, bottom=200, seen={"far": striped(130)}, params={"pads": 0.0})
    painting = painter("pool").draw(job)
    assert not painting.ink[:10].any()  # above the waterline it is see-through
    water = painting.ink[10:].astype(float)
    light = water.mean(axis=1)
    assert 8 <= int(np.argmax(light[:30])) <= 13
    assert light[8:13].mean() > light[2:6].mean() + 1.0
    assert light[8:13].mean() > light[18:26].mean() + 0.8


def test_what_stands_before_all_water_hides_it() -> None:
    """A layer that is seen down to the pool's last line leaves no water in its columns."""
    ink = np.full((200, 512), 4, np.uint16)
    ink[130:, 256:] = 0
    seen = {"near": Seen(0, Painting(ink, (RampUse("air", 8),)))}
    job = job_of("pool", top=120, bottom=200, seen=seen, params={"pads": 0.0})
    painted = painter("pool").draw(job).ink > 0
    assert not painted[:, :256].any()
    assert painted[10:, 256:].all()


def test_lamps_trail_below_themselves() -> None:
    """A lamp's colour lies in the water under the lamp and nowhere else."""
    ink = np.ones((130, 512), dtype=np.uint16)
    ink[112:120, 250:256] = 12
    seen = Seen(0, Painting(ink, (RampUse("air", 8), RampUse("lamp", 4))))
    job = job_of("pool", top=120, bottom=200, seen={"far": seen}, params={"pads": 0.0})
    painting = painter("pool").draw(job)
    before = sum(use.steps for use in painting.ramps[:-1])
    columns = np.nonzero(painting.ink > before)[1]
    assert len(columns) > 10
    assert np.abs(columns - 253).max() < 14


def test_the_path_lies_under_the_body() -> None:
    """The brightest water is below the scene's light."""
    seen = {"far": Seen(0, Painting(np.full((130, 512), 4, np.uint16), (RampUse("air", 8),)))}
    job = job_of(
        "pool", top=120, bottom=200, seen=seen, body=Body(300.0, 60.0, 30.0), params={"pads": 0.0}
    )
    ink = painter("pool").draw(job).ink[20:]
    bright = np.nonzero(ink >= ink.max() - 1)[1]
    assert np.abs(np.median(away(bright, 300.0, 512))) < 25


def test_a_bank_with_a_road_shows_it() -> None:
    """A road takes about its share of the lines, and none is there when none is asked."""
    size = {"top": 184, "bottom": 224}
    soil = [use.name for use in paint("bank", **size).ramps].index("soil")
    for road, least, most in ((0.0, 0.0, 0.0), (0.4, 0.08, 0.6)):
        painting = paint("bank", params={"road": road, "ferns": 0.0}, **size)
        first = sum(use.steps for use in painting.ramps[:soil]) + 1
        inside = (painting.ink >= first) & (painting.ink < first + painting.ramps[soil].steps)
        assert least <= inside.mean() <= most


def test_bare_boughs_have_no_leaves() -> None:
    """Without leaves the canopy's ramp is not used."""
    painting = paint("wood", params={"leafy": False}, **WOOD)
    names = [use.name for use in painting.ramps]
    first = sum(use.steps for use in painting.ramps[: names.index("leaves")]) + 1
    last = first + painting.ramps[names.index("leaves")].steps
    assert not ((painting.ink >= first) & (painting.ink < last)).any()


@pytest.mark.parametrize("seed", range(1, 5))
def test_two_openings_lie_opposite_each_other(seed: int) -> None:
    """With two, no wood stands within half of the room opposite the light either."""
    body = Body(200.0, 80.0, 40.0)
    painting = paint("wood", seed=seed, body=body, params={"openings": 2, "leafy": False}, **WOOD)
    columns = np.nonzero(painting.ink[110] > 0)[0]
    for middle in (200.0, 456.0):
        assert np.abs(away(columns, middle, 512)).min() > 31


def test_dusk_darkens_the_foot_of_a_bank_alone() -> None:
    """The last lines hold only the two darkest tones of turf and few stones; the first stay."""
    size = {"top": 184, "bottom": 224}
    plain, dark = (paint("bank", params={"dusk": dusk}, **size).ink for dusk in (0.0, 1.0))
    assert (dark[-2:] <= 2).mean() > 0.95
    assert (dark[-14:] <= 2).mean() > (plain[-14:] <= 2).mean() + 0.1
    assert (plain[:8] == dark[:8]).mean() > 0.95


def test_sheen_lightens_the_water_about_the_body() -> None:
    """Water under the body is lighter with it, and far from the body on the whole as light."""
    given = {"top": 120, "bottom": 200, "seen": {"far": striped(130)}}
    body = Body(200.0, 60.0, 30.0)
    plain, lit = (
        paint("pool", body=body, params={"pads": 0.0, "path": 0.0, "sheen": sheen}, **given).ink
        for sheen in (0.0, 1.0)
    )
    columns = np.arange(512)
    under = np.abs(away(columns, 200.0, 512)) < 20
    far = np.abs(away(columns, 200.0, 512)) > 200
    assert lit[20:40][:, under].mean() > plain[20:40][:, under].mean() + 0.8
    assert abs(lit[:, far].mean() - plain[:, far].mean()) < 0.1
