"""Inks: what an ink shows below a line, in a mirror and in every phase of a cycle."""

from __future__ import annotations

import numpy as np
from plain_scene import Below, Scene

from genbg.colour import decode_srgb, screen_table, snap_oklab, snap_srgb, srgb_to_oklab
from genbg.model import Painting, RampUse
from genbg.paint.colour.inks import InkRequest
from genbg.paint.colour.views import Turn, ink_columns, resolve_inks
from genbg.paint.contract import Ramp

ROCK = Ramp("rock", "", ("#240000", "#924924", "#ffdb92"), 3)
LAMP = Ramp("lamp", "", ("#ff9200", "#ffff92"), 2, lit=True)
SCENE = Scene(backdrop="#4992db")
PLAIN = [(0, 8, ((),))]


def request(name: str = "hill", distance: float | None = None) -> InkRequest:
    """A painting of 8 rows, in each row every ink."""
    ink = np.tile(np.arange(6, dtype=np.uint16), (8, 1))
    uses = tuple(RampUse(ramp.name, ramp.steps) for ramp in (ROCK, LAMP))
    return InkRequest(name, Painting(ink, uses), (ROCK, LAMP), {}, distance)


def inks_of(runs, below=None, behind=(((),),), turns=(), moods=None, distance=None):
    return resolve_inks(
        [request(distance=distance)], [runs], SCENE, moods or {}, below or {}, behind, turns
    )


def rgb(numbers) -> list[list[int]]:
    return screen_table()[np.asarray(numbers)].tolist()


def test_a_tint_below_a_line_multiplies_linear_light():
    """Half of the way to blue takes half of red and green away, lamps and backdrop included.

    The colours are worked out here from IEC 61966-2-1 alone and snapped.
    """
    runs = [(0, 4, ((),)), (4, 8, ((0,),))]
    below = {0: Below("#0000ff", 0.5)}
    inks, (picture,) = inks_of(runs, below, behind=(((),), ((0,),)))
    assert not set(picture[0, [3, 5]].tolist()) & set(picture[5, [3, 5]].tolist())
    dims = np.array([0.5, 0.5, 1.0])
    for top, bottom in zip(picture[0, [3, 5]], picture[5, [3, 5]], strict=True):
        linear = decode_srgb(np.array(rgb(inks.colours[0, 0, top])) / 255) * dims
        assert inks.colours[0, 0, bottom] == nearest(linear)
    behind = inks.colours[0, 0, inks.behind[1]]
    sky = decode_srgb(np.array([0x49, 0x92, 0xDB]) / 255) * dims
    assert behind == nearest(sky)


def nearest(linear: np.ndarray) -> int:
    """Of the 512 colours the nearest in OKLab to linear light, found by going through sRGB."""
    curve = np.where(
        linear <= 0.0031308, linear * 12.92, 1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055
    )
    fine = np.rint(curve * 255).astype(int)
    return int(snap_oklab(srgb_to_oklab(fine)))


def test_colours_below_a_line_are_taken_as_given():
    """Ramps by name: as they are at home, tinted in moods, and by mood where a mood is named."""
    night = Below("#000000", 1.0)
    below = {
        0: Below(
            colours={"hill": {"rock": ("#000024", "#002449", "#00496d")}},
            moods={"dusk": {"hill": {"rock": ("#240000", "#490000", "#6d0000")}}},
        )
    }
    moods = {"night": night, "dusk": Below()}
    inks, (picture,) = inks_of([(0, 8, ((0,),))], below, moods=moods)
    rock = picture[0, 1:4]
    assert rgb(inks.colours[0, inks.row(0, "home"), rock])[2] == [0, 0x49, 0x6D]
    assert rgb(inks.colours[0, inks.row(0, "night"), rock])[2] == [0, 0, 0]
    assert rgb(inks.colours[0, inks.row(0, "dusk"), rock])[2] == [0x6D, 0, 0]


def test_what_lies_deeper_dims_what_is_given_above_it():
    """In the view of a split and then a mirror, the mirror tints the split's own colours."""
    below = {
        0: Below(colours={"hill": {"rock": ("#ffffff", "#ffffff", "#ffffff")}}),
        -1: Below("#ff0000", 1.0),
    }
    inks, (picture,) = inks_of([(0, 8, ((0, -1),))], below)
    assert rgb(inks.colours[0, 0, picture[0, 1:4]]) == [[255, 0, 0]] * 3


def test_haze_below_a_line_is_its_own():
    """Far layers go toward the haze of the view that they are seen in."""
    below = {0: Below(haze="#000000")}
    runs = [(0, 4, ((),)), (4, 8, ((0,),))]
    inks, (picture,) = inks_of(runs, below, distance=100.0)
    assert rgb(inks.colours[0, 0, picture[0, 1:4]]) == [[255] * 3] * 3
    assert rgb(inks.colours[0, 0, picture[5, 1:4]]) == [[0] * 3] * 3


def test_inks_of_a_mirror_have_a_colour_in_each_view():
    """Two views give each ink two colours in one column."""
    below = {-1: Below("#0000ff", 1.0)}
    behind = (((), (-1,)),)
    inks, (picture,) = inks_of([(0, 8, ((), (-1,)))], below, behind)
    assert inks.views == 2
    assert inks.colours.shape == (1, 2, 6)
    both = rgb(inks.colours[0, :, picture[0, 3]])
    assert both[0] == [0xFF, 0xDB, 0x92]
    assert both[1][:2] == [0, 0]
    assert inks.for_fit().moods == ("home", "home/1")


def test_a_cycle_turns_the_colours_of_its_inks():
    """In phase p ink i shows the colour of ink i - p, round and round; others stay."""
    inks, (picture,) = inks_of(PLAIN, turns=[Turn(0, 1, 3)])
    assert inks.phases == ((0, 1, 2),)
    local = picture[0, 1:6]
    start = inks.at([0])[0][local].tolist()
    for phase in range(3):
        shown = inks.at([phase])[0][local].tolist()
        assert shown[:3] == [start[(i - phase) % 3] for i in range(3)]
        assert shown[3:] == start[3:]
    assert inks.moved(inks.phases[0]).nonzero()[0].tolist() == sorted(local[:3].tolist())


def test_two_cycles_turn_apart():
    """Each cycle is in a phase of its own."""
    inks, (picture,) = inks_of(PLAIN, turns=[Turn(0, 1, 3), Turn(0, 4, 5)])
    local = picture[0, 1:6]
    start = inks.at([0, 0])[0][local].tolist()
    shown = inks.at([1, 1])[0][local].tolist()
    assert shown == [start[2], start[0], start[1], start[4], start[3]]


def test_equal_colours_stay_apart_where_one_of_them_turns():
    """Two layers of equal ramps share inks until a cycle moves those of one."""
    pair = [request("hill"), request("dale")]
    args = ([PLAIN, PLAIN], SCENE, {}, {}, (((),),))
    _, (hill, dale) = resolve_inks(pair, *args)
    assert np.array_equal(hill, dale)
    inks, (hill, dale) = resolve_inks(pair, *args, [Turn(1, 1, 3)])
    assert not set(hill[0, 1:4].tolist()) & set(dale[0, 1:4].tolist())
    assert np.array_equal(hill[0, 4:], dale[0, 4:])
    assert len(inks.for_fit().colours) == 3, "one row at home and one for each further phase"


def test_an_ink_of_the_backdrop_colour_is_not_see_through():
    """0 is see-through; what merely looks like the backdrop keeps a number of its own."""
    behind = Scene(backdrop="#240000")
    inks, (picture,) = resolve_inks([request()], [PLAIN], behind, {}, {}, (((),),))
    assert (picture[:, 1:] > 0).all()
    assert (picture[:, 0] == 0).all()
    assert inks.colours[0, 0, picture[0, 1]] == inks.colours[0, 0, 0]
    assert snap_srgb(np.array([0x24, 0, 0])) == inks.colours[0, 0, 0]


def test_a_layer_without_inks_has_no_columns():
    """Two turns, two views of three moods, a layer that paints nothing."""
    assert ink_columns(np.zeros((2, 4, 3, 0), np.uint16), [0, 2]).shape == (2, 6, 0)
