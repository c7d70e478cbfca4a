"""Scores: each part counts what it says."""

from __future__ import annotations

import dataclasses

import pytest
from conftest import TEXT

from genbg.batch.judge import PARTS, judge
from genbg.pipeline import build
from genbg.reading import parse_preset


@pytest.fixture(scope="module")
def backdrop():
    return build(parse_preset(TEXT + '[mood.night]\ntint = "#4949db"\namount = 0.8\n'))


def with_moved(backdrop, **shares: float):
    """The same backdrop, some of whose moods moved so large a share of the pixels."""
    asked = {
        mood: dataclasses.replace(one, pixels=shares.get(mood, one.pixels))
        for mood, one in backdrop.proof.asked.items()
    }
    proof = dataclasses.replace(backdrop.proof, asked=asked)
    return dataclasses.replace(backdrop, proof=proof)


def test_the_score_is_the_mean_of_its_parts(backdrop) -> None:
    """Each part lies in 0..1, and they weigh alike."""
    found = judge(backdrop)
    assert all(0.0 <= found[name] <= 1.0 for name in PARTS)
    assert found["score"] == pytest.approx(sum(found[name] for name in PARTS) / len(PARTS))


@pytest.mark.parametrize(
    ("home", "night", "part"), [(0.0, 0.0, 1.0), (0.01, 0.05, 0.5), (0.08, 0.02, 0.2), (0, 0.3, 0)]
)
def test_the_worst_mood_counts(backdrop, home: float, night: float, part: float) -> None:
    """A variant that is true at home only loses what its worst mood loses."""
    assert judge(with_moved(backdrop, home=home, night=night))["moods"] == pytest.approx(part)
