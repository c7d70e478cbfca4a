"""Fingerprints of everything that a build says, for scenes that no painter of the program draws.

    python tests/golden/whole.py            compare with whole.json; status 1 and a line for each
                                            case that differs
    python tests/golden/whole.py --remake   write whole.json anew, after the road changed on purpose

Each case is a scene, settings and a way to build it. Its fingerprint is SHA-256 over all files of
the export but pictures, over the still's pixels, the manifest (warnings and figures are in it) and
the report; a case that is refused has its message instead. `prints.py` beside it watches the
bundled presets.
"""

from __future__ import annotations

import hashlib
import sys
from pathlib import Path

TESTS = Path(__file__).parents[1]
if __name__ == "__main__":
    sys.path.insert(0, str(TESTS))

from scenery import CYCLE, FADE, FLICKER, MIRROR, NIGHT, POSTS, SHORE, SPLITS, SUN  # noqa: E402

WHOLE = Path(__file__).with_name("whole.json")

TALL = [
    "layer.2.lines=[112, 240]",
    "machine.vertical=column",
    "columns.move=tilt",
    "columns.amplitude=[4, 0]",
]
FRONT = "layer.2.plane=front"

CASES: dict[str, tuple[str, list[str], dict[str, bool]]] = {
    "plain": (SHORE, [], {}),
    "sketch": (SHORE + SUN, [], {"sketch": True}),
    "night": (SHORE + POSTS + NIGHT, ["mood=night"], {}),
    "tight": (SHORE, ["machine.tile_budget=24"], {}),
    "balanced": (SHORE, ["machine.tile_budget=40", "machine.merge=balanced"], {}),
    "contours": (SHORE, ["machine.tile_budget=90", "machine.merge=contours"], {}),
    "bound": (SHORE, ["machine.tile_budget=80"], {"bound": True}),
    "quality": (SHORE, ["machine.quality=0.9"], {}),
    "quality out of reach": (SHORE, ["machine.quality=0.9999", "machine.tile_budget=20"], {}),
    "sprites": (SHORE + POSTS, ["layer.3.high=true", "sprites.reserve=12"], {}),
    "sprites left out": (SHORE + POSTS, ["machine.tile_budget=12"], {}),
    "reflection": (SHORE + MIRROR + POSTS, [FRONT], {}),
    "reflection, tight": (SHORE + MIRROR + SPLITS, ["machine.tile_budget=40", FRONT], {}),
    "splits": (SHORE + SPLITS + POSTS + NIGHT, [], {}),
    "window": (SHORE, ["window.rows=[24, 28]"], {}),
    "moving colours": (SHORE + POSTS + MIRROR + CYCLE + NIGHT + FADE, [FRONT], {}),
    "flashes": (SHORE + FLICKER, ["preview.frames=60"], {}),
    "waves": (SHORE, ["layer.1.wave=3", "layer.1.wave_lines=20"], {}),
    "up and down": (SHORE + POSTS, [*TALL, "camera.dip=24", "layer.1.high_lines=[48, 96]"], {}),
    "without end": (SHORE + POSTS, ["machine.vertical=plane", "camera.speed_y=1"], {}),
    "strips": (SHORE, ["machine.scroll=strip"], {}),
    "cut in two": (SHORE + SUN, ["layer.0.lines=[0, 40]", "layer.3.distance=[90, 45]"], {}),
    "two speeds on a line": (SHORE + SUN, ["layer.3.plane=front"], {}),
    "measured and wide": (
        SHORE,
        ["machine.levels=measured", "machine.screen=[320, 224]", "machine.plane_cells=[64, 32]"],
        {},
    ),
}


def fingerprint(case: str) -> str:
    """The fingerprint of a case, made afresh, or the message with which it is refused."""
    from own_painters import in_the_table
    from scenery import PAINTER

    from genbg.errors import GenbgError
    from genbg.pipeline import Way, build
    from genbg.reading import parse_preset
    from genbg.report.summary import summary
    from genbg.screen.film import make_film
    from genbg.write.manifest import manifest_bytes
    from genbg.write.table import export_files

    text, settings, way = CASES[case]
    with in_the_table(PAINTER):
        try:
            backdrop = build(parse_preset(text, settings=settings), way=Way(**way))
        except GenbgError as error:
            return str(error)
    digest, rows = hashlib.sha256(), []
    for path, data in export_files(backdrop, previews=False):
        if not path.endswith((".png", ".gif", ".apng")):
            digest.update(data)
            rows.append((path, len(data), hashlib.sha256(data).hexdigest()))
    digest.update(manifest_bytes(backdrop, rows))
    digest.update(summary(backdrop, Path("out")).encode())
    digest.update(make_film(backdrop, 1).rgb(0).tobytes())
    return digest.hexdigest()


if __name__ == "__main__":
    from held import compare

    sys.exit(compare(sys.argv[1:], WHOLE, CASES, lambda asked: [fingerprint(one) for one in asked]))
