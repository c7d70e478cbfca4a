"""Presets made by chance from the same keys that the checker reads: any table, painter and value.

A preset is a plain table, as a TOML reader gives it; `toml_of` writes it down. Values lie at the
ends of their range more often than between, since that is where things break. Layers get lines of
their own on their plane, so that most presets pass the checker and reach the painters.
"""

from __future__ import annotations

import json
import random
from typing import Any

from genbg.keys import Key, keys_of
from genbg.paint.table import PAINTERS, painter
from genbg.preset.effects import MANY_TABLES, OPTIONAL_TABLES
from genbg.preset.machine import MachineKeys
from genbg.preset.tables import TABLES, Layer, Mood

LOW, HIGH = -1000, 1000
"""Ends of a number whose key names none."""
OWN = ("paint", "name", "plane", "lines", "distance", "sees", "colours", "steps", "high_columns")
"""Keys of a layer that are chosen with an eye to the other layers."""


def any_preset(dice: random.Random, rate: float = 0.3) -> dict[str, Any]:
    """Return a preset; rate: the share of keys that are said at all."""
    table: dict[str, Any] = {"seed": dice.randrange(2**63)}
    table["machine"] = any_table(MachineKeys, dice, rate / 2)
    table["machine"] |= {"merge": "fast", "tall_lines": dice.choice([232, 240])}
    for name in dice.sample(sorted(TABLES), 2):
        if name != "machine":
            table[name] = any_table(TABLES[name], dice, rate)
    table["preview"] = {"frames": dice.randint(1, 4)}
    vertical = table["machine"].get("vertical", "none") != "none"
    height = table["machine"].get("plane_cells", [64, 32])[1] * 8
    screen = table["machine"].get("screen", [320, 224])[1]
    table["layer"] = any_layers(dice, max(height, screen) if vertical else screen, rate)
    names = [layer["name"] for layer in table["layer"]]
    if dice.random() < 0.4:
        table["mood"] = {f"m{n}": any_table(Mood, dice, rate, ("colours",)) for n in range(2)}
    for name, keys in OPTIONAL_TABLES.items():
        if dice.random() < 0.1:
            table[name] = any_table(keys, dice, 0.8)
    for name, (_, keys, _) in MANY_TABLES.items():
        if dice.random() < 0.1:
            table[name] = [any_table(keys, dice, 0.8)]
            if "layer" in table[name][0]:
                table[name][0]["layer"] = dice.choice(names)
    return table


def any_layers(dice: random.Random, lines: int, rate: float) -> list[dict[str, Any]]:
    """Return 1 to 5 layers: a sky behind, then bands of a plane one below the other."""
    found = [{"paint": "sky", "name": "sky", "lines": [0, lines], "plane": "back", "body": "none"}]
    free = {"front": 0, "sprites": 0}
    for number in range(dice.randint(0, 4)):
        plane = dice.choice(sorted(free))
        top = free[plane] + dice.choice([0, 0, 8, dice.randint(0, 60)])
        bottom = top + dice.choice([1, 8, dice.randint(1, 120), lines - top])
        if not 0 <= top < bottom <= lines:
            continue
        free[plane] = bottom
        layer = any_layer(dice, rate)
        layer |= {"name": f"l{number}", "plane": plane, "lines": [top, bottom]}
        if plane == "sprites" or dice.random() < 0.7:
            far = [0.5, 1, 8.0, 200.0, [8.0, 1.0], [3, 30]]
            layer["distance"] = dice.choice(far[:4] if plane == "sprites" else far)
        if plane == "sprites":
            for name in ("wave", "guard", "drift"):
                layer.pop(name, None)
        found.append(layer)
    return found


def any_layer(dice: random.Random, rate: float) -> dict[str, Any]:
    """Return a layer of any painter that reads no file."""
    known = [name for name in PAINTERS if name != "picture"]
    art = painter(dice.choice(known))
    layer = any_table(Layer, dice, rate / 3, OWN) | any_table(art.params, dice, rate)
    layer["paint"] = art.name
    for ramp in art.ramps:
        if dice.random() < rate / 2:
            layer.setdefault("steps", {})[ramp.name] = dice.randint(1, 8)
        if dice.random() < rate / 2:
            colours = [any_colour(dice) for _ in range(dice.randint(1, 6))]
            layer.setdefault("colours", {})[ramp.name] = colours
    return layer


def any_table(
    keys: type, dice: random.Random, rate: float, without: tuple[str, ...] = ()
) -> dict[str, Any]:
    """Return some keys of a table with values in their range."""
    found = {}
    for name, described in keys_of(keys).items():
        if name not in without and dice.random() < rate:
            value = any_value(described, dice)
            if value is not None:
                found[name] = value
    return found


def any_value(described: Key, dice: random.Random) -> Any:
    """Return a value of a key; None for kinds that need more than the key to say."""
    kind, count = described.kind, described.length or dice.randint(1, 3)
    if described.choices:
        value = dice.choice(described.choices)
        return list(value) if isinstance(value, tuple) else value
    simple = {
        "int": lambda: any_number(described, dice, True),
        "float": lambda: any_number(described, dice, False),
        "bool": lambda: dice.random() < 0.5,
        "colour": lambda: any_colour(dice),
        "str": lambda: "a tide",
        "ints": lambda: sorted(any_number(described, dice, True) for _ in range(count)),
        "floats": lambda: [any_number(described, dice, False) for _ in range(count)],
        "colours": lambda: [any_colour(dice) for _ in range(count)],
    }
    return simple[kind]() if kind in simple else None


def any_number(described: Key, dice: random.Random, whole: bool) -> float:
    """Return a number: an end of the range, or any between; floats with three decimals."""
    low = LOW if described.low is None else described.low
    high = HIGH if described.high is None else described.high
    if dice.random() < 0.4:
        return int(dice.choice([low, high])) if whole else float(dice.choice([low, high]))
    return dice.randint(int(low), int(high)) if whole else round(dice.uniform(low, high), 3)


def any_colour(dice: random.Random) -> str:
    return f"#{dice.randrange(1 << 24):06x}"


def toml_of(table: dict[str, Any]) -> str:
    """Return a preset as TOML, tables of tables inline."""
    return "".join(f"{json.dumps(key)} = {value_text(value)}\n" for key, value in table.items())


def value_text(value: Any) -> str:
    """Return a value as TOML on one line."""
    if isinstance(value, dict):
        pairs = (f"{json.dumps(key)} = {value_text(one)}" for key, one in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(value_text, value)) + "]"
    if isinstance(value, float):
        return repr(value)
    return json.dumps(value, ensure_ascii=False)
