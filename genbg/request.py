"""What is asked for before anything is painted: preset, machine, which colours hold where."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.hardware.profile import Machine, machine_from
from genbg.model import BACK, FRONT
from genbg.model.zones import ZonePlan, plan_zones
from genbg.preset.tables import Layer, Preset

PLANES = {"front": FRONT, "back": BACK}


@dataclass(frozen=True, eq=False)
class Request:
    """preset: as checked; machine: what it runs on; zones: which colours hold on which lines"""

    preset: Preset
    machine: Machine
    zones: ZonePlan

    @property
    def window(self) -> tuple[int, int] | None:
        """Screen lines that the window covers."""
        keys = self.preset.window
        return None if keys is None else (keys.rows[0] * 8, keys.rows[1] * 8)

    @property
    def sprite_layers(self) -> tuple[Layer, ...]:
        """The layers that are drawn as sprites, by their numbers."""
        return tuple(layer for layer in self.preset.layers if layer.plane == "sprites")

    @property
    def moving_lines(self) -> int:
        """Lines that have a speed: those of the screen, or of planes that move vertically."""
        machine = self.machine
        return machine.screen[1] if machine.vertical == "none" else machine.plane_px[1]


def read_request(preset: Preset) -> Request:
    """What a checked preset asks for."""
    machine = machine_from(preset.machine)
    splits, mirror = [split.line for split in preset.splits], preset.reflection
    if mirror is None:
        return Request(preset, machine, plan_zones(machine.screen[1], splits))
    return Request(
        preset, machine, plan_zones(machine.screen[1], splits, mirror.line, mirror.plane)
    )
