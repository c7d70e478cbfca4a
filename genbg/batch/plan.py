"""What a batch is asked for: the variants in their order, made one by one so that any number fits.

A variant is a preset, one value from each `--vary` list, and a seed. Order: presets as given, then
the lists as given (the last one turns fastest), then seeds.
"""

from __future__ import annotations

import functools
import hashlib
import itertools
import json
import re
import shlex
from collections.abc import Iterator, Sequence
from pathlib import Path

from genbg import __version__
from genbg.errors import Fault, PresetError
from genbg.preset import Preset, load_preset, parse_preset
from genbg.records import record

MAX_SEEDS = 10_000_000
"""Seeds of one batch: a slip such as 1-99999999999 is told at once."""


@record(frozen=True)
class Seeds:
    """Runs of seeds, (first, last) each, in the order asked."""

    runs: tuple[tuple[int, int], ...]

    def __len__(self) -> int:
        return sum(last - first + 1 for first, last in self.runs)

    def __iter__(self) -> Iterator[int]:
        for first, last in self.runs:
            yield from range(first, last + 1)


@record(frozen=True)
class Vary:
    """A key and the values that it takes in turn, as TOML texts or bare words."""

    key: str
    values: tuple[str, ...]


@record(frozen=True)
class Source:
    """A preset of the batch as it was read at the start: later edits of the file do not matter.

    asked: as the user named it; art: (name in the preset, path) of pictures that it uses
    """

    asked: str
    preset: Preset


@record(frozen=True)
class Variant:
    """One variant. name: its folder's name; varied: (key, value) as asked."""

    name: str
    source: Source
    seed: int
    varied: tuple[tuple[str, str], ...]

    @property
    def settings(self) -> tuple[str, ...]:
        return tuple(f"{key}={value}" for key, value in self.varied)

    @property
    def command(self) -> str:
        """The command that makes this variant in full."""
        parts = ["genbg", "make", self.source.asked, "--seed", str(self.seed)]
        for setting in self.settings:
            parts += ["--set", setting]
        return shlex.join([*parts, "--out", f"out/{self.name}"])


@record(frozen=True)
class Plan:
    """All variants of a batch. previews: "none", "still" or "all"."""

    sources: tuple[Source, ...]
    seeds: Seeds
    lists: tuple[Vary, ...]
    previews: str

    def __len__(self) -> int:
        combinations = 1
        for vary in self.lists:
            combinations *= len(vary.values)
        return len(self.sources) * combinations * len(self.seeds)

    def __iter__(self) -> Iterator[Variant]:
        choices = [range(len(vary.values)) for vary in self.lists]
        for source in self.sources:
            for picks in itertools.product(*choices):
                varied = tuple(
                    (vary.key, vary.values[n]) for vary, n in zip(self.lists, picks, strict=True)
                )
                tail = "".join(
                    f"-{slugs(vary.values)[n]}" for vary, n in zip(self.lists, picks, strict=True)
                )
                for seed in self.seeds:
                    yield Variant(f"{source.preset.name}-{seed}{tail}", source, seed, varied)


def plan_batch(
    presets: Sequence[str], seeds: str, lists: Sequence[str], previews: str = "still"
) -> Plan:
    """Return the plan of a batch as the command line words it.

    Raises PresetError where a preset, the seeds or a list is wrong; a single value that is wrong is
    no reason, as the other variants can be made, but a list of which no value is right is.
    """
    sources = tuple(Source(asked, load_preset(asked)) for asked in presets)
    check_names([source.preset.name for source in sources])
    varies = tuple(parse_vary(text) for text in lists)
    for vary in varies:
        for source in sources:
            check_values(source, vary)
    return Plan(sources, parse_seeds(seeds), varies, previews)


def check_names(names: Sequence[str]) -> None:
    """Raise PresetError where two presets' variants could have one folder name."""
    for one, other in itertools.permutations(names, 2):
        if one == other or re.match(re.escape(one) + r"-\d", other):
            says = f'"{one}" and "{other}" would share names of folders; make two batches'
            raise PresetError(Fault("presets", "", "", says))


def parse_seeds(text: str) -> Seeds:
    """Seeds of a text such as "1-100" or "3,7,20-25"."""
    runs = []
    for part in text.split(","):
        found = re.fullmatch(r"\s*(\d{1,19})\s*(?:-\s*(\d{1,19})\s*)?", part)
        if not found:
            says = 'give numbers and ranges, such as "1-100" or "3,7,20-25"'
            raise PresetError(Fault("--seeds", "seeds", text, says))
        first = int(found[1])
        last = int(found[2]) if found[2] else first
        if last < first or last >= 2**63:
            says = "a range goes from the smaller number to the larger, up to 2^63-1"
            raise PresetError(Fault("--seeds", "seeds", text, says))
        runs.append((first, last))
    seeds = Seeds(tuple(runs))
    count = sum(last - first + 1 for first, last in runs)
    if count > MAX_SEEDS:
        says = f"{count} seeds are asked; a batch takes {MAX_SEEDS} at most"
        raise PresetError(Fault("--seeds", "seeds", text, says))
    ends = sorted(runs)
    for (_, last), (first, _) in itertools.pairwise(ends):
        if first <= last:
            says = f"seed {first} is asked for twice"
            raise PresetError(Fault("--seeds", "seeds", text, says))
    return seeds


def parse_vary(text: str) -> Vary:
    """Key and values of a text such as "machine.tile_budget=320,400"."""
    key, equals, values = text.partition("=")
    parts = split_values(values)
    if not equals or not key.strip() or not all(parts):
        says = 'give a key and its values, such as "machine.tile_budget=320,400"'
        raise PresetError(Fault("--vary", key.strip(), values, says))
    if key.strip() == "seed":
        raise PresetError(Fault("--vary", "seed", values, "seeds are given with --seeds"))
    if len(set(parts)) < len(parts):
        raise PresetError(Fault("--vary", key.strip(), values, "a value is given twice"))
    return Vary(key.strip(), tuple(parts))


def split_values(text: str) -> list[str]:
    """Split at commas that stand outside quotes and brackets."""
    parts, depth, quote, start = [], 0, "", 0
    for place, sign in enumerate(text):
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'":
            quote = sign
        elif sign in "[{":
            depth += 1
        elif sign in "]}":
            depth -= 1
        elif sign == "," and depth == 0:
            parts.append(text[start:place].strip())
            start = place + 1
    return [*parts, text[start:].strip()]


def check_values(source: Source, vary: Vary) -> None:
    """Raise the first value's faults where no value of a list is right for a preset."""
    faults: PresetError | None = None
    for value in vary.values:
        try:
            variant_preset(source, 0, ((vary.key, value),))
            return
        except PresetError as error:
            faults = faults or error
    if faults is not None:
        raise faults


def variant_preset(source: Source, seed: int, varied: tuple[tuple[str, str], ...]) -> Preset:
    """The checked preset of a variant. Raises PresetError."""
    base = source.preset
    return parse_preset(
        base.text,
        place=source.asked,
        name=base.name,
        folder=base.folder,
        settings=[f"{key}={value}" for key, value in varied],
        seed=seed,
    )


@functools.lru_cache(maxsize=64)
def slugs(values: tuple[str, ...]) -> tuple[str, ...]:
    """Short names of values for folders: letters, digits, dots; numbers where those would clash."""
    short = tuple(re.sub(r"[^a-z0-9.]+", "_", value.lower()).strip("_.")[:24] for value in values)
    if all(short) and len(set(short)) == len(short):
        return short
    return tuple(f"v{n}" for n in range(1, len(values) + 1))


def variant_key(variant: Variant, previews: str, art: bytes) -> str:
    """What a variant is made from, as 32 hex digits: the same key, the same bytes.

    art: a digest of the pictures that the preset uses
    """
    parts = [__version__, previews, variant.source.preset.text, variant.settings, variant.seed]
    digest = hashlib.sha256(json.dumps(parts).encode("utf-8"))
    digest.update(art)
    return digest.hexdigest()[:32]


def art_files(preset: Preset) -> dict[str, Path]:
    """Pictures that a preset's layers name: {name in the preset: path}."""
    found = {}
    for layer in preset.layers:
        name = getattr(layer.params, "file", None)
        if isinstance(name, str) and name:
            found[name] = preset.folder / name
    return found
