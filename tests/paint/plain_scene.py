"""What inks need of a preset, written by hand: its scene, and what lies below a line."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Scene:
    haze: str = "#ffffff"
    haze_half: float = 10.0
    backdrop: str = "#000000"


@dataclass(frozen=True)
class Below:
    """A mood, or what lies below a line."""

    tint: str = "#ffffff"
    amount: float = 0.0
    haze: str | None = None
    backdrop: str | None = None
    colours: dict = field(default_factory=dict)
    moods: dict = field(default_factory=dict)
