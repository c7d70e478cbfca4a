"""Solids: houses, towers, boats and rocks as half-spaces in a small depth buffer.

Words used here:
  world    x to the right, y up from the water, z away from the eye; at the focal depth one unit is
           one pixel
  solid    what lies behind all of its planes (convex); sheet: a flat polygon
  thing    what belongs together (a house), so that edges within it are told from edges of it
  seen     what a view shows at each pixel: place, normal, material, face coordinates
  tone     0, 1, 2 are a material in shade, 3, 4, 5 in the light, dark to bright

Build a `Stage` of solids, `look` at it through an `Eye` (and through its mirror), `lighten` what is
seen, draw details by face coordinates, tell edges, and hand the tones to a `TonalPicture`.
"""

from genbg.paint.craft.solids.details import Facade, drawn_facade, hanging_green
from genbg.paint.craft.solids.light import Light, Shadows, bedded, edge_tones, lighten, tones
from genbg.paint.craft.solids.look import Seen, look, look_in_water
from genbg.paint.craft.solids.rocks import (
    BOULDER,
    CLIFF,
    CROWN,
    Chips,
    Stone,
    boulder,
    chips,
    ragged,
)
from genbg.paint.craft.solids.shapes import (
    Frame,
    beam,
    box,
    drum,
    gable_roof,
    hip_roof,
    prism,
    pyramid,
    slab,
)
from genbg.paint.craft.solids.stage import Kind, Plane, Stage
from genbg.paint.craft.solids.view import Eye, Oblique, Sunward

__all__ = [
    "BOULDER",
    "CLIFF",
    "CROWN",
    "Chips",
    "Eye",
    "Facade",
    "Frame",
    "Kind",
    "Light",
    "Oblique",
    "Plane",
    "Seen",
    "Shadows",
    "Stage",
    "Stone",
    "Sunward",
    "beam",
    "bedded",
    "boulder",
    "box",
    "chips",
    "drawn_facade",
    "drum",
    "edge_tones",
    "gable_roof",
    "hanging_green",
    "hip_roof",
    "lighten",
    "look",
    "look_in_water",
    "prism",
    "pyramid",
    "ragged",
    "slab",
    "tones",
]
