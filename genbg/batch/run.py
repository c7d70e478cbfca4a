"""Runs a batch: what is not finished yet is made, then lines and contact sheets are written."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from genbg.batch import contact, journal
from genbg.batch.cluster import run_cluster
from genbg.batch.journal import Journal, write_whole
from genbg.batch.judge import best_scored, choose_unlike, thumbnail
from genbg.batch.local import run_local
from genbg.batch.page import page_parts
from genbg.batch.plan import Plan, Variant, art_files, variant_key
from genbg.batch.work import Result, Task
from genbg.errors import FolderError
from genbg.images import picture_size, read_picture

Tell = Callable[[int, int, int], None]
"""Told how many variants are done, how many there are, and how many were found finished."""

KEPT = "kept"
MOST_FAILURES = 1000
"""Failures that are remembered for the closing summary; all stand in variants.jsonl."""


@dataclass
class BatchReport:
    """What a batch came to. failures: (name, why), the first `MOST_FAILURES`."""

    folder: Path
    variants: int = 0
    made: int = 0
    found: int = 0
    failed: int = 0
    kept: list[str] = field(default_factory=list)
    failures: list[tuple[str, str]] = field(default_factory=list)


def run_batch(
    plan: Plan,
    folder: Path,
    jobs: int | None = None,
    cluster: str | None = None,
    keep: int = 0,
    tell: Tell | None = None,
) -> BatchReport:
    """Make all variants of a plan in `folder`, and its lines and contact sheets.

    jobs: processes; None: one a core. cluster: address of a Dask scheduler, instead of processes
    keep: also choose so many variants that score best and differ most

    Raises FolderError where the folder can't be written, ClusterError where the cluster can't be
    used; what is finished by then is kept, and the next run goes on from there.
    """
    report = BatchReport(folder, variants=len(plan))
    make_folder(folder)
    with Journal(folder) as kept:
        failed = _work(plan, kept, report, jobs or os.cpu_count() or 1, cluster, tell)
        kept.close_with(_rows_in_order(plan, kept, failed))
    lines = folder / journal.DONE
    if keep:
        report.kept = _choose(lines, folder, keep)
    else:
        _clear(folder, KEPT, 0)
    _show(lines, folder, set(report.kept))
    return report


def make_folder(folder: Path) -> None:
    """Create a batch's folder. Raises FolderError where something of another kind lies there."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        present = {path.name for path in folder.iterdir()}
    except OSError as error:
        raise FolderError(f"{folder}: can't be used for a batch: {error.strerror}") from error
    if present and not present & {journal.DONE, journal.PART}:
        raise FolderError(
            f"{folder}: holds what no batch wrote ({sorted(present)[0]}); choose another --out"
        )
    if not present:
        journal.write_whole(folder / journal.PART, iter(()))
    for name in present:
        if name.endswith(".genbg-draft"):
            (folder / name).unlink(missing_ok=True)


class _Keys:
    """Keys of variants; the pictures of a preset are read once a choice of values."""

    def __init__(self, plan: Plan):
        self.plan = plan
        self.art: dict[tuple[int, tuple[tuple[str, str], ...]], bytes] = {}

    def of(self, variant: Variant) -> str:
        return variant_key(variant, self.plan.previews, self._digest(variant))

    def _digest(self, variant: Variant) -> bytes:
        found = (id(variant.source), variant.varied)
        if found not in self.art:
            if len(self.art) > 256:
                self.art.clear()
            digest = hashlib.sha256()
            for name, path in sorted(art_files(variant.source.preset).items()):
                digest.update(f"{name}\0".encode())
                digest.update(path.read_bytes() if path.is_file() else b"missing")
            self.art[found] = digest.digest()
        return self.art[found]


def _work(
    plan: Plan,
    kept: Journal,
    report: BatchReport,
    jobs: int,
    cluster: str | None,
    tell: Tell | None,
) -> dict[int, str]:
    """Make what is not finished; return {place in the plan: why} of what failed."""
    keys = _Keys(plan)
    flying: dict[int, Variant] = {}

    def tasks() -> Iterator[Task]:
        for number, variant in enumerate(plan):
            if kept.finished(keys.of(variant)) is not None:
                report.found += 1
                _told(report, tell)
                continue
            flying[number] = variant
            yield _task(number, variant, plan.previews, report.folder, cluster is not None)

    results = (
        run_cluster(tasks(), len(plan), cluster, report.folder)
        if cluster
        else run_local(tasks(), jobs)
    )
    failed: dict[int, str] = {}
    for result in results:
        variant = flying.pop(result.number)
        if result.fatal:
            raise FolderError(f"{result.error} (while making {variant.name})")
        if result.error:
            failed[result.number] = result.error
            report.failed += 1
            if len(report.failures) < MOST_FAILURES:
                report.failures.append((variant.name, result.error))
        else:
            _store(result, variant, plan.previews, report.folder)
            kept.add(_row(variant, keys.of(variant), plan.previews, result))
            report.made += 1
        _told(report, tell)
    return failed


def _told(report: BatchReport, tell: Tell | None) -> None:
    if tell is not None:
        tell(report.made + report.found + report.failed, report.variants, report.found)


def _task(number: int, variant: Variant, previews: str, folder: Path, far: bool) -> Task:
    """The task of a variant; for another machine with its pictures."""
    preset = variant.source.preset
    art = {}
    if far:
        root = preset.folder.resolve()
        for name, path in art_files(preset).items():
            if path.is_file() and path.resolve().is_relative_to(root):
                art[name] = path.read_bytes()
    return Task(
        number,
        variant.source.asked,
        preset.name,
        preset.text,
        variant.settings,
        variant.seed,
        previews,
        folder=None if far else str(preset.folder.resolve()),
        art=art,
        out=str((folder / variant.name).resolve()) if previews != "none" else None,
    )


def _store(result: Result, variant: Variant, previews: str, folder: Path) -> None:
    """Put the files in place that a worker handed back."""
    if not result.files:
        return
    if previews == "none":
        (folder / journal.STILLS).mkdir(exist_ok=True)
        write_whole(folder / journal.STILLS / f"{variant.name}.png", [result.files[0][1]])
        return
    from genbg.write.draft import Draft
    from genbg.write.target import target_path

    with Draft(target_path(folder / variant.name)) as draft:
        for path, data in result.files:
            draft.write(path, data)
        draft.put_in_place()


def _row(variant: Variant, key: str, previews: str, result: Result) -> dict[str, Any]:
    return {
        **_head(variant),
        "folder": None if previews == "none" else variant.name,
        "sha256": result.sha256,
        "made_from": key,
        "figures": result.figures,
        "command": variant.command,
    }


def _head(variant: Variant) -> dict[str, Any]:
    return {
        "name": variant.name,
        "preset": variant.source.asked,
        "seed": variant.seed,
        "varied": dict(variant.varied),
    }


def _rows_in_order(plan: Plan, kept: Journal, failed: dict[int, str]) -> Iterator[dict[str, Any]]:
    """Every variant's row, in the order of the plan."""
    keys = _Keys(plan)
    for number, variant in enumerate(plan):
        if number in failed:
            yield {**_head(variant), "error": failed[number], "command": variant.command}
            continue
        row = kept.row(keys.of(variant))
        assert row is not None
        yield row


def _choose(lines: Path, folder: Path, keep: int) -> list[str]:
    """Choose the best and most unlike variants; draw them and list them. Returns their names."""
    places = journal.offsets_of(lines)
    scored = (
        (row["figures"]["score"], number)
        for number, row in enumerate(journal.iter_rows(lines))
        if "error" not in row
    )
    best = best_scored(scored, keep)
    rows = list(journal.rows_at(lines, (places[number] for number in best)))
    thumbs = []
    for row in rows:
        path = contact.still_path(folder, row)
        thumbs.append(thumbnail(read_picture(path, picture_size(path))[..., :3]))
    chosen = [rows[place] for place in choose_unlike(thumbs, keep)]
    write_whole(folder / f"{KEPT}.jsonl", (journal.row_bytes(row) for row in chosen))
    _draw(iter(chosen), folder, KEPT)
    return [row["name"] for row in chosen]


def _show(lines: Path, folder: Path, kept: set[str]) -> None:
    """Draw contact.png and its further pages, and write contact.html."""
    _draw(journal.iter_rows(lines), folder, "contact")
    rows = (
        {**row, "kept": True} if row["name"] in kept else row for row in journal.iter_rows(lines)
    )
    write_whole(folder / "contact.html", page_parts(rows))


def _draw(rows: Iterator[dict[str, Any]], folder: Path, stem: str) -> None:
    count = 0
    for count, page in enumerate(contact.draw_pages(rows, folder), start=1):
        write_whole(folder / contact.page_name(count - 1, stem), [page])
    _clear(folder, stem, count)


def _clear(folder: Path, stem: str, pages: int) -> None:
    """Remove the pages of an earlier, longer batch."""
    if not pages:
        (folder / f"{stem}.jsonl").unlink(missing_ok=True)
    while (extra := folder / contact.page_name(pages, stem)).exists():
        extra.unlink()
        pages += 1
