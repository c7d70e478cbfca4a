"""Two doors of presets: their text, and their keys and values by the tables of the checker.

Not part of the test command; `.ci/run` runs each door for a minute. See `fuzz.py`.
"""

from __future__ import annotations

import random

from fuzz import fuzz, harmed
from random_presets import any_preset, toml_of

from genbg.check import check_export
from genbg.errors import Fault, GenbgError, PresetError
from genbg.pipeline import build
from genbg.preset import Preset
from genbg.reading import parse_preset
from genbg.reading.bundled import bundled_names, find_bundled
from genbg.write.folder import write_export

WORDS = (
    *(b"[[layer]]\n", b"[machine]\n", b"[mood.night]\n", b"paint = ", b'"sky"', b"= [0, 224]\n"),
    *(b"1e999", b"nan", b"-inf", b"0x10", b"1979-05-27", b'"""', b"'''", b"\\u0000", b"{", b"["),
    *(b"\r\n", b"\xff", b"\xef\xbb\xbf", b"\xf0\x9f\x8f\xae", b"\x1b[2J", b"# ", b"," * 3),
    *(b"9" * 5000, b"[" * 3000, b"a." * 2000, b"=" * 10),
)


def faults_of(text: str) -> tuple[Fault, ...] | None:
    """What is wrong with a text; None where it is a preset."""
    try:
        assert isinstance(parse_preset(text, place="bay.toml"), Preset)
    except PresetError as error:
        return error.faults
    return None


def test_preset_text() -> None:
    """Whatever stands in a file: a preset, or faults of one line each that name their place."""
    texts = [find_bundled(name).read_bytes() for name in bundled_names()]

    def trial(dice: random.Random) -> None:
        data = harmed(dice.choice(texts), dice, WORDS)
        faults = faults_of(data.decode("utf-8", "replace"))
        assert faults is None or faults
        for fault in faults or ():
            assert fault.where.startswith("bay.toml")
            assert str(fault).isprintable(), str(fault)

    assert fuzz("preset text", trial)


def test_preset_values(tmp_path) -> None:
    """Any keys and values in their range: an export that holds, or one clear refusal."""
    folder = tmp_path / "x"

    def trial(dice: random.Random) -> None:
        text = toml_of(any_preset(dice, dice.choice([0.1, 0.4])))
        try:
            backdrop = build(parse_preset(text))
        except GenbgError:
            return
        write_export(backdrop, folder, previews=dice.random() < 0.1)
        assert check_export(folder) == [], text

    assert fuzz("preset values", trial)
