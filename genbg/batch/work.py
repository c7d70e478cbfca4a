"""Makes one variant: what runs in a worker process, here or on another machine."""

from __future__ import annotations

import errno
import hashlib
import tempfile
from collections.abc import Iterator
from dataclasses import field
from pathlib import Path
from typing import Any

from genbg.errors import GenbgError
from genbg.records import record

FATAL = frozenset(
    number
    for name in ("ENOSPC", "EDQUOT", "EROFS", "EACCES", "EMFILE", "ENFILE")
    if (number := getattr(errno, name, None)) is not None
)
"""Errors of the place to write to, which every further variant would meet too."""


@record(frozen=True)
class Task:
    """Everything that a worker needs, in plain values.

    number: place in the plan; text: the preset; folder: where its pictures lie, or None where they
    come along in `art`; out: folder to write the export to, or None: hand the files back
    previews: "none" (the still only), "still" or "all"
    """

    number: int
    place: str
    name: str
    text: str
    settings: tuple[str, ...]
    seed: int
    previews: str
    folder: str | None = None
    art: dict[str, bytes] = field(default_factory=dict)
    out: str | None = None


@record(frozen=True)
class Result:
    """What became of a task.

    figures: {} where it failed; sha256: of the manifest, or of the still where there is no export
    files: (path, bytes) where the task has no folder to write to
    error: why it failed, one line; fatal: every other variant would fail so too
    """

    number: int
    figures: dict[str, Any] = field(default_factory=dict)
    sha256: str = ""
    files: tuple[tuple[str, bytes], ...] = ()
    error: str = ""
    fatal: bool = False


def run_task(task: Task) -> Result:
    """Make one variant; never raises but for a stop by the user."""
    try:
        return _make(task)
    except GenbgError as error:
        cause = error.__cause__
        fatal = isinstance(cause, OSError) and cause.errno in FATAL
        return Result(task.number, error=one_line(str(error)), fatal=fatal)
    except OSError as error:
        text = f"{error.filename or task.name}: {error.strerror or error}"
        return Result(task.number, error=one_line(text), fatal=error.errno in FATAL)
    except MemoryError:
        return Result(task.number, error="out of memory")
    except Exception as error:
        return Result(
            task.number, error=one_line(f"internal error, {type(error).__name__}: {error}")
        )


def one_line(text: str) -> str:
    return "; ".join(text.splitlines())


def _make(task: Task) -> Result:
    from genbg.batch.judge import judge
    from genbg.pipeline import build

    if task.folder is not None:
        backdrop = build(_preset(task, Path(task.folder)))
    else:
        with tempfile.TemporaryDirectory(prefix="genbg-art-") as drawer:
            backdrop = build(_preset(task, Path(drawer)))
    figures = {
        "patterns_before": backdrop.tiles.before,
        "patterns": len(backdrop.tiles.patterns),
        "budget": backdrop.tiles.budget,
        "oklab_mse": backdrop.proof.error.oklab_mse,
        "ssim": backdrop.proof.error.ssim,
        "seam": backdrop.proof.error.seam,
        **judge(backdrop),
        "warnings": len(backdrop.warnings),
    }
    if task.previews == "none":
        still = _still(backdrop)
        digest = hashlib.sha256(still).hexdigest()
        return Result(task.number, figures, digest, (("still.png", still),))
    if task.out is not None:
        from genbg.write.folder import write_export

        folder = write_export(backdrop, Path(task.out), task.previews == "all")
        manifest = (folder / "backdrop.json").read_bytes()
        return Result(task.number, figures, hashlib.sha256(manifest).hexdigest())
    files = tuple(export_bytes(backdrop, task.previews == "all"))
    return Result(task.number, figures, hashlib.sha256(files[-1][1]).hexdigest(), files)


def _preset(task: Task, folder: Path) -> Any:
    """The task's checked preset; pictures that came along are laid in `folder` first."""
    from genbg.preset import parse_preset

    for name, data in task.art.items():
        place = folder / name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(data)
    return parse_preset(
        task.text,
        place=task.place,
        name=task.name,
        folder=folder,
        settings=task.settings,
        seed=task.seed,
    )


def _still(backdrop: Any) -> bytes:
    from genbg.write.film import make_film
    from genbg.write.stills import frame_png

    return frame_png(make_film(backdrop, 1), 0)


def export_bytes(backdrop: Any, previews: bool) -> Iterator[tuple[str, bytes]]:
    """Every file of an export, the manifest last."""
    from genbg.write import manifest
    from genbg.write.table import export_files

    rows = []
    for path, data in export_files(backdrop, previews):
        rows.append((path, len(data), hashlib.sha256(data).hexdigest()))
        yield path, data
    yield manifest.NAME, manifest.manifest_bytes(backdrop, rows)
