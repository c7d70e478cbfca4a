"""Boulders are hulls of planes whose faces are broken into chips."""

import numpy as np

from genbg.paint.craft.boulders import CHIPS, TILT, draw_boulder
from genbg.paint.craft.dice import Dice


def test_normals_have_length_one():
    """What Lambert's cosine law (Photometria, 1760) asks of them."""
    normal = draw_boulder(Dice(5), 40, 28).normal
    long = np.sqrt((normal * normal).sum(axis=-1))
    assert np.abs(long - 1.0).max() < 1e-9


def test_a_face_is_broken_into_chips_that_lean_off_it():
    rock = draw_boulder(Dice(5), 60, 44)
    face = rock.facet // CHIPS
    most = np.bincount(face[rock.solid]).argmax()
    chips = np.unique(rock.facet[rock.solid & (face == most)])
    leans = [rock.normal[rock.solid & (rock.facet == chip)][0] for chip in chips]
    assert len(chips) >= 2
    widest = min(float(a @ b) for a in leans for b in leans)
    assert widest < 0.999
    # leaning by a vector of length r turns a normal by asin(r) at most: cos(2 asin r) = 1 - 2 r r
    lean = TILT * np.sqrt(3.0)
    assert widest >= 1.0 - 2.0 * lean * lean


def test_one_chip_has_one_normal():
    rock = draw_boulder(Dice(9), 50, 34)
    for facet in np.unique(rock.facet[rock.solid]):
        found = rock.normal[rock.solid & (rock.facet == facet)]
        assert (found == found[0]).all()
