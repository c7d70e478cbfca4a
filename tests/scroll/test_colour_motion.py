"""Cycles and fades in time: order, periods, holds, and scripts that play back to what they tell."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.errors import LimitError
from genbg.scroll.colour_motion import (
    MOST_FRAMES,
    Cycle,
    Fade,
    fade_stages,
    period_of,
    states,
    write_script,
)


@pytest.mark.parametrize(
    ("direction", "phases"),
    [
        ("forward", [0, 0, 1, 1, 2, 2, 3, 3, 0, 0]),
        ("backward", [0, 0, 3, 3, 2, 2, 1, 1, 0, 0]),
        ("swing", [0, 0, 1, 1, 2, 2, 3, 3, 2, 2, 1, 1, 0, 0]),
    ],
)
def test_phases_follow_one_another(direction, phases):
    """Two frames each, in the order that the direction says, and then from the start."""
    cycle = Cycle(4, 2, direction)
    assert [cycle.phase(frame) for frame in range(len(phases))] == phases
    assert cycle.period == len(phases) - 2


def test_a_cycle_of_two():
    """Two inks change places, whatever the direction."""
    for direction in ("forward", "backward", "swing"):
        cycle = Cycle(2, 1, direction)
        assert [cycle.phase(frame) for frame in range(4)] == [0, 1, 0, 1]


def test_a_fade_holds_goes_holds_and_comes_back():
    """Hand-worked: 4 frames each way, both ends held for 3."""
    fade = Fade(4, 3)
    assert [fade.place(frame) for frame in range(16)] == [
        *(0, 0, 0, 0, 1, 2, 3, 4, 4, 4, 4, 3, 2, 1, 0, 0)
    ]
    assert fade.period == 14


def test_a_fade_without_hold():
    """There and back, without a pause."""
    assert [Fade(2, 0).place(frame) for frame in range(6)] == [0, 1, 2, 1, 0, 1]


def test_periods_are_common_to_all():
    """The least common multiple; past the limit an error says what to do."""
    assert period_of([], None) == 1
    assert period_of([Cycle(3, 4, "forward"), Cycle(4, 2, "swing")], None) == 12
    assert period_of([Cycle(3, 4, "forward")], Fade(20, 10)) == 60
    assert period_of([Cycle(2, MOST_FRAMES // 2, "forward")], None) == MOST_FRAMES
    with pytest.raises(LimitError, match=r"more divisors in common"):
        period_of([Cycle(7, 11, "forward"), Cycle(5, 13, "forward")], Fade(17, 0))


def test_faded_colours_stand_on_their_paths():
    """At the start the first, at the end the last, between them evenly along the path."""
    path = {(5, 9): (5, 6, 9), (7, 7): (7,)}
    here, there = np.array([[5, 7], [7, 5]]), np.array([[9, 7], [7, 9]])
    shown = fade_stages(here, there, 8, path)
    assert shown[:, 0, 0].tolist() == [5, 5, 6, 6, 6, 6, 9, 9, 9]
    assert shown[4].tolist() == [[6, 7], [7, 6]]


def play(script: list[int], start: list[int]) -> list[list[int]]:
    """States of one period and the first of the next, as the format is described."""
    period, at, changes = script[0], 1, {}
    while at < len(script):
        frame, count = script[at], script[at + 1]
        changes[frame] = script[at + 2 : at + 2 + 2 * count]
        at += 2 + 2 * count
    state, rows = list(start), [list(start)]
    for frame in range(1, period + 1):
        pairs = changes.get(frame % period, [])
        for target, word in zip(pairs[::2], pairs[1::2], strict=True):
            state[target] = word
        rows.append(list(state))
    return rows


def test_a_script_plays_back_to_its_states():
    """Random states, told as changes and played again, come back to the first."""
    rng = np.random.Generator(np.random.PCG64(3))
    rows = rng.integers(0, 3, (20, 70)).astype(np.uint16)
    rows[5] = rows[4]
    script = write_script(rows)
    assert play(script.tolist(), rows[0].tolist()) == [*rows.tolist(), rows[0].tolist()]


def test_a_script_in_words():
    """Hand-worked: three frames; entry 2 changes in frame 1 and back at the end of the period."""
    rows = np.array([[0, 0, 8], [0, 0, 14], [0, 0, 14]], dtype=np.uint16)
    assert write_script(rows).tolist() == [3, 0, 1, 2, 8, 1, 1, 2, 14]


def test_states_ask_once_for_what_repeats():
    """Each pair of phases and place is asked once, and every frame gets its own."""
    asked = []

    def show(phases, place):
        asked.append((phases, place))
        return np.array([*phases, place])

    rows = states(12, [Cycle(3, 2, "forward")], Fade(4, 2), show)
    assert len(asked) == len(set(asked))
    fade, cycle = Fade(4, 2), Cycle(3, 2, "forward")
    assert rows.tolist() == [[cycle.phase(n), fade.place(n)] for n in range(12)]
