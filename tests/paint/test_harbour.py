"""The harbour painter: boats, quays, lamps; each part by its own share."""

import numpy as np
import pytest
from built_checks import likeness, outline_of, ramp_pixels, same_outline
from painting_checks import LIGHT_RIGHT, count_tiles, paint, stray_share

from genbg.paint.craft.sheet import Tones
from genbg.paint.painters.harbour import RAMPS
from genbg.paint.painters.harbour.quays import GOODS, draw_goods
from genbg.paint.parts.vessels import draw_hull

SEEDS = range(1, 7)
BOATS = {"top": 24, "bottom": 152}
QUAY = {"top": 136, "bottom": 224}
ON_LAND = {"boats": 0.0, "quay": 32, "goods": 0.6, "lamps": 0.5, "pilings": 0.5}


@pytest.mark.parametrize("seed", SEEDS)
def test_moorings_are_clean_and_thrifty(seed):
    """Boats with all their ropes store few tiles."""
    painting = paint("harbour", seed=seed, **BOATS, params={"boats": 0.7})
    assert count_tiles(painting.ink, 24) <= 270
    assert stray_share(painting.ink) <= 0.005


@pytest.mark.parametrize("seed", SEEDS)
def test_a_quay_costs_few_tiles(seed):
    """Wall, goods, lamps and pilings stay below 90 tiles."""
    painting = paint("harbour", seed=seed, **QUAY, params=ON_LAND)
    assert count_tiles(painting.ink, 136) <= 90
    assert (painting.ink[-32:] > 0).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_no_boat_is_seen_twice_on_a_screen(seed):
    """No stretch of 64 pixels of the moorings' outline comes back within 320 pixels."""
    assert same_outline(paint("harbour", seed=seed, **BOATS)) == 0


def test_seeds_differ_in_shape():
    """However two moorings are shifted, their outlines differ where there is a boat."""
    moorings = [paint("harbour", seed=seed, **BOATS, params={"boats": 1.0}) for seed in SEEDS]
    for n, one in enumerate(moorings):
        for two in moorings[:n]:
            assert likeness(one, two) < 0.6


def test_masts_reach_as_high_as_asked():
    """Over seeds, the tallest mast rises with the share."""
    tops = [
        min(outline_of(paint("harbour", seed=s, **BOATS, params={"masts": m})).min() for s in SEEDS)
        for m in (0.5, 0.75, 1.0)
    ]
    assert tops[0] > tops[1] > tops[2]
    assert tops[2] <= 16


def test_rigging_grows_with_its_share():
    """No ropes at 0, shrouds above 0.1, stays above 0.3, rungs above 0.6."""
    ropes = [
        int(ramp_pixels(paint("harbour", **BOATS, params={"rigging": r}), "rope").sum())
        for r in (0.0, 0.2, 0.5, 0.9)
    ]
    assert ropes[0] == 0
    assert ropes == sorted(set(ropes))


def test_parts_come_and_go_with_their_keys():
    """Each share at 0 takes its part away."""
    bare = {"boats": 0.0, "quay": 32, "goods": 0.0, "lamps": 0.0}
    wall = paint("harbour", **QUAY, params=bare)
    assert not (wall.ink[:-40] > 0).any()
    assert not ramp_pixels(wall, "hull", "lamp", "sail").any()
    assert ramp_pixels(paint("harbour", **QUAY, params=bare | {"lamps": 0.8}), "lamp").any()
    glow = paint("harbour", **QUAY, params=bare | {"lamps": 0.8, "halo": 20})
    assert ramp_pixels(glow, "glow").any()
    assert ramp_pixels(paint("harbour", **QUAY, params=bare | {"pilings": 0.5}), "hull").any()
    assert ramp_pixels(paint("harbour", **QUAY, params=bare | {"goods": 1.0}), "hull").any()
    crane = paint("harbour", top=64, bottom=224, params=bare | {"cranes": 0.6})
    assert outline_of(crane).min() < 160 - 32 - 5 * 8


def test_a_ship_has_lit_portholes_and_a_dark_foot():
    """Its side is level strakes with lamps behind round panes; what is wet has the darkest tone."""
    keys = {"boats": 0.0, "quay": 56, "goods": 0.0, "lamps": 0.0, "wall": "ship"}
    painting = paint("harbour", **QUAY, params=keys)
    lamp = ramp_pixels(painting, "lamp")
    assert lamp.any()
    assert (painting.guard == lamp).all()
    assert len(np.unique(painting.ink[-16:])) == 1
    assert painting.ink[-16:].max() == painting.ink[painting.ink > 0].min()
    assert count_tiles(painting.ink, 136) < 30


def test_lamps_cast_pools_on_the_edge():
    """Light lies on the first lines of the wall, as far as asked, and is brighter in the middle."""
    keys = ON_LAND | {"goods": 0.0, "pilings": 0.0, "lamps": 0.1}
    dark = paint("harbour", **QUAY, params=keys)
    for reach in (16, 48):
        lit = paint("harbour", **QUAY, params=keys | {"pool": reach})
        glow, lamp = ramp_pixels(lit, "glow"), ramp_pixels(lit, "lamp")
        edge = np.flatnonzero((glow | lamp).sum(axis=1) > 16)
        assert 1 <= len(edge) <= 4
        assert edge[0] == 56
        line = (glow | lamp)[edge[0]]
        starts = np.flatnonzero(line & ~np.roll(line, 1))
        assert line.sum() == 2 * reach * len(starts)
        assert 0 < lamp[edge[0]].sum() < line.sum()
        rest = np.delete(np.arange(len(lit.ink)), edge)
        shapes = [(one.ink > 0)[rest] for one in (dark, lit)]
        assert np.array_equal(*shapes)


def test_pilings_without_a_quay_are_as_high_as_the_layer():
    """Posts in open water reach from the last line nearly to the first."""
    keys = {"boats": 0.0, "pilings": 0.5}
    for lines in (24, 48):
        tops = outline_of(paint("harbour", top=176 - lines, bottom=176, params=keys))
        assert tops.min() <= 16
        assert (tops < lines).any()


def test_lamps_are_guarded():
    """Merging keeps lamps and lit panes."""
    painting = paint("harbour", **QUAY, params=ON_LAND)
    assert (painting.guard == ramp_pixels(painting, "lamp")).all()
    assert painting.guard.any()


def test_light_falls_from_its_side():
    """Crates and barrels are brighter toward the light."""
    alone = {"boats": 0.0, "quay": 16, "goods": 1.0, "lamps": 0.0}
    for light, side in (((-0.6, 0.7), 1), (LIGHT_RIGHT, -1)):
        painting = paint("harbour", **QUAY, light=light, params=alone)
        wood = ramp_pixels(painting, "hull")
        start = wood & (np.roll(painting.ink, side, axis=1) == 0)
        end = wood & (np.roll(painting.ink, -side, axis=1) == 0)
        assert painting.ink[start].mean() > painting.ink[end].mean() + 0.5


@pytest.mark.parametrize("columns", [5, 8, 12, 16])
def test_a_hull_floats_level_with_its_bow_raised(columns):
    """The keel is flat, the gunwale has one piece and is highest at the bow, then at the stern."""
    tones = Tones(RAMPS, {ramp.name: ramp.steps for ramp in RAMPS})
    hull = draw_hull(tones, columns, 2, True) > 0
    top = np.where(hull.any(axis=0), hull.argmax(axis=0), 99)
    there = top < 99
    assert np.abs(np.diff(top[there])).max() <= 2
    assert top[there][0] < top[there][-1] < top[columns * 4]
    assert hull[-1].sum() >= columns * 8 * 0.6


def test_all_goods_are_drawn():
    """Every kind is a piece of its own that stands on its last line."""
    tones = Tones(RAMPS, {ramp.name: ramp.steps for ramp in RAMPS})
    pieces = [draw_goods(tones, kind) for kind in range(GOODS)]
    assert len({piece.tobytes() for piece in pieces}) == GOODS
    assert all(piece[-1].any() for piece in pieces)


@pytest.mark.parametrize("lines", [8, 24, 40])
def test_a_layer_of_few_lines(lines):
    """Where there is hardly room, things are cut off and nothing fails."""
    for quay in (0, 16, 128):
        keys = {"quay": quay, "cranes": 0.5, "pilings": 0.5, "lamps": 1.0, "halo": 24}
        assert paint("harbour", top=101, bottom=101 + lines, params=keys).ink.any()


def test_a_quay_larger_than_its_layer():
    """One line of a layer holds what there is room for of a wall of 117 lines and its pool."""
    painting = paint("harbour", top=114, bottom=115, params={"quay": 117, "pool": 64})
    assert painting.ink.shape == (1, 512)
