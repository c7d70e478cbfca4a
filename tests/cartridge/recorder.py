"""Runs an image on the distribution's emulator, without a screen, and reads what it shows.

The package `mednafen` (with `-force_module md`) is the reference: nobody here wrote it. It records
every frame uncompressed into a QuickTime file, whose layout is read here by itself (QuickTime File
Format: atoms of a 32-bit size, or 64-bit where that is 1, and four letters).
"""

from __future__ import annotations

import os
import shutil
import signal
import struct
import subprocess
import time
from pathlib import Path

import numpy as np

WIDE, TALL = 1280, 448
"""Pixels of a recorded frame of 224 lines, whatever the screen's width."""
SPARE = 1 << 28
"""Bytes more than twice what is asked that a recording may grow to: an emulator whose test was
killed records on until then, and no longer."""
LOOK, PATIENCE = 0.05, 4000
"""Seconds between two looks at a recording, and looks after which it is given up."""


def find_emulator() -> str | None:
    """Return the emulator's program, None where the package is missing."""
    return shutil.which("mednafen") or shutil.which("mednafen", path="/usr/games")


def record(image: Path, frames: int, folder: Path) -> np.ndarray:
    """Return so many frames (F, 448, 1280, 3) uint8 from power-on, mapped from a file."""
    home, film = folder / "home", folder / "film.mov"
    home.mkdir(exist_ok=True)
    film.unlink(missing_ok=True)
    options = {
        "-force_module": "md",
        "-sound": "0",
        "-nothrottle": "1",
        "-video.frameskip": "0",
        "-video.driver": "softfb",
        "-qtrecord.vcodec": "raw",
        "-qtrecord": str(film),
    }
    flags = [word for pair in options.items() for word in pair]
    size = frames * WIDE * TALL * 3
    most = f"--fsize={2 * size + SPARE}"
    command = ["prlimit", most, "xvfb-run", "-a", str(find_emulator()), *flags, str(image)]
    running = subprocess.Popen(
        command,
        env={**os.environ, "HOME": str(home)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        wait_for(film, size, running)
    finally:
        end(running)
    return read_film(film, frames)


def wait_for(film: Path, size: int, running: subprocess.Popen) -> None:
    """Wait until a file has grown to a size; an error where its writer ends before."""
    for _ in range(PATIENCE):
        if film.exists() and film.stat().st_size >= size:
            return
        assert running.poll() is None, "the emulator ended"
        time.sleep(LOOK)
    raise TimeoutError("the emulator records nothing")


def end(running: subprocess.Popen) -> None:
    """End the emulator, its window server after it."""
    emulator = subprocess.run(
        ["ps", "-o", "pid=,comm=", "-g", str(running.pid)], capture_output=True, text=True
    ).stdout
    for line in emulator.splitlines():
        number, name = line.split(None, 1)
        if name.startswith("mednafen"):
            os.kill(int(number), signal.SIGINT)
    try:
        running.wait(20)
    except subprocess.TimeoutExpired:
        os.killpg(running.pid, signal.SIGKILL)
        running.wait()


def read_film(film: Path, frames: int) -> np.ndarray:
    """Return the first frames of a film whose pixels are stored as they are."""
    data = np.memmap(film, np.uint8, "r")
    start = 0
    while True:
        size, name = struct.unpack(">I4s", data[start : start + 8].tobytes())
        head = 8
        if size == 1:
            size, head = struct.unpack(">Q", data[start + 8 : start + 16].tobytes())[0], 16
        if name == b"mdat":
            break
        start += size
    return data[start + head : start + head + frames * TALL * WIDE * 3].reshape(
        frames, TALL, WIDE, 3
    )
