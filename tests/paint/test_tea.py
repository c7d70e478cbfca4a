"""Tea hills held against the mound's own equation; meadows, gates and open hills."""

import numpy as np
import pytest
from painting_checks import LIGHT_LEFT, LIGHT_RIGHT, job_of, paint

from genbg.paint.contract import Body
from genbg.paint.craft.air import away
from genbg.paint.painters.glade.ruins import arcade, arch_opening
from genbg.paint.painters.tea import TILT, Hill, contour, plan_hills
from genbg.paint.table import painter

TEA = {"top": 40, "bottom": 208}
MEADOW = {"top": 120, "bottom": 216}
GLADE = {"top": 0, "bottom": 152}


def inks_of(painting, ramp):
    """First and last local ink of a ramp."""
    names = [use.name for use in painting.ramps]
    first = 1 + sum(use.steps for use in painting.ramps[: names.index(ramp)])
    return first, first + painting.ramps[names.index(ramp)].steps - 1


def test_contours_lie_on_the_mound() -> None:
    """z = H (1 - r^2): each point of a contour, taken back from the screen, has that radius (by
    hand; the bend of its rows is at most 7 lines)."""
    job = job_of("tea", **TEA)
    hill = Hill(200.0, 150.0, 100.0, 160.0, 10.0, 5)
    for level in (0.2, 0.5, 0.8):
        points = contour(hill, job, level)
        u = (points[:, 0] - hill.x) / hill.half
        front = (points[:, 1] - hill.foot + level * hill.high) / (TILT * hill.high)
        radius = np.sqrt(u * u + np.maximum(front, 0) ** 2)
        assert radius == pytest.approx(np.full(len(u), np.sqrt(1 - level)), abs=0.13)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_hills_are_see_through_above_and_whole_below(seed: int) -> None:
    """Above the highest hill nothing is painted; at each hill's foot it is painted throughout."""
    job = job_of("tea", seed=seed, params={"trees": 0.0, "lamps": 0.0}, **TEA)
    ink = painter("tea").draw(job).ink
    first = plan_hills(job.params, job)[0]
    top = int(first.foot - first.high)
    assert not ink[: max(0, top - 14)].any()
    columns = (np.arange(int(first.x) - 30, int(first.x) + 30)) % 512
    assert (ink[top + 12 : int(first.foot), columns] > 0).all()


def test_the_lit_side_of_hills_is_lighter() -> None:
    """With the light turned about, the lighter half of the hills turns with it (Lambert)."""
    shares = []
    for light in (LIGHT_LEFT, LIGHT_RIGHT):
        job = job_of("tea", seed=3, light=light, params={"hills": 1, "trees": 0.0}, **TEA)
        painting = painter("tea").draw(job)
        low, high = inks_of(painting, "leaves")
        hedge = (painting.ink >= low) & (painting.ink <= high)
        left = (away(np.arange(512), plan_hills(job.params, job)[0].x, 512) < -10)[None, :]
        tone = painting.ink.astype(float)
        shares.append(tone[hedge & left].mean() - tone[hedge & ~left].mean())
    assert shares[0] > 0.5
    assert shares[1] < -0.5


def test_level_fields_alone() -> None:
    """Without hills only the fields at our feet are there, across the whole width."""
    ink = paint("tea", top=176, bottom=224, params={"hills": 0, "near": 30}).ink
    assert not ink[:5].any()
    assert (ink[-8:] > 0).all()


@pytest.mark.parametrize("seed", range(1, 6))
def test_the_path_runs_to_the_light(seed: int) -> None:
    """A meadow's path ends under the scene's light and broadens toward us (pinhole camera: sizes go
    with nearness, Hartley and Zisserman, chapter 6)."""
    painting = paint("meadow", seed=seed, body=Body(150.0, 60.0, 30.0), **MEADOW)
    low, high = inks_of(painting, "soil")
    soil = (painting.ink >= low) & (painting.ink <= high)
    far = np.nonzero(soil[6:16])[1]
    assert np.abs(away(far, 150.0, 512)).max() < 40
    assert soil[60:80].sum() > 3 * soil[10:30].sum()


def test_a_meadow_is_whole_and_has_a_path_only_if_asked() -> None:
    """All lines are painted; without a path there is no soil."""
    painting = paint("meadow", params={"path": 0.0}, **MEADOW)
    assert (painting.ink > 0).all()
    low, high = inks_of(painting, "soil")
    assert not ((painting.ink >= low) & (painting.ink <= high)).any()


def test_arches_are_round() -> None:
    """An opening is as wide as told, and its top a half circle (Euclid)."""
    dx, up = np.meshgrid(np.arange(-20, 21), np.arange(0, 50))
    opening = arch_opening(dx, up, 10.0, 25.0)
    assert opening[:25].sum(axis=1).tolist() == [19] * 25
    assert opening[25:].sum() == pytest.approx(np.pi * 100 / 2, rel=0.1)


def test_an_arcade_has_its_openings() -> None:
    """Along its springs a wall of four arches is cut by four openings."""
    wall = arcade(152, 512, (256.0, 130.0), 32.0, 4, 3)
    row = wall[120, 180:332]
    assert (np.diff(row.astype(int)) == -1).sum() in (4, 5)


@pytest.mark.parametrize("sight", ["shelter", "bridge", "ferry", "post", "gate"])
def test_sights_are_marked_and_lit(sight: str) -> None:
    """Every sight stands near the scene's light, has a lamp, and is marked for the merge."""
    job = job_of("glade", seed=4, params={"sight": sight}, **GLADE)
    painting = painter("glade").draw(job)
    assert painting.guard is not None
    lines, columns = np.nonzero(painting.guard)
    body = painter("glade").body(job.params, job)
    assert np.abs(away(np.median(columns), body.x, 512)) < 60
    assert lines.max() < 150
    low, high = inks_of(painting, "lamp")
    lamp = (painting.ink >= low) & (painting.ink <= high)
    assert (painting.ink == high).sum() >= 6
    assert (lamp & painting.guard).sum() > 30


def test_open_hills_are_paler_the_farther_they_stand() -> None:
    """Air takes what is far: low on the hills the air's ramp is lighter than near the bank's top,
    and the sky above is lighter than the nearest hills."""
    painting = paint("glade", params={"open": True, "sight": "none", "grove": 0.0}, **GLADE)
    low, high = inks_of(painting, "air")
    air = np.where((painting.ink >= low) & (painting.ink <= high), painting.ink, 0).astype(float)
    assert (painting.ink[:100] > 0).all()
    sky = air[20:50].mean()
    hills = air[104:118][air[104:118] > 0].mean()
    assert hills < sky
