"""Makes one variant: what runs in a worker process, here or on another machine."""

from __future__ import annotations

import dataclasses
import errno
import hashlib
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from genbg.batch.versions import versions
from genbg.errors import GenbgError

FATAL = frozenset(
    number
    for name in ("ENOSPC", "EDQUOT", "EROFS", "EACCES", "EMFILE", "ENFILE")
    if (number := getattr(errno, name, None)) is not None
)
"""Errors of the place to write to, which every further variant would meet too."""


@dataclass(frozen=True)
class Task:
    """Everything that a worker needs, in plain values.

    number: place in the plan; text: the preset; folder: where its pictures lie, or None where the
    worker was sent them, and `art` says which: (name in the preset, digest)
    out: folder to write the export to, or None: hand the files back
    previews: "none" (the still only), "still" or "all"
    damaged: an export of an earlier run lies in `out` and is not whole
    """

    number: int
    place: str
    name: str
    text: str
    settings: tuple[str, ...]
    seed: int
    previews: str
    folder: str | None = None
    art: tuple[tuple[str, str], ...] = ()
    out: str | None = None
    damaged: bool = False


@dataclass(frozen=True)
class Result:
    """What became of a task.

    figures: {} where it failed; sha256: of the manifest, or of the still where there is no export
    files: (path, bytes) where the task has no folder to write to
    error: why it failed, one line; fatal: every other variant would fail so too
    versions: what it was made with
    """

    number: int
    figures: dict[str, Any] = field(default_factory=dict)
    sha256: str = ""
    files: tuple[tuple[str, bytes], ...] = ()
    error: str = ""
    fatal: bool = False
    versions: dict[str, str] = field(default_factory=dict)


def run_task(task: Task, art: Mapping[str, bytes] | None = None) -> Result:
    """Make one variant; never raises but for a stop by the user.

    art: {digest: a picture} that a worker was sent
    """
    return dataclasses.replace(_result(task, art or {}), versions=versions())


def _result(task: Task, art: Mapping[str, bytes]) -> Result:
    try:
        return _make(task, art)
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


def _make(task: Task, art: Mapping[str, bytes]) -> Result:
    from genbg.batch.judge import judge
    from genbg.pipeline import build

    if task.folder is not None:
        backdrop = build(_preset(task, Path(task.folder), {}))
    else:
        with tempfile.TemporaryDirectory(prefix="genbg-art-") as drawer:
            backdrop = build(_preset(task, Path(drawer), art))
    figures = {
        "patterns_before": backdrop.tiles.before,
        "patterns": len(backdrop.tiles.pixels),
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

        folder = write_export(
            backdrop, Path(task.out), task.previews == "all", damaged=task.damaged
        )
        manifest = (folder / "backdrop.json").read_bytes()
        return Result(task.number, figures, hashlib.sha256(manifest).hexdigest())
    files = tuple(export_bytes(backdrop, task.previews == "all"))
    return Result(task.number, figures, hashlib.sha256(files[-1][1]).hexdigest(), files)


def _preset(task: Task, folder: Path, art: Mapping[str, bytes]) -> Any:
    """The task's checked preset; pictures that were sent are laid in `folder` first."""
    from genbg.reading import parse_preset

    for name, digest in task.art if task.folder is None else ():
        place = folder / name
        if digest in art and place.resolve().is_relative_to(folder.resolve()):
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(art[digest])
    return parse_preset(
        task.text,
        place=task.place,
        name=task.name,
        folder=folder,
        settings=task.settings,
        seed=task.seed,
    )


def _still(backdrop: Any) -> bytes:
    from genbg.screen.film import make_film
    from genbg.write.stills import frame_png

    return frame_png(make_film(backdrop, 1), 0)


def export_bytes(backdrop: Any, previews: bool) -> Iterator[tuple[str, bytes]]:
    """Every file of an export, the manifest last."""
    from genbg.write import manifest
    from genbg.write.table import export_files

    rows = []
    for path, data in export_files(backdrop, previews):
        rows.append(manifest.file_row(path, data))
        yield path, data
    yield manifest.NAME, manifest.manifest_bytes(backdrop, rows)
