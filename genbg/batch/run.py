"""Runs a batch: what is not finished yet is made, then lines and contact sheets are written."""

from __future__ import annotations

import itertools
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from genbg.batch import contact, journal
from genbg.batch.art import Art
from genbg.batch.cluster import run_cluster
from genbg.batch.journal import Journal, is_whole, write_whole
from genbg.batch.judge import best_scored, choose_unlike, thumbnail
from genbg.batch.local import run_local
from genbg.batch.page import page_parts
from genbg.batch.plan import Plan, Variant
from genbg.batch.rows import failed_row, made_row, row_bytes
from genbg.batch.standing import Keys, hold_folder, look, need_match
from genbg.batch.versions import difference
from genbg.batch.work import Result, Task
from genbg.errors import FolderError
from genbg.images import picture_size, read_picture
from genbg.write.draft import Draft
from genbg.write.target import name_some, target_path

Tell = Callable[[int, int, int], None]
"""Told how many variants are done, how many there are, and how many were found finished."""

KEPT = "kept"
MOST_FAILURES = 1000
"""Failures that are remembered for the closing summary; all stand in variants.jsonl."""


Say = Callable[[str], None]
"""Told a sentence for the user."""


@dataclass
class BatchReport:
    """What a batch came to. failures: (name, why), the first `MOST_FAILURES`.

    lines: variants that the folder holds now; shown: how many of them the contact sheets show
    """

    folder: Path
    variants: int = 0
    made: int = 0
    found: int = 0
    failed: int = 0
    lines: int = 0
    shown: int = 0
    kept: list[str] = field(default_factory=list)
    failures: list[tuple[str, str]] = field(default_factory=list)


def run_batch(
    plan: Plan,
    folder: Path,
    jobs: int | None = None,
    cluster: str | None = None,
    keep: int = 0,
    tell: Tell | None = None,
    say: Say | None = None,
    replace: bool = False,
) -> BatchReport:
    """Make all variants of a plan in `folder`, and the lines and contact sheets of all it holds.

    jobs: processes; None: one a core. cluster: address of a Dask scheduler, instead of processes
    keep: also choose so many variants that score best and differ most
    replace: make again what no longer matches, instead of refusing

    Raises FolderError where the folder can't be used, ClusterError where the cluster can't be used;
    what is finished by then is kept, and the next run goes on from there.
    """
    say = say or _silent
    for text in (*plan.dropped, *plan.wrong):
        say(text)
    with hold_folder(folder), Journal(folder) as kept:
        work = Work(plan, folder, kept, tell, say, far=cluster is not None)
        work.look(replace)
        tasks = work.tasks()
        most = work.report.variants
        work.take(
            run_cluster(tasks, most, cluster, folder, work.art.bytes, say)
            if cluster
            else run_local(tasks, jobs or os.cpu_count() or 1)
        )
        kept.close_with(kept.in_order(variant.name for variant in plan))
        report = work.report
        lines = folder / journal.DONE
        if keep:
            report.kept = _choose(lines, folder, keep)
        else:
            _clear(folder, KEPT, 0)
        report.lines, report.shown = _show(lines, folder, set(report.kept))
    return report


def _silent(text: str) -> None:
    """Say nothing."""


class Work:
    """A batch that runs: what is to be made, what comes back, and what came of it."""

    def __init__(
        self, plan: Plan, folder: Path, kept: Journal, tell: Tell | None, say: Say, far: bool
    ):
        self.plan, self.folder, self.kept, self.say = plan, folder, kept, say
        self.tell = tell or (lambda *_: None)
        self.far = far
        self.art = Art(keep=far)
        self.keys = Keys(self.art)
        self.report = BatchReport(folder)
        self._again: list[tuple[Variant, str]] = []
        self._flying: dict[int, tuple[Variant, Task]] = {}
        self._failure: FolderError | None = None

    def look(self, replace: bool) -> None:
        """See what lies in the folder; raise FolderError where it no longer matches."""
        if self.kept.bad:
            self.say(
                f"{self.folder}: {self.kept.bad} damaged lines of finished variants; what they "
                "told of is made again"
            )
        found = look(self.plan, self.kept, self.keys)
        if not replace:
            need_match(found, self.folder)
        if found.lost:
            self.kept.drop(found.lost)
            self.say(
                f"{self.folder}: {name_some(found.lost)} of an earlier batch are no longer whole; "
                "their lines go"
            )
        self._again = found.again
        self.report.variants = len(self.plan) + len(self._again)

    def tasks(self) -> Iterator[Task]:
        """Yield what is to be made: all that is not there, whole and as it would be made today."""
        damaged: list[str] = []
        planned = ((variant, self.plan.previews) for variant in self.plan)
        for number, (variant, previews) in enumerate(itertools.chain(planned, self._again)):
            if self._failure:
                return
            row = self.kept.row(variant.name)
            known = row is not None and "error" not in row
            if known and row is not None and row["made_from"] == self.keys.of(variant, previews):
                if is_whole(self.folder, row):
                    self.report.found += 1
                    self._tell()
                    continue
                damaged.append(variant.name)
            task = self._task(number, variant, previews, variant.name in damaged[-1:])
            self._flying[number] = variant, task
            yield task
        if damaged:
            self.say(f"{self.folder}: {name_some(damaged)} not whole; made again")

    def take(self, results: Iterator[Result]) -> None:
        """Take in results as they come: files, then lines.

        Raises FolderError where the folder can't be used, a full disk for one. What processes of
        this machine have under way is waited for then, since it may still end well, and lines
        that found no room are tried once more, since the drafts that took it are gone.
        """
        for result in results:
            try:
                self._take_in(result)
            except FolderError as error:
                self._failure = self._failure or error
                if self.far:
                    break
            self._tell()
        if self._failure:
            self.kept.add_what_had_no_room()
            raise self._failure

    def _take_in(self, result: Result) -> None:
        variant, task = self._flying.pop(result.number)
        error = result.error or difference(result.versions)
        if result.fatal:
            raise FolderError(f"{error} (while making {variant.name})")
        if error:
            self.report.failed += 1
            if len(self.report.failures) < MOST_FAILURES:
                self.report.failures.append((variant.name, error))
            self.kept.add(failed_row(variant, task.previews, error))
        else:
            store(result, variant, task, self.folder)
            self.report.made += 1
            key = self.keys.of(variant, task.previews)
            self.kept.add(made_row(variant, key, task.previews, result))

    def _tell(self) -> None:
        report = self.report
        self.tell(report.made + report.found + report.failed, report.variants, report.found)

    def _task(self, number: int, variant: Variant, previews: str, damaged: bool) -> Task:
        """The task of a variant; for another machine it says which pictures it needs."""
        preset = variant.source.preset
        return Task(
            number,
            variant.source.asked,
            preset.name,
            preset.text,
            variant.settings,
            variant.seed,
            previews,
            folder=None if self.far else str(preset.folder.resolve()),
            art=tuple(self.art.of(variant).items()) if self.far else (),
            out=str((self.folder / variant.name).resolve()) if previews != "none" else None,
            damaged=damaged,
        )


def store(result: Result, variant: Variant, task: Task, folder: Path) -> None:
    """Put the files in place that a worker handed back."""
    if not result.files:
        return
    if task.previews == "none":
        stills = folder / journal.STILLS
        if stills.is_symlink():
            raise FolderError(f"{stills}: is a link; move it away or choose another --out")
        stills.mkdir(exist_ok=True)
        write_whole(stills / f"{variant.name}.png", [result.files[0][1]])
        return
    with Draft(target_path(folder / variant.name), damaged=task.damaged) as draft:
        for path, data in result.files:
            draft.write(path, data)
        draft.put_in_place()


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
    write_whole(folder / f"{KEPT}.jsonl", (row_bytes(row) for row in chosen))
    _draw(iter(chosen), folder, KEPT)
    return [row["name"] for row in chosen]


def _show(lines: Path, folder: Path, kept: set[str]) -> tuple[int, int]:
    """Draw contact.png and its further pages, and write contact.html.

    Returns how many variants there are, and how many of them the contact sheets show.
    """
    count = sum(1 for _ in journal.iter_rows(lines))
    shown = min(count, contact.MOST_SHOWN)
    _draw(journal.iter_rows(lines), folder, "contact")
    rows = (
        {**row, "kept": True} if row["name"] in kept else row for row in journal.iter_rows(lines)
    )
    write_whole(folder / "contact.html", page_parts(rows, shown))
    return count, shown


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
