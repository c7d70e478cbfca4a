"""The stages in order, on one page: preset -> paint -> planes -> quantize -> reduce -> scroll.

The seed enters with the preset and is split into one number for each layer, by the layer's name, so
that adding a layer does not repaint the others. Files are written by `write/`, which is not called
here.
"""

from __future__ import annotations

from genbg.backdrop import assemble
from genbg.errors import PresetError
from genbg.model import Backdrop
from genbg.paint.scene import paint_scene
from genbg.planes.canvas import compose_canvas
from genbg.preset import Preset
from genbg.quantize.sheet import fit_canvas
from genbg.reading import located
from genbg.reduce.store import store_canvas
from genbg.request import read_request
from genbg.screen.flash import tell_flashes
from genbg.scroll.memory import plan_colours
from genbg.scroll.motion import plan_motion
from genbg.way import Progress, Way

__all__ = ["Progress", "Way", "build"]


def build(preset: Preset, progress: Progress | None = None, way: Way | None = None) -> Backdrop:
    """Return the backdrop that a preset asks for; nothing is written.

    progress: told the stage that starts and the share done; way: absent, all is made anew

    Raises PresetError where layers contradict each other, LimitError where the machine is too
    small for what is asked.
    """
    try:
        return run_stages(preset, progress or (lambda stage, share: None), way or Way())
    except PresetError as error:
        raise located(preset, error) from error


def run_stages(preset: Preset, tell: Progress, way: Way) -> Backdrop:
    """Run the stages in order; their errors know no line of the preset's file."""
    request = read_request(preset)
    tell("paint", 0.0)
    scene = paint_scene(request, way.call)
    tell("planes", 0.4)
    canvas = compose_canvas(request, scene.layers)
    tell("quantize", 0.45)
    fit = fit_canvas(request, scene.inks, canvas, way.call, way.sketch)
    tell("reduce", 0.55)
    stored = store_canvas(request, scene.inks, canvas, fit, way)
    tell("scroll", 0.9)
    colours = plan_colours(request, scene.inks, stored)
    motion = plan_motion(request, scene.layers, stored.sprites, colours)
    backdrop = assemble(request, scene, canvas, stored, colours, motion)
    return backdrop if way.sketch else tell_flashes(backdrop)
