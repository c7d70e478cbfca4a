"""Fingerprints of bundled presets: the same on every machine, Python and numpy.

    python tests/golden/prints.py [NAME...]            compare with prints.json; status 1 and a line
                                                       for each preset that differs
    python tests/golden/prints.py --remake [NAME...]   write prints.json anew, after pictures
                                                       changed on purpose
    python tests/golden/prints.py --painters           compare as few presets as use every painter

NAMEs are presets; without any, all.

A fingerprint is SHA-256 over the names and bytes of all files of an export but pictures and the
manifest, and over the still's pixels: how pixels are packed into a PNG is the business of the zlib
that Python came with. Needs genbg only.
"""

from __future__ import annotations

import hashlib
import sys
import tomllib
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

PRINTS = Path(__file__).with_name("prints.json")
PRESETS = Path(__file__).parents[2] / "presets"


def fingerprint(name: str) -> str:
    """The fingerprint of a bundled preset, made afresh."""
    from genbg.pipeline import build
    from genbg.reading import load_preset
    from genbg.screen.film import make_film
    from genbg.write.table import export_files

    backdrop = build(load_preset(PRESETS / f"{name}.toml"))
    digest = hashlib.sha256()
    for path, data in export_files(backdrop, previews=False):
        if not path.endswith((".png", ".gif", ".apng")):
            digest.update(f"{path}\0{len(data)}\0".encode())
            digest.update(data)
    digest.update(make_film(backdrop, 1).rgb(0).tobytes())
    return digest.hexdigest()


def names() -> list[str]:
    return sorted(path.stem for path in PRESETS.glob("*.toml"))


def presets_of_all_painters() -> list[str]:
    """Few presets that use every painter together: the one that adds most is taken, in turn."""
    used = {
        name: {layer["paint"] for layer in tomllib.loads(text)["layer"]}
        for name in names()
        for text in [(PRESETS / f"{name}.toml").read_text(encoding="utf-8")]
    }
    left, taken = set().union(*used.values()), []
    while left:
        taken.append(max(used, key=lambda name: len(used[name] & left)))
        left -= used[taken[-1]]
    return taken


def make(asked: list[str]) -> list[str]:
    """The fingerprints of presets, made side by side."""
    with ProcessPoolExecutor(mp_context=get_context("spawn")) as pool:
        return list(pool.map(fingerprint, asked))


def main(arguments: list[str]) -> int:
    from held import compare

    if arguments == ["--painters"]:
        arguments = presets_of_all_painters()
    return compare(arguments, PRINTS, names(), make)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
