"""From a TOML file to the records of `preset/`, checked once, with every fault and its place.

read.py      file or bundled name -> text -> Preset
settings.py  --set KEY=VALUE
check.py     plain data -> records, with every fault
places.py    line and column of every key and value
locate.py    where a fault stands, also one that a later stage finds
bundled.py   the presets that come with the program
starter.py   a commented preset to begin with; schema.py the JSON Schema of all keys
"""

from __future__ import annotations

from genbg.reading.bundled import bundled_names, list_bundled
from genbg.reading.locate import located
from genbg.reading.read import load_preset, parse_preset

__all__ = ["bundled_names", "list_bundled", "load_preset", "located", "parse_preset"]
