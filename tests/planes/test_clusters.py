"""Clusters: what no sprite can share is taken apart, and only that."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.planes.clusters import cut_column, find_clusters, label_regions, spread


def layer(*pixels, height=64, width=256):
    ink = np.zeros((height, width), dtype=np.uint16)
    for number, (y, x) in enumerate(pixels, start=1):
        ink[y, x] = number
    return ink


def test_pixels_31_apart_share_a_cluster():
    """31 columns apart both fit a sprite of 32; 33 apart they do not."""
    assert len(find_clusters(layer((5, 10), (5, 41)))) == 1
    assert len(find_clusters(layer((5, 10), (5, 43)))) == 2
    assert len(find_clusters(layer((5, 10), (36, 10)))) == 1
    assert len(find_clusters(layer((5, 10), (38, 10)))) == 2


def test_smaller_sprites_take_more_apart():
    """With sprites of 8 pixels, 9 columns are too far."""
    assert len(find_clusters(layer((5, 10), (5, 17)), 8)) == 1
    assert len(find_clusters(layer((5, 10), (5, 19)), 8)) == 2


def test_a_cluster_reaches_over_the_edge():
    """Columns 250 and 5 of 256 are 11 apart: one cluster, which begins at column 250."""
    (cluster,) = find_clusters(layer((5, 250), (9, 5)))
    assert (cluster.top, cluster.left, cluster.ink.shape) == (5, 250, (5, 12))
    assert cluster.ink[0, 0] == 1
    assert cluster.ink[4, 11] == 2


def test_clusters_come_from_the_top_and_hold_their_pixels():
    """Each pixel is in one cluster, at its place, with its ink."""
    dice = np.random.Generator(np.random.PCG64(2))
    ink = np.where(dice.random((200, 512)) < 0.0006, dice.integers(1, 9, (200, 512)), 0)
    whole = np.zeros_like(ink)
    clusters = find_clusters(ink.astype(np.uint16))
    for cluster in clusters:
        height, width = cluster.ink.shape
        columns = (cluster.left + np.arange(width)) % 512
        whole[cluster.top : cluster.top + height, columns] += cluster.ink
    assert (whole == ink).all()
    assert len(clusters) > 5
    places = [(cluster.top, cluster.left) for cluster in clusters]
    assert places == sorted(places)


def test_what_goes_round_is_cut_where_it_is_thinnest():
    """A rope round the whole width, thick but for one column, is cut there."""
    ink = np.ones((4, 256), dtype=np.uint16)
    ink[1:, 77] = 0
    (cluster,) = find_clusters(ink)
    assert (cluster.left, cluster.ink.shape) == (77, (4, 256))


@pytest.mark.parametrize(
    ("used", "cut"), [([0, 3, 0, 0, 2, 0], 1), ([0, 3, 0, 0, 0, 2], 5), ([0, 0, 1, 0], 2)]
)
def test_the_widest_gap_is_the_cut(used, cut):
    """After the widest run of empty columns, round the edge; of two as wide, the first met."""
    assert cut_column(np.array([used], dtype=int)) == cut


def test_nothing_has_no_cluster():
    """An empty layer gives none."""
    assert find_clusters(layer()) == []


def test_regions_against_a_flood():
    """Regions are those of scipy's labelling, with the edges joined by hand."""
    ndimage = pytest.importorskip("scipy.ndimage")
    dice = np.random.Generator(np.random.PCG64(3))
    for _ in range(20):
        mask = dice.random((9, 14)) < 0.5
        label = label_regions(mask)
        wide, _ = ndimage.label(np.concatenate([mask, mask, mask], axis=1))
        for line in range(9):
            for column in range(14):
                same = label == label[line, column]
                if not mask[line, column]:
                    assert label[line, column] == 0
                    continue
                three = np.isin(wide, np.unique(wide[line, column::14]))
                for _ in range(4):  # a region may wind round more than once
                    seen = three.reshape(9, 3, 14).any(axis=1)
                    three = np.isin(wide, np.unique(wide[np.tile(seen, 3)]))
                    three &= wide > 0
                assert (three.reshape(9, 3, 14).any(axis=1) == same).all()


def test_spread_grows_right_and_down():
    """One pixel becomes a square, round the right edge and below."""
    mask = np.zeros((3, 10), dtype=bool)
    mask[2, 8] = True
    grown = spread(mask, 5)
    assert grown.shape == (7, 10)
    assert np.argwhere(grown).tolist() == [[y, x] for y in range(2, 7) for x in (0, 1, 2, 8, 9)]
