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
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from genbg.batch.versions import versions
from genbg.errors import Fault, PresetError
from genbg.preset import Preset
from genbg.reading import load_preset, parse_preset
from genbg.reading.settings import Setting, parse_setting

MAX_SEEDS = 10_000_000
"""Seeds of one batch: a slip such as 1-99999999999 is told at once."""


@dataclass(frozen=True)
class Seeds:
    """Runs of seeds, (first, last) each, in the order asked."""

    runs: tuple[tuple[int, int], ...]

    def __len__(self) -> int:
        return sum(last - first + 1 for first, last in self.runs)

    def __iter__(self) -> Iterator[int]:
        for first, last in self.runs:
            yield from range(first, last + 1)


@dataclass(frozen=True)
class Vary:
    """A key and the values that it takes in turn, as TOML texts or bare words."""

    key: str
    values: tuple[str, ...]


@dataclass(frozen=True)
class Source:
    """A preset of the batch as it was read at the start: later edits of the file do not matter.

    asked: as the user named it
    """

    asked: str
    preset: Preset


@dataclass(frozen=True)
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
    def values(self) -> dict[str, Any]:
        """Return {key: value} of what was varied, as values of JSON."""
        return {key: value_of(key, text) for key, text in self.varied}

    def command(self, previews: str) -> str:
        """Return the command that makes this variant's files again; of a still, the export."""
        asked = self.source.asked
        parts = ["genbg", "make", f"./{asked}" if asked.startswith("-") else asked]
        parts += ["--seed", str(self.seed)]
        for setting in self.settings:
            parts += ["--set", setting]
        parts += [] if previews == "all" else ["--no-preview"]
        return shlex.join([*parts, "--out", f"out/{self.name}"])


@dataclass(frozen=True)
class Plan:
    """All variants of a batch. previews: "none", "still" or "all".

    dropped: what was asked for twice; wrong: values that a preset does not take; a sentence each
    """

    sources: tuple[Source, ...]
    seeds: Seeds
    lists: tuple[Vary, ...]
    previews: str
    dropped: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()

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

    What is asked for twice is dropped, and `Plan.dropped` tells it; a single value that a preset
    does not take is no fault, as the other variants can be made, and `Plan.wrong` tells it.

    Raises PresetError where a preset, the seeds or a list is wrong.
    """
    dropped: list[str] = []
    sources = unlike_sources(presets, dropped)
    check_names([source.preset.name for source in sources])
    varies = tuple(parse_vary(text, dropped) for text in lists)
    keys = [vary.key for vary in varies]
    for vary in varies:
        if keys.count(vary.key) > 1:
            says = "is given twice; put all its values into one list"
            raise PresetError(Fault("--vary", vary.key, "", says))
    wrong = [text for vary in varies for source in sources for text in wrong_values(source, vary)]
    asked = parse_seeds(seeds, dropped)
    return Plan(sources, asked, varies, previews, tuple(dropped), tuple(wrong))


def unlike_sources(presets: Sequence[str], dropped: list[str]) -> tuple[Source, ...]:
    """Return the presets, each once."""
    sources: dict[tuple[Path, str], Source] = {}
    for asked in presets:
        preset = load_preset(asked)
        place = preset.folder.resolve(), preset.name
        if place in sources:
            dropped.append(f"{asked}: this preset is asked for twice; it is made once")
        sources.setdefault(place, Source(asked, preset))
    return tuple(sources.values())


def check_names(names: Sequence[str]) -> None:
    """Raise PresetError where two presets' variants could have one folder name."""
    for one, other in itertools.permutations(names, 2):
        if one == other or re.match(re.escape(one) + r"-\d", other):
            says = f'"{one}" and "{other}" would share names of folders; make two batches'
            raise PresetError(Fault("presets", "", "", says))


def parse_seeds(text: str, dropped: list[str] | None = None) -> Seeds:
    """Seeds of a text such as "1-100" or "3,7,20-25", each once; doubled ones are told."""
    runs: list[tuple[int, int]] = []
    twice = 0
    for part in text.split(","):
        found = re.fullmatch(r"\s*(\d{1,19})\s*(?:-\s*(\d{1,19})\s*)?", part, re.ASCII)
        if not found:
            says = 'give numbers and ranges, such as "1-100" or "3,7,20-25"'
            raise PresetError(Fault("--seeds", "seeds", text, says))
        first = int(found[1])
        last = int(found[2]) if found[2] else first
        if last < first or last >= 2**63:
            says = "a range goes from the smaller number to the larger, up to 2^63-1"
            raise PresetError(Fault("--seeds", "seeds", text, says))
        new = without(first, last, runs)
        twice += last - first + 1 - sum(high - low + 1 for low, high in new)
        runs += new
    count = sum(last - first + 1 for first, last in runs)
    if count > MAX_SEEDS:
        says = f"{count} seeds are asked; a batch takes {MAX_SEEDS} at most"
        raise PresetError(Fault("--seeds", "seeds", text, says))
    if twice and dropped is not None:
        dropped.append(f"--seeds {text}: {twice} of them asked for twice; each is made once")
    return Seeds(tuple(runs))


def without(first: int, last: int, runs: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return what of the numbers from first to last no run holds, as runs, in order."""
    left = []
    for low, high in sorted(runs):
        if high < first or low > last:
            continue
        if low > first:
            left.append((first, low - 1))
        first = max(first, high + 1)
    return [*left, (first, last)] if first <= last else left


def parse_vary(text: str, dropped: list[str] | None = None) -> Vary:
    """Key and values of a text such as "machine.tile_budget=320,400", each once."""
    key, equals, values = text.partition("=")
    key, parts = key.strip(), split_values(values)
    if not equals or not key or not all(parts):
        says = 'give a key and its values, such as "machine.tile_budget=320,400"'
        raise PresetError(Fault("--vary", key, values, says))
    if key == "seed":
        raise PresetError(Fault("--vary", "seed", values, "seeds are given with --seeds"))
    kept = {repr(value_of(key, part)): part for part in reversed(parts)}
    unlike = tuple(part for part in dict.fromkeys(parts) if part in kept.values())
    if len(unlike) < len(parts) and dropped is not None:
        more = len(parts) - len(unlike)
        dropped.append(f"--vary {key}: {more} of its values given twice; each is made once")
    return Vary(key, unlike)


def value_of(key: str, text: str) -> Any:
    """Return the value that a text sets a key to, where JSON has it; else the text."""
    setting = parse_setting(f"{key}={text}")
    value = setting.value if isinstance(setting, Setting) else text
    try:
        return json.loads(json.dumps(value, allow_nan=False))
    except (TypeError, ValueError, RecursionError):
        return text


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


def wrong_values(source: Source, vary: Vary) -> list[str]:
    """Return a sentence for each value that a preset does not take.

    Raises PresetError, with the first value's faults, where it takes none of them.
    """
    wrong: list[tuple[str, PresetError]] = []
    for value in vary.values:
        try:
            variant_preset(source, 0, ((vary.key, value),))
        except PresetError as error:
            wrong.append((value, error))
    if len(wrong) == len(vary.values):
        raise wrong[0][1]
    return [
        f"{source.asked}: its variants with {vary.key}={value} can't be made: {error.faults[0]}"
        for value, error in wrong
    ]


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


def variant_key(variant: Variant, previews: str, art: Mapping[str, str]) -> str:
    """What a variant is made from, as 32 hex digits: the same key, the same bytes.

    art: digests of the pictures that it uses, by name
    """
    parts = [
        *[versions(), previews, variant.source.preset.text],
        *[variant.settings, variant.seed, sorted(art.items())],
    ]
    return hashlib.sha256(json.dumps(parts).encode("utf-8")).hexdigest()[:32]
