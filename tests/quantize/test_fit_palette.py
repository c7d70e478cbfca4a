"""The palette fit as a whole: what it shows, pixel by pixel, and what it promises."""

import itertools

import numpy as np
import pytest
from sklearn.cluster import KMeans

from genbg.colour import LINEAR_LEVELS, lab_steps, oklab_table
from genbg.errors import LimitError
from genbg.measure import count_tiles
from genbg.model import InkColours, PlanePicture
from genbg.quantize.align import align_zones, tied_zones
from genbg.quantize.cells import contour_pixels
from genbg.quantize.fit import fit_palette
from genbg.quantize.rows import Fit
from genbg.quantize.share import distinct_cells, mix_cells, mix_flipped, share_rows


def plane(ink, guard=None, priority=None):
    ink = np.asarray(ink, np.uint16)
    cells = ink.shape[0] // 8, ink.shape[1] // 8
    guard = np.zeros(ink.shape, bool) if guard is None else guard
    return PlanePicture(ink, guard, np.zeros(cells, bool) if priority is None else priority)


def empty_like(picture):
    return plane(np.zeros(picture.ink.shape))


def home_inks(numbers, backdrop=0):
    return InkColours(("home",), np.array([[backdrop, *numbers]], np.uint16))


def random_plane(seed, kinds, size=(64, 128), each=6, holes=0.2):
    """Cells of a few inks each, see-through here and there."""
    rng = np.random.default_rng(seed)
    ink = np.zeros(size, int)
    for y, x in itertools.product(range(0, size[0], 8), range(0, size[1], 8)):
        some = rng.choice(np.arange(1, kinds + 1), min(each, kinds), replace=False)
        ink[y : y + 8, x : x + 8] = rng.choice(some, (8, 8))
    return plane(np.where(rng.random(size) < holes, 0, ink))


def shown(fitted, tops=(0,)):
    """The ink that the machine would show at every pixel, (2, H, W); tops: first line of zones."""
    row = fitted.row.repeat(8, axis=1).repeat(8, axis=2)
    zone = np.searchsorted(tops, np.arange(row.shape[1]), side="right") - 1
    return fitted.palette[zone[:, None], row, fitted.index]


def error_of(fitted, front, back, inks):
    """Mean squared OKLab distance a pixel, by plain float arithmetic on the shown inks."""
    lab = oklab_table()[inks.colours[0]]
    painted = np.stack([front.ink, back.ink])
    return ((lab[shown(fitted)] - lab[painted]) ** 2).sum(axis=-1).mean()


@pytest.mark.parametrize("seed", range(4))
def test_an_exact_fit_shows_what_was_painted(seed):
    """Where the sets can be packed, every pixel of both planes shows its own ink."""
    front = random_plane(seed, 15, each=9)
    back = plane(np.where(front.ink, front.ink + 15, 0))
    inks = home_inks(range(20, 50))
    fitted = fit_palette(front, back, inks, LINEAR_LEVELS)
    assert fitted.exact
    assert fitted.mse == 0
    assert (shown(fitted) == np.stack([front.ink, back.ink])).all()


@pytest.mark.parametrize("seed", range(3))
def test_a_lossy_fit_reports_its_error_and_keeps_its_shape(seed):
    """Where they can't, the stated error is the error shown, and see-through stays see-through."""
    front, back = random_plane(seed, 90), random_plane(seed + 50, 90)
    inks = home_inks(np.random.default_rng(seed).choice(512, 90, replace=False), backdrop=5)
    fitted = fit_palette(front, back, inks, LINEAR_LEVELS)
    assert not fitted.exact
    assert fitted.mse == pytest.approx(error_of(fitted, front, back, inks), rel=2e-2)
    assert ((fitted.index == 0) == (np.stack([front.ink, back.ink]) == 0)).all()
    assert fitted.palette.shape == (1, 4, 16)
    assert not fitted.palette[..., 0].any()
    assert fitted.index.max() <= 15
    assert fitted.row.max() <= 3
    for row in fitted.palette[0]:
        held = row[row > 0]
        assert len(set(held.tolist())) == len(held)


def test_every_cell_takes_its_best_row_and_every_pixel_its_best_entry():
    """No cell would show less error under another row, no pixel under another entry.

    Pixels on contours weigh more in the choice of a row, so the dots here make no contour: all
    four neighbours within a cell differ.
    """
    rng = np.random.default_rng(1)
    dots = (np.arange(8)[None] + 2 * np.arange(8)[:, None]) % 5
    tiles = [
        [rng.choice(np.arange(1, 81), 5, replace=False)[dots] for _ in range(16)]
        for _ in "12345678"
    ]
    front = plane(np.block(tiles))
    back = plane(np.block(tiles[::-1])[:, ::-1])
    inks = home_inks(np.random.default_rng(0).choice(np.arange(1, 512), 80, replace=False))
    assert not contour_pixels(front.ink[None].astype(int), lab_steps()[inks.colours[0]]).any()
    fitted = fit_palette(front, back, inks, LINEAR_LEVELS)
    lab = lab_steps()[inks.colours[0]].astype(int)
    for p, picture in enumerate((front, back)):
        for r, c in itertools.product(range(8), range(16)):
            cell = picture.ink[8 * r : 8 * r + 8, 8 * c : 8 * c + 8]
            want = lab[cell[cell > 0]]
            error = []
            for row in fitted.palette[0]:
                gap = ((want[:, None] - lab[row[row > 0]][None]) ** 2).sum(axis=2)
                error.append(int(gap.min(axis=1).sum()))
            got = lab[shown(fitted)[p, 8 * r : 8 * r + 8, 8 * c : 8 * c + 8][cell > 0]]
            assert ((got - want) ** 2).sum() == error[fitted.row[p, r, c]]
            assert error[fitted.row[p, r, c]] == min(error)


def test_the_joint_fit_beats_choosing_colours_first():
    """Against k-means colours and then k-means rows, the joint fit leaves a third less error.

    The other way is what general tools give (scikit-learn): 60 colours for the whole picture, cells
    grouped by the colours they show, each group's 15 commonest colours as its row.
    """
    rng = np.random.default_rng(3)
    y, x = np.mgrid[0:128, 0:256]
    level = np.stack([x * 8 // 256, y * 8 // 128, (x + y) // 16 % 8]) + rng.integers(
        0, 2, (3, 128, 256)
    )
    level = np.clip(level, 0, 7)
    number = level[2] << 6 | level[1] << 3 | level[0]
    used, ink = np.unique(number, return_inverse=True)
    front, inks = plane(ink.reshape(128, 256) + 1), home_inks(used)
    fitted = fit_palette(front, empty_like(front), inks, LINEAR_LEVELS)

    lab = oklab_table()[used]
    share = np.bincount(ink.ravel())
    colours = KMeans(60, n_init=2, random_state=0).fit(lab, sample_weight=share).cluster_centers_
    near = ((lab[:, None] - colours[None]) ** 2).sum(axis=2).argmin(axis=1)
    cells = near[ink.reshape(16, 8, 32, 8).swapaxes(1, 2).reshape(-1, 64)]
    count = np.stack([np.bincount(cell, minlength=60) for cell in cells])
    group = KMeans(4, n_init=5, random_state=0).fit_predict(count)
    rows = [np.argsort(-count[group == g].sum(axis=0), kind="stable")[:15] for g in range(4)]
    gap = np.stack(
        [((lab[:, None] - colours[row][None]) ** 2).sum(axis=2).min(axis=1) for row in rows]
    )
    painted = ink.reshape(16, 8, 32, 8).swapaxes(1, 2).reshape(-1, 64)
    other = gap[:, painted].sum(axis=2).min(axis=0).sum() / front.ink.size
    assert 2 * fitted.mse <= 2 / 3 * other


def spaced_colours(count):
    """Squared distances of all 512 colours, and so many of them as far apart as can be."""
    table = lab_steps().astype(int)
    gap = ((table[:, None] - table[None]) ** 2).sum(axis=2)
    numbers = [0o200]
    while len(numbers) < count:
        numbers.append(int(gap[:, numbers].min(axis=1).argmax()))
    return gap, numbers


def test_colours_that_differ_least_are_joined_first():
    """Of 61 solid colours the two nearest ones share an entry, and nothing else changes."""
    gap, numbers = spaced_colours(60)
    far = gap[np.ix_(numbers, numbers)] + 10**9 * np.eye(60, dtype=int)
    near = min(set(range(512)) - set(numbers), key=lambda n: gap[n, numbers].min())
    assert gap[near, numbers].min() < far.min()
    cells = np.kron(np.arange(1, 62).tolist() + [0] * 3, np.ones((8, 8), int))
    front, inks = plane(cells), home_inks([*numbers, near])
    fitted = fit_palette(front, empty_like(front), inks, LINEAR_LEVELS)
    changed = np.unique(front.ink[shown(fitted)[0] != front.ink])
    assert len(changed) == 1
    assert fitted.mse == pytest.approx(64 * gap[near, numbers].min() / 1024**2 / (2 * cells.size))


def test_contour_pixels_are_those_beside_a_soft_edge():
    """An edge of near colours makes contour pixels on both sides; dither and hard edges do not."""
    lab = np.array([[0, 0, 0], [500, 0, 0], [560, 0, 0], [900, 0, 0]])
    picture = np.ones((1, 16, 16), int)
    picture[:, :, 8:] = 2
    marked = contour_pixels(picture, lab)
    assert marked[0, :, 7:9].all()
    assert marked[0, :, 1:7].sum() == 0
    # the plane wraps: column 15 (ink 2) meets column 0 (ink 1)
    assert marked[0, :, [0, 15]].all()
    assert not contour_pixels(np.where(picture == 2, 3, 1), lab).any()
    board = 1 + np.add.outer(np.arange(16), np.arange(16))[None] % 2
    assert not contour_pixels(board, lab).any()
    assert not contour_pixels(np.where(picture == 2, 0, 1), lab).any()


def test_guarded_pixels_keep_their_colour():
    """Of two pairs of near inks the nearer one is joined, unless its pixels are guarded."""
    gap, numbers = spaced_colours(59)
    partner = {n: min(numbers, key=lambda k: gap[n, k]) for n in set(range(512)) - set(numbers)}
    nearest, *others = sorted(partner, key=lambda n: gap[n, partner[n]])
    second = next(
        n
        for n in others
        if partner[n] != partner[nearest]
        and gap[nearest, partner[nearest]] < gap[n, partner[n]] < 4 * gap[nearest, partner[nearest]]
        and gap[n, nearest] > 4 * gap[n, partner[n]]
    )
    cells = np.kron(np.arange(1, 62).tolist() + [0] * 3, np.ones((8, 8), int))
    inks = home_inks([*numbers, nearest, second])
    pair = {1 + numbers.index(partner[nearest]), 60}
    for guard, joined in ((None, pair), (np.isin(cells, list(pair)), None)):
        fitted = fit_palette(plane(cells, guard), plane(0 * cells), inks, LINEAR_LEVELS)
        changed = set(cells[shown(fitted)[0] != cells].tolist())
        assert len(changed) == 1
        if joined:
            assert changed < joined
        else:
            assert changed < {1 + numbers.index(partner[second]), 61}


def test_backdrop_colour_on_the_back_plane_takes_no_entry():
    """Back pixels of the backdrop colour in all moods become see-through, but not in high cells."""
    ink = np.repeat(np.arange(1, 5), 8)[None].repeat(8, axis=0)
    inks = InkColours(
        ("home", "night"), np.array([[9, 9, 9, 30, 40], [7, 7, 8, 31, 41]], np.uint16)
    )
    back = plane(ink)
    fitted = fit_palette(empty_like(back), back, inks, LINEAR_LEVELS)
    assert (shown(fitted)[1] == np.where(ink == 1, 0, ink)).all()
    assert fitted.exact
    lifted = plane(ink, priority=np.ones((1, 4), bool))
    fitted = fit_palette(empty_like(back), lifted, inks, LINEAR_LEVELS)
    assert (shown(fitted)[1] == ink).all()
    front = fit_palette(back, empty_like(back), inks, LINEAR_LEVELS)
    assert (shown(front)[0] == ink).all()


def test_inks_alike_in_every_mood_share_an_entry():
    """Inks equal in all moods are one colour; inks that part in one mood stay two."""
    colours = np.array([[0, 50, 50, 50], [0, 60, 60, 61]], np.uint16)
    front = plane(np.repeat([1, 2, 3, 0], 8)[None].repeat(8, axis=0))
    fitted = fit_palette(
        front, empty_like(front), InkColours(("home", "night"), colours), LINEAR_LEVELS
    )
    assert fitted.exact
    assert sorted(fitted.palette[fitted.palette > 0].tolist()) == [1, 3]


def test_a_mood_tips_the_scale():
    """Of colours equal at home, one entry too few joins those that stay alike in the other mood."""
    gap, apart = spaced_colours(60)
    free = sorted(set(range(512)) - set(apart), key=lambda n: gap[n, apart[57]])
    colours = np.array(
        [[0, *apart[:58], *[apart[58]] * 3], [0, *apart[:58], apart[57], free[0], apart[59]]],
        np.uint16,
    )
    cells = np.kron(np.arange(1, 62).tolist() + [0] * 3, np.ones((8, 8), int))
    front = plane(cells)
    fitted = fit_palette(
        front, empty_like(front), InkColours(("home", "night"), colours), LINEAR_LEVELS
    )
    assert fitted.mse == 0
    assert not fitted.exact
    got = shown(fitted)[0, 0, ::8]
    assert set(got[58:60]) in ({59}, {60})
    assert got[60] == 61


@pytest.mark.parametrize("border", [32, 36])
def test_zones_have_colours_of_their_own(border):
    """With a rewrite at a line, 60 colours above and 60 others below are exact: twice the rows.

    At line 36 the border crosses cells, which keep one row number for both zones.
    """
    rng = np.random.default_rng(7)
    family = np.tile(np.arange(8).repeat(8) % 4, 2)[None].repeat(64, axis=0)
    ink = 1 + family * 15 + rng.integers(0, 15, (64, 128))
    ink[border:] += 60
    front = plane(ink)
    inks = home_inks(rng.permutation(np.arange(1, 512))[:120])
    one = fit_palette(front, empty_like(front), inks, LINEAR_LEVELS)
    two = fit_palette(front, empty_like(front), inks, LINEAR_LEVELS, ((0, border), (border, 64)))
    assert not one.exact
    assert two.exact
    assert two.palette.shape == (2, 4, 16)
    assert (shown(two, (0, border))[0] == ink).all()


def test_inks_of_two_zones_stay_where_they_are():
    """Rows that hold the same inks on both sides of a border need no rewrite of those inks."""
    family = np.arange(8).repeat(8) % 4
    every = 1 + np.arange(512).reshape(8, 64) % 15
    upper, lower = every + 15 * family, every + 15 * ((family + 1) % 4)
    # below the border, inks 1 to 5 of every family are others
    lower = np.where((lower - 1) % 15 < 5, lower + 60, lower)
    front = plane(np.concatenate([upper, lower]))
    inks = home_inks(np.random.default_rng(11).permutation(np.arange(1, 512))[:120])
    fitted = fit_palette(front, empty_like(front), inks, LINEAR_LEVELS, ((0, 8), (8, 16)))
    assert fitted.exact
    above, below = fitted.palette
    assert (above == below).sum() == 4 + 4 * 10


def test_zones_tied_by_a_cell_keep_one_row_number():
    """Rows are numbered after the zone above only where no cell crosses the border."""
    nothing = 40
    gap = np.zeros((12, nothing + 1))
    home = np.zeros((12, 3))
    members = tuple(np.arange(12).reshape(3, 4))
    first, kind = np.array([0, 1, 3]), np.array([0, 5, 8, 2])
    fit = Fit(first, kind, np.ones(4), gap, home, members, np.arange(12))
    assert tied_zones(fit).tolist() == [False, False, True]
    entries = fit.empty_rows
    entries[:, 0, 0] = [10, 11, 12, 13]
    entries[:, 1, 0] = [11, 10, 13, 12]
    entries[:, 2, 0] = [20, 21, 22, 23]
    aligned = align_zones(fit, entries)
    assert aligned[:, 1, 0].tolist() == [10, 11, 12, 13]
    assert aligned[:, 2, 0].tolist() == [21, 20, 23, 22]


@pytest.mark.parametrize(
    ("zones", "text"),
    [
        (((0, 30), (32, 64)), "first line: 32 asked, 30 allowed"),
        (((0, 30), (30, 63)), "last line: 63 asked, 64 allowed"),
        (((0, 64), (64, 64)), "first line"),
    ],
)
def test_zones_must_cover_the_plane(zones, text):
    """Zones with a gap, an overlap or no line are refused."""
    front = plane(np.ones((64, 64)))
    with pytest.raises(LimitError, match=text):
        fit_palette(front, front, home_inks([3]), LINEAR_LEVELS, zones)


def test_empty_planes_fit():
    """Planes without a single pixel have an empty palette and are exact."""
    front = plane(np.zeros((64, 64)))
    fitted = fit_palette(front, front, home_inks([3]), LINEAR_LEVELS)
    assert fitted.exact
    assert not fitted.index.any()
    assert not fitted.palette.any()


def test_equal_cells_share_row_and_tile():
    """Cells painted alike, in either plane, come out alike, so they stay one tile."""
    front = random_plane(8, 70, each=3)
    fitted = fit_palette(front, front, home_inks(range(100, 170)), LINEAR_LEVELS)
    assert (fitted.index[0] == fitted.index[1]).all()
    assert (fitted.row[0] == fitted.row[1]).all()


def test_bands_of_one_dither_share_tiles():
    """The same dither in two families of nine colours, which no row holds both, is stored once."""
    board = np.add.outer(np.arange(64), np.arange(64)) % 2
    level = np.repeat(np.arange(8), 8)[:, None] + np.zeros(64, int)
    dither = np.where((np.arange(64) // 3 % 2)[None] & board, level + 1, level) + 1
    every = 1 + np.arange(512).reshape(8, 64) % 9
    upper = np.concatenate([dither, every])
    fitted = fit_palette(plane(upper), plane(upper + 9), home_inks(range(100, 118)), LINEAR_LEVELS)
    assert fitted.exact
    upper_only, lower_only = (count_tiles(_cells(fitted.index[p : p + 1])) for p in (0, 1))
    assert count_tiles(_cells(fitted.index)) == max(upper_only, lower_only)


def _cells(index):
    planes, height, width = index.shape
    blocks = index.reshape(planes, height // 8, 8, width // 8, 8).swapaxes(2, 3)
    return blocks.reshape(-1, 8, 8)


def test_the_fit_is_the_same_every_time():
    """The same planes give the same bytes again, and arguments stay as they are."""
    front, back = random_plane(9, 70), random_plane(10, 70)
    inks = home_inks(np.random.default_rng(1).choice(512, 70, replace=False))
    before = front.ink.copy()
    first, second = (fit_palette(front, back, inks, LINEAR_LEVELS) for _ in range(2))
    assert first.index.tobytes() == second.index.tobytes()
    assert first.row.tobytes() == second.row.tobytes()
    assert first.palette.tobytes() == second.palette.tobytes()
    assert (front.ink == before).all()


def test_distinct_cells_name_every_cell():
    """The distinct cells come in the order they are met and rebuild the input."""
    cells = np.random.default_rng(2).integers(0, 3, (9, 64))[[4, 4, 0, 8, 0, 4]]
    distinct, which = distinct_cells(cells)
    assert which.tolist() == [0, 0, 1, 2, 1, 0]
    assert (distinct[which] == cells).all()
    assert len(np.unique(mix_cells(cells))) == 3


def test_flipped_cells_mix_to_one_number():
    """A cell and its three flips have one number, a turned cell has another."""
    cell = np.random.default_rng(3).integers(0, 15, (8, 8))
    views = [cell, cell[::-1], cell[:, ::-1], cell[::-1, ::-1], cell.T]
    numbers = mix_flipped(np.stack([view.ravel() for view in views]))
    assert len(set(numbers[:4].tolist())) == 1
    assert numbers[4] != numbers[0]


def test_a_cell_takes_the_row_whose_tile_is_common():
    """A cell that two rows show equally well joins the tile that other cells have."""
    index = np.array([[0, 1, 2], [0, 5, 6], [0, 1, 3], [0, 9, 9]], np.uint8)
    point = np.zeros((3, 64), int)
    point[0], point[1, 1:], point[2, 7] = 1, 2, 2
    point[0, 0] = point[1, 0] = point[2, 0] = 0
    options = np.array([[1, 1, 0, 0], [0, 1, 0, 0], [1, 0, 1, 0]], bool)
    assert share_rows(index, point, options).tolist() == [0, 1, 0]
    index[0] = [0, 6, 2]
    assert share_rows(index, point, options)[0] == 0
