"""The command line: reads options, calls one function, reports.

Each command imports what it needs in its own body, so that `genbg --help` loads click and nothing
else that is slow to start. `run` is the only place that turns errors into an exit status: 0 done,
1 the work failed or a check does not hold, 2 the command line or the preset is wrong, 130 stopped
by Ctrl-C. No error ends in a traceback; GENBG_TRACEBACK=1 in the environment asks for one.
"""

from __future__ import annotations

import contextlib
import gc
import os
import signal
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NoReturn

import click

from genbg import __version__
from genbg.errors import GenbgError, PresetError, printable

INTERRUPTED = 130
"""Exit status after Ctrl-C: 128 and the number of the signal, as shells have it."""
PROGRESS_AFTER_S = 1.0
"""Work shorter than this shows no progress bar."""
RATE_EVERY_S = 0.5
"""How often a batch says how it goes."""
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
"""Variables that hold numpy's products to one thread unless the user says otherwise: ours are many
and small, so that threads cost more in waking up and waiting than they gain."""
BUILD_SHARE = 0.6
"""Share of `make` that building takes; writing takes the rest."""


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="genbg", message="%(prog)s %(version)s")
def commands() -> None:
    """Layered level backdrops for 16-bit tile consoles, painted and fitted from one preset file."""


@commands.command(short_help="Paint, fit and export one backdrop.")
@click.argument("preset")
@click.option("--seed", type=int, metavar="N", help="Seed to use instead of the preset's own.")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Folder of the export; out/<preset>-<seed> if absent.",
)
@click.option(
    "--set",
    "settings",
    multiple=True,
    metavar="KEY=VALUE",
    help="Change a key of the preset, as in machine.tile_budget=400 or layer.2.distance=6.",
)
@click.option("--no-preview", is_flag=True, help="Leave out the moving previews.")
@click.option("--video", is_flag=True, help="Also write breakdown.mp4; needs genbg[video].")
@click.option("--bound", is_flag=True, help="Also tell what error no merging goes below; slow.")
@click.option("-q", "--quiet", is_flag=True, help="Print nothing but errors.")
def make(
    preset: str,
    seed: int | None,
    out: Path | None,
    settings: tuple[str, ...],
    no_preview: bool,
    video: bool,
    bound: bool,
    quiet: bool,
) -> None:
    """Paint, fit and export one backdrop.

    PRESET is a file or the name of a bundled preset.
    """
    from genbg.pipeline import Way, build
    from genbg.reading import load_preset
    from genbg.report.summary import summary
    from genbg.write.draft import check_free
    from genbg.write.folder import write_export
    from genbg.write.target import target_path
    from genbg.write.video import need_encoder

    if video:
        need_encoder()
    asked = load_preset(preset, settings, seed)
    folder = out or Path("out") / f"{asked.name}-{asked.seed}"
    check_free(target_path(folder))
    with Progress(quiet) as progress:
        backdrop = build(asked, progress.part(0.0, BUILD_SHARE), Way(bound=bound))
        write_export(backdrop, folder, not no_preview, progress.part(BUILD_SHARE, 1.0), video)
    if not quiet:
        click.echo(summary(backdrop, folder))


@commands.command(short_help="Make many variants side by side.")
@click.argument("presets", metavar="PRESET...", nargs=-1, required=True)
@click.option("--seeds", required=True, metavar="1-100", help='Seeds: "1-100" or "3,7,20-25".')
@click.option(
    "--vary",
    "lists",
    multiple=True,
    metavar="KEY=A,B,C",
    help="Values that a key takes in turn, as in machine.tile_budget=320,400.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Folder of the batch; out/<preset>-batch if absent.",
)
@click.option("--jobs", type=click.IntRange(1, 1024), metavar="N", help="Processes; one a core.")
@click.option(
    "--cluster", metavar="ADDRESS", help="Dask scheduler to send the work to, tcp://HOST:PORT."
)
@click.option(
    "--previews",
    type=click.Choice(["none", "still", "all"]),
    default="still",
    show_default=True,
    help="none: a still of each; still: exports without moving previews; all: whole exports.",
)
@click.option(
    "--keep",
    type=click.IntRange(0, 1000),
    default=0,
    metavar="N",
    help="Also choose the N that score best and differ most.",
)
@click.option(
    "--replace", is_flag=True, help="Make again what no longer matches, as a preset has changed."
)
@click.option("-q", "--quiet", is_flag=True, help="Print nothing but errors.")
def batch(
    presets: tuple[str, ...],
    seeds: str,
    lists: tuple[str, ...],
    out: Path | None,
    jobs: int | None,
    cluster: str | None,
    previews: str,
    keep: int,
    replace: bool,
    quiet: bool,
) -> int:
    """Make presets x seeds x values, with a contact sheet and a line for each.

    What an interrupted run finished is not made again, and what the folder holds already stays.
    """
    from genbg.batch import run_batch
    from genbg.batch.plan import plan_batch
    from genbg.report.summary import batch_summary

    plan = plan_batch(presets, seeds, lists, previews)
    folder = out or Path("out") / f"{plan.sources[0].preset.name}-batch"
    with Rate(quiet) as rate:
        report = run_batch(plan, folder, jobs, cluster, keep, rate.tell, rate.say, replace)
    if not quiet:
        click.echo(batch_summary(report))
    elif report.failed:
        click.echo(batch_summary(report), err=True)
    return 1 if report.failed else 0


@commands.command(short_help="Check an export from its bytes alone.")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("-q", "--quiet", is_flag=True, help="Print only what does not hold.")
def check(folder: Path, quiet: bool) -> int:
    """Decode the export in DIR from its bytes alone and compare.

    Every file's hash, every limit of the machine, every frame of the preview. Prints one line for
    each thing that does not hold, and then ends with status 1. Where all holds, it repeats what
    the export warns of.
    """
    from genbg.check import check_export, stated_warnings

    if not folder.is_dir():
        raise click.UsageError(f"{folder}: is not a folder; DIR is the folder of an export")
    failed = check_export(folder)
    for line in failed:
        click.echo(printable(line))
    if not failed and not quiet:
        click.echo(f"{printable(str(folder))}: all holds")
        for text in stated_warnings(folder):
            click.echo(f"  warning: {printable(text)}")
    return 1 if failed else 0


@commands.command(short_help="Show a preset in the browser, painted anew at every save.")
@click.argument("preset")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=0,
    metavar="N",
    help="Port on 127.0.0.1; a free one if absent.",
)
@click.option("--no-browser", is_flag=True, help="Only tell the address.")
def live(preset: str, port: int, no_browser: bool) -> None:
    """Show a preset in the browser and paint it anew whenever it is saved.

    PRESET is a file or the name of a bundled preset. Ctrl-C ends it, with status 130.
    """
    from genbg.live import run_live

    run_live(preset, port, not no_browser, lambda text: click.echo(printable(text)))


@commands.command(short_help="List the bundled presets.")
def presets() -> None:
    """List the bundled presets, name and title."""
    from genbg.reading.bundled import list_bundled

    listed = list_bundled()
    if not listed:
        raise GenbgError("no bundled presets found; this copy of genbg is not complete")
    width = max(len(name) for name, _ in listed)
    for name, title in listed:
        click.echo(f"{name:<{width}}  {printable(title)}")


@commands.command(short_help="List the painters, or one with its keys.")
@click.argument("name", required=False)
def painters(name: str | None) -> None:
    """List the painters; with NAME tell its keys, limits, defaults, ramps and colours."""
    from genbg.report.catalogue import painter_list, painter_page

    for line in painter_list() if name is None else painter_page(name):
        click.echo(printable(line))


@commands.command(short_help="Write a commented starter preset.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--from", "source", metavar="PRESET", help="Bundled preset to copy instead.")
def new(file: Path, source: str | None) -> None:
    """Write a commented starter preset to FILE, which must not exist yet."""
    from genbg.reading.starter import write_starter

    write_starter(file, source)
    click.echo(f"{printable(str(file))}: written; try: genbg make {printable(str(file))}")


class Progress:
    """A progress bar on standard error, for work that takes longer than a moment.

    It is drawn only on a terminal, and the line is left empty afterwards.
    """

    def __init__(self, quiet: bool):
        self.wanted = not quiet and sys.stderr.isatty()
        self.began = time.monotonic()
        self.stack = contextlib.ExitStack()
        self.bar: Any = None
        self.done = 0

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *error: object) -> None:
        self.stack.close()

    def part(self, low: float, high: float) -> Callable[[str, float], None]:
        """A function for work that goes from `low` to `high` of the whole: told stage and share."""
        return lambda stage, share: self.tell(stage, low + (high - low) * share)

    def tell(self, stage: str, share: float) -> None:
        """Draw the bar at `share` of the whole, 0..1, with the name of what is being done."""
        if not self.wanted or time.monotonic() - self.began < PROGRESS_AFTER_S:
            return
        if self.bar is None:
            self.bar = self.stack.enter_context(
                click.progressbar(
                    length=100, file=sys.stderr, show_eta=False, item_show_func=str, width=30
                )
            )
        percent = min(max(round(share * 100), self.done), 100)
        self.bar.update(percent - self.done, stage)
        self.done = percent


class Rate:
    """A line on standard error that says how a batch goes: done, rate, time left.

    It is drawn only on a terminal, and the line is left empty afterwards.
    """

    def __init__(self, quiet: bool):
        self.quiet = quiet
        self.wanted = not quiet and sys.stderr.isatty()
        self.began = self.last = time.monotonic()

    def __enter__(self) -> Rate:
        return self

    def __exit__(self, *error: object) -> None:
        if self.wanted:
            click.echo("\r\x1b[K", err=True, nl=False)

    def tell(self, done: int, whole: int, found: int) -> None:
        """Say that `done` of `whole` variants are done, `found` of them by an earlier run."""
        now = time.monotonic()
        if not self.wanted or now - self.last < RATE_EVERY_S:
            return
        self.last = now
        rate = (done - found) / (now - self.began)
        left = f", {duration((whole - done) / rate)} left" if rate else ""
        click.echo(
            f"\r\x1b[K{done} of {whole} variants, {rate:.1f} a second{left}", err=True, nl=False
        )

    def say(self, text: str) -> None:
        """Tell a sentence on standard error."""
        if not self.quiet:
            erase = "\r\x1b[K" if self.wanted else ""
            click.echo(erase + printable(text), err=True)


def duration(seconds: float) -> str:
    """A time in words: 45 s, 12 min, 3 h 20 min."""
    minutes = round(seconds / 60)
    if seconds < 100:
        return f"{seconds:.0f} s"
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60} min"


def run(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; errors are told on standard error.

    arguments: without the program's name; None: those of the process
    """
    try:
        status = commands.main(arguments, prog_name="genbg", standalone_mode=False)
        sys.stdout.flush()
        return int(status or 0)
    except (KeyboardInterrupt, click.Abort):
        return _tell("Stopped; nothing was left half-written.", INTERRUPTED)
    except click.ClickException as error:
        return _tell_usage(error)
    except PresetError as error:
        return _tell(str(error), error.exit_status)
    except GenbgError as error:
        return _tell(f"Error: {printable(str(error))}", error.exit_status)
    except BrokenPipeError:
        _leave_stdout()
        return 1
    except Exception as error:
        return _tell_unexpected(error)


def _tell_usage(error: click.ClickException) -> int:
    """Tell what is wrong with the command line; what it holds is shown, not obeyed."""
    context = error.ctx if isinstance(error, click.UsageError) else None
    lines = [f"Error: {error.format_message()}"]
    if context is not None:
        hint = f"Try '{context.command_path} --help' for help."
        lines = [context.get_usage(), hint, "", *lines]
    shown = [printable(line) for line in "\n".join(lines).splitlines()]
    return _tell("\n".join(shown), error.exit_code)


def _tell_unexpected(error: Exception) -> int:
    """Tell of an error that is not our own in one line."""
    if os.environ.get("GENBG_TRACEBACK") == "1":
        import traceback

        traceback.print_exception(error)
        return 1
    if isinstance(error, OSError):
        place = f"{error.filename}: " if error.filename else ""
        return _tell(f"Error: {printable(place + (error.strerror or str(error)))}", 1)
    if isinstance(error, MemoryError):
        return _tell("Error: out of memory; a smaller plane or fewer preview frames need less", 1)
    what = printable(f"{type(error).__name__}: {error}")
    hint = "please report it with the preset; GENBG_TRACEBACK=1 shows where"
    return _tell(f"Error: internal error, {what}; {hint}", 1)


def _tell(text: str, status: int) -> int:
    with contextlib.suppress(OSError):
        click.echo(text, err=True)
    return status


def _leave_stdout() -> None:
    """Give standard output to nobody, so that closing it at exit can't fail once more."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def stop(number: int, frame: object) -> None:
    """End as Ctrl-C does; a second signal while that happens changes nothing."""
    signal.signal(number, signal.SIG_IGN)
    raise KeyboardInterrupt


def main() -> NoReturn:
    """Entry point of the `genbg` command."""
    for name in THREADS:
        os.environ.setdefault(name, "1")
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:  # a title must not stop a run on a terminal of few characters
            reconfigure(errors="backslashreplace")
    signal.signal(signal.SIGTERM, stop)
    status = run()
    gc.freeze()  # a program that ends need not look through its objects for garbage
    sys.exit(status)


if __name__ == "__main__":
    main()
