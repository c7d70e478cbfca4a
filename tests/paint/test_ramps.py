"""Ramps: even steps on the 512 colours."""

from __future__ import annotations

import functools
import itertools

import numpy as np
import pytest

from genbg.colour import LINEAR_LEVELS, lab_steps, oklab_table, snap_oklab, srgb_to_oklab
from genbg.paint.colour import ramps
from genbg.paint.colour.ramps import choose_ramps, spread_anchors, unevenness

LEVELS = LINEAR_LEVELS


def lab(*colours: str) -> np.ndarray:
    return srgb_to_oklab(np.array([[int(c[i : i + 2], 16) for i in (1, 3, 5)] for c in colours]))


def test_spread_points_are_even_and_on_the_line():
    """Points lie the same distance apart along the anchors, and the ends are the end anchors."""
    anchors = np.array([[0.0, 0.0, 0.0], [0.3, 0.0, 0.0], [0.3, 0.1, 0.0]])
    points = spread_anchors(anchors, 5)
    by_hand = [[0, 0, 0], [0.1, 0, 0], [0.2, 0, 0], [0.3, 0, 0], [0.3, 0.1, 0]]
    assert points == pytest.approx(np.array(by_hand), abs=1e-12)
    assert spread_anchors(anchors, 1) == pytest.approx(np.array([[0.2, 0, 0]]))
    assert spread_anchors(anchors[:1], 3) == pytest.approx(np.zeros((3, 3)))


def hue_weight(point: np.ndarray) -> float:
    grey = point[1] ** 2 + point[2] ** 2 < ramps.GREY**2
    return 2 * ramps.HUE if grey else ramps.HUE


def row_cost(ideal: np.ndarray, row: list[int]) -> float:
    """The stated cost of one row, added up plainly."""
    target = np.rint(ideal * 1024)
    table = lab_steps(LEVELS).astype(float)
    off = table[row] - target
    hue = np.array([hue_weight(point) for point in target])
    cost = float((off[:, 0] ** 2 + hue * (off[:, 1] ** 2 + off[:, 2] ** 2)).sum())
    for k in range(1, len(row)):
        want, move = target[k] - target[k - 1], table[row[k]] - table[row[k - 1]]
        length = np.rint(np.sqrt(want @ want))
        ahead = np.rint(move @ want / max(length, 1.0))
        cost += ramps.UNEVEN * (np.rint(np.sqrt(move @ move)) - length) ** 2
        cost += ramps.SIDEWAYS * max(move @ move - ahead**2, 0.0)
        fall = min(move[0] * np.sign(want[0]) - abs(want[0]) // 4, 0.0)
        cost += ramps.BACKWARD * (min(ahead, 0.0) ** 2 + 3 * fall**2)
        cost += ramps.TWIN * length**2 * (not move.any())
    return cost


@pytest.mark.parametrize(
    "ends", [("#24246d", "#b6b6db"), ("#002400", "#dbff6d"), ("#101010", "#f0e8f0")]
)
def test_the_row_is_the_best_of_all(ends, monkeypatch):
    """No other row of the same candidates costs less: brute force over four candidates an ink."""
    monkeypatch.setattr(ramps, "CANDIDATES", 4)
    ideal = spread_anchors(lab(*ends), 5)
    table = lab_steps(LEVELS).astype(float)
    near = []
    for point in np.rint(ideal * 1024):
        off = table - point
        far = off[:, 0] ** 2 + hue_weight(point) * (off[:, 1] ** 2 + off[:, 2] ** 2)
        near.append(np.argsort(far, kind="stable")[:4].tolist())
    best = min(row_cost(ideal, list(row)) for row in itertools.product(*near))
    assert row_cost(ideal, choose_ramps([ideal], LEVELS)[0].tolist()) == pytest.approx(best)


@functools.cache
def many_ramps() -> list[np.ndarray]:
    """120 ramps between colours that differ in lightness, as painters ask for them."""
    rng = np.random.Generator(np.random.PCG64(11))
    found = []
    while len(found) < 120:
        a, b = srgb_to_oklab(rng.integers(0, 256, (2, 3)))
        if abs(a[0] - b[0]) > 0.35:
            found.append(spread_anchors(np.stack([a, b]), int(rng.integers(3, 7))))
    return found


@functools.cache
def many_rows() -> list[np.ndarray]:
    return choose_ramps(many_ramps(), LEVELS)


def test_ramps_are_more_even_than_the_nearest_colours():
    """Largest step over mean step: closer to 1 than snapping each ink by itself, and small."""
    ideals = many_ramps()
    chosen = [unevenness(row, LEVELS) for row in many_rows()]
    snapped = [unevenness(snap_oklab(ideal, LEVELS), LEVELS) for ideal in ideals]
    assert np.median(chosen) < np.median(snapped) - 0.03
    assert np.percentile(chosen, 95) < 1.6


def test_no_two_neighbours_are_alike_where_anchors_differ():
    """Lightness goes one way and no colour comes twice, where the ramp's steps are wide enough."""
    for ideal, row in zip(many_ramps(), many_rows(), strict=True):
        step = np.sqrt(((ideal[1] - ideal[0]) ** 2).sum())
        light = oklab_table(LEVELS)[row, 0]
        if step > 0.08:
            assert len(set(row.tolist())) == len(row)
            assert (np.sign(np.diff(light)) == np.sign(ideal[-1, 0] - ideal[0, 0])).all()


def test_inks_stay_near_what_was_asked():
    """No ink is farther from its ideal than twice the grid's own largest snapping error."""
    for ideal, row in zip(many_ramps(), many_rows(), strict=True):
        far = np.sqrt(((oklab_table(LEVELS)[row] - ideal) ** 2).sum(axis=1))
        near = np.sqrt(((oklab_table(LEVELS)[None] - ideal[:, None]) ** 2).sum(axis=2)).min(axis=1)
        assert (far <= 2 * near.max() + 0.05).all()


def test_ramps_chosen_together_are_those_chosen_alone():
    """Batching changes nothing."""
    for ideal, row in zip(many_ramps()[:30], many_rows(), strict=False):
        assert np.array_equal(choose_ramps([ideal], LEVELS)[0], row)


def test_unevenness_of_a_known_row():
    """Steps of 1 and 3 have a mean of 2, so the largest is 1.5 of it."""
    table = lab_steps(LEVELS).astype(float)
    row = [0, 73, 511]
    steps = [np.linalg.norm(table[b] - table[a]) for a, b in itertools.pairwise(row)]
    assert unevenness(row, LEVELS) == pytest.approx(max(steps) / np.mean(steps))
    assert unevenness([5, 5], LEVELS) == 1.0
