"""Door by door, files that others made: pictures, exports, and the journal of a batch.

Not part of the test command; `.ci/run` runs each door for a minute. See `fuzz.py`.
"""

from __future__ import annotations

import contextlib
import io
import json
import random
import shutil
from pathlib import Path

import numpy as np
from forge import forge_file, read_table, write_table
from fuzz import fuzz, harmed, harmed_value
from PIL import Image
from sample import SMALLEST, make_backdrop
from scene_text import EBB, a_layer, scene

from genbg.check import check_export
from genbg.check.chunks import chunks_of
from genbg.cli import run
from genbg.errors import BytesError, GenbgError
from genbg.pipeline import Way, build
from genbg.reading import load_preset
from genbg.write.folder import write_export
from genbg.write.png import SIGNATURE, chunk

ART = scene(
    a_layer("picture", [0, 32], file="art.png"),
    machine={"plane_cells": [32, 32], "screen": [256, 224], "tile_budget": 1200},
    preview={"frames": 1},
)


def pictures() -> list[bytes]:
    """Small pictures of every mode and format that is read."""
    dice = np.random.Generator(np.random.PCG64(5))
    pixels = dice.integers(0, 4, (32, 64, 4)).astype(np.uint8) * 85
    image = Image.fromarray(pixels, "RGBA")
    found = []
    for mode in ("RGBA", "RGB", "L", "LA", "P", "1", "I;16"):
        turned = image.convert("L").convert("I;16") if mode == "I;16" else image.convert(mode)
        found.append(saved(turned, "PNG"))
    found.append(saved(image.convert("P"), "PNG", transparency=1))
    found += [saved(image.convert("P"), "GIF"), saved(image.convert("RGB"), "BMP")]
    found += [saved(image.convert("RGB"), "JPEG"), saved(image, "WEBP", lossless=True)]
    return found


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    file = io.BytesIO()
    image.save(file, kind, **options)
    return file.getvalue()


def harmed_picture(data: bytes, dice: random.Random) -> bytes:
    """Return a picture's bytes harmed; half of the PNGs chunk by chunk, with every CRC right."""
    if dice.random() < 0.5 or not data.startswith(SIGNATURE):
        return harmed(data, dice)
    parts = list(chunks_of(data))
    at = dice.randrange(len(parts))
    kind, body = parts[at]
    kind = dice.choice([kind, kind, kind, b"tEXt", b"PLTE", b"tRNS", b"acTL", b"eXIf", b"iCCP"])
    parts[at] = kind, harmed(body, dice)
    if dice.random() < 0.2:
        parts.insert(dice.randrange(len(parts)), dice.choice(parts))
    return SIGNATURE + b"".join(chunk(*part) for part in parts)


def test_pictures(tmp_path) -> None:
    """Art that is damaged or lies about itself: a backdrop, or one clear refusal."""
    (tmp_path / "bay.toml").write_text(ART)
    known = pictures()

    def trial(dice: random.Random) -> None:
        (tmp_path / "art.png").write_bytes(harmed_picture(dice.choice(known), dice))
        with contextlib.suppress(GenbgError):
            build(load_preset(tmp_path / "bay.toml"), None, Way(sketch=True))

    assert fuzz("pictures", trial)


def test_exports(tmp_path) -> None:
    """Exports with harmed files and right hashes: told in lines, and never taken for whole.

    A layer's picture may show other colours, and a manifest may state other figures: these no byte
    of the machine contradicts.
    """
    backdrop = make_backdrop(3, machine=SMALLEST, full=True, frames=2)
    whole = write_export(backdrop, tmp_path / "whole")
    folder = tmp_path / "x"
    table = read_table(whole)
    paths = [row["path"] for row in table["files"]]

    def trial(dice: random.Random) -> None:
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(whole, folder)
        sure = False
        if dice.random() < 0.4:
            with contextlib.suppress(UnicodeEncodeError):
                write_table(folder, harmed_value(table, dice))
        else:
            path = dice.choice(paths)
            data = (whole / path).read_bytes()
            wrong = harmed_picture(data, dice) if path.endswith("png") else harmed(data, dice)
            sure = says_otherwise(path, data, wrong)
            forge_file(folder, path, wrong)
        faults = check_export(folder)
        assert all(fault.isprintable() for fault in faults)
        assert faults or not sure

    assert fuzz("exports", trial)


def says_otherwise(path: str, data: bytes, wrong: bytes) -> bool:
    """Whether a harmed file says something else that the rest of the export contradicts."""
    if path.startswith("engine/") and path.endswith(".png"):
        return False
    if not path.endswith("png"):
        return wrong != data
    try:
        return list(chunks_of(wrong)) != list(chunks_of(data))
    except BytesError:
        return True


def batch(*more: str) -> tuple[int, str]:
    """The status of a batch of four variants, and what it said."""
    said = io.StringIO()
    with contextlib.redirect_stderr(said), contextlib.redirect_stdout(said):
        asked = ["batch", "ebb.toml", "--seeds", "1-4", "--jobs", "1", "--previews", "none"]
        return run([*asked, *more]), said.getvalue()


def test_journal(tmp_path, monkeypatch) -> None:
    """A harmed journal, folder or still: the batch makes what is missing, or says one clear thing.

    Where it ends well, the folder holds what an undisturbed one holds; what was made again may
    stand behind what was found.
    """
    monkeypatch.chdir(tmp_path)
    Path("ebb.toml").write_text(EBB)
    assert batch("--out", "calm")[0] == 0
    right = Path("calm/variants.jsonl").read_bytes()
    stills = {path.name: path.read_bytes() for path in Path("calm/stills").iterdir()}
    lines = right.splitlines(keepends=True)

    def trial(dice: random.Random) -> None:
        shutil.rmtree("x", ignore_errors=True)
        shutil.copytree("calm", "x")
        name = dice.choice(["variants.jsonl", "variants.jsonl", "variants.part.jsonl"])
        wrong = harmed(right, dice, (b"{", b"null\n", b"[" * 2000, b"\xff", b'"sha256": "', *lines))
        if dice.random() < 0.5:
            rows = [json.loads(line) for line in lines]
            at = dice.randrange(len(rows))
            rows[at] = harmed_value(rows[at], dice)
            wrong = b"".join(json.dumps(row).encode() + b"\n" for row in rows)
        Path("x", name).write_bytes(wrong)
        if dice.random() < 0.2:
            still = Path("x/stills", dice.choice(sorted(stills)))
            still.write_bytes(harmed(still.read_bytes(), dice))
        status, said = batch("--out", "x")
        assert status in (0, 1, 2), said
        assert "internal error" not in said
        if status == 0:
            found = Path("x/variants.jsonl").read_bytes().splitlines(keepends=True)
            assert sorted(found) == sorted(lines), said
            for path, data in stills.items():
                assert Path("x/stills", path).read_bytes() == data, said

    assert fuzz("journal", trial)
