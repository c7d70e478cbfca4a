"""What the stages hand on: frozen dataclasses and the letters that name their axes.

Letters in shapes, the same everywhere:
  W, H   plane width and height in pixels       C, R   the same in cells
  N      lines of a layer (`bottom - top`)       K      inks (see-through not counted)
  M      moods                                   T      stored tiles
  L      screen lines                            F      preview frames
Arrays are indexed row first, `[y, x]`. Where a first or last axis of length 2 stands for the
planes, it is `FRONT, BACK`, as the machine's tables have it.

One file a stage, in the order of the pipeline: `painting.py`, `canvas.py`, `fit.py`, `stored.py`,
`motion.py`, `backdrop.py`. Beside them lie what several stages work out from a record: `zones.py`
(which colours hold on which lines), `inks.py` and `entries.py` (what an ink, an entry shows),
`perspective.py` (how far a layer moves).
"""

from __future__ import annotations

from genbg.model.backdrop import (
    Backdrop,
    EngineLayer,
    Label,
    Moves,
    Proof,
    ScreenColours,
    SpriteSet,
    Tiles,
)
from genbg.model.canvas import Canvas, CutSprites, PlanePicture
from genbg.model.figures import (
    AskedFigures,
    Border,
    ColourMotion,
    Depths,
    ErrorFigures,
    Fading,
    Figures,
    Flashes,
    Reflected,
)
from genbg.model.fit import Fit, reorder_entries
from genbg.model.motion import LineSpeeds, Motion, PlacedSprites, Preview, Split, Vertical, Wave
from genbg.model.painting import (
    BACK,
    FRONT,
    HOME,
    KEPT,
    MARKED,
    SHAPED,
    InkColours,
    PaintedLayer,
    Painting,
    RampUse,
)
from genbg.model.stored import Cells, Stored, StoredSprites

__all__ = [
    "BACK",
    "FRONT",
    "HOME",
    "KEPT",
    "MARKED",
    "SHAPED",
    "AskedFigures",
    "Backdrop",
    "Border",
    "Canvas",
    "Cells",
    "ColourMotion",
    "CutSprites",
    "Depths",
    "EngineLayer",
    "ErrorFigures",
    "Fading",
    "Figures",
    "Fit",
    "Flashes",
    "InkColours",
    "Label",
    "LineSpeeds",
    "Motion",
    "Moves",
    "PaintedLayer",
    "Painting",
    "PlacedSprites",
    "PlanePicture",
    "Preview",
    "Proof",
    "RampUse",
    "Reflected",
    "ScreenColours",
    "Split",
    "SpriteSet",
    "Stored",
    "StoredSprites",
    "Tiles",
    "Vertical",
    "Wave",
    "reorder_entries",
]
