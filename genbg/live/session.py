"""What happens while the page is open: saves and turned controls come in, looks go out."""

from __future__ import annotations

import asyncio
import dataclasses
import os
import secrets
import shutil
import signal
from collections.abc import AsyncIterator, Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import active_children, get_context
from pathlib import Path
from typing import Any

from genbg.errors import GenbgError
from genbg.live.builds import Builder, Look, State, finish
from genbg.live.guard import new_token
from genbg.live.rewrite import rewrite
from genbg.live.watch import saved
from genbg.reading.bundled import bundled_folder

HALF_SAVED_S = 0.08
"""A file with a fault may be half saved: so long is waited for the rest before it is told."""
AWAKE_S = 0.25
"""How often a waiting stream looks whether the server is to end."""
TRIES = 3
"""How often a look is begun whose process is killed, by the system for want of memory say."""
KILLED = (
    "the process that finishes the picture was ended from outside, again and again; "
    "this is a first look, and the next save tries once more"
)
GONE = "the preset's file is gone; save a copy"
BUNDLED = "this preset came with the program and can't be changed; save a copy and change that"


class Session:
    """The builder, those who watch it, and what is to be done."""

    def __init__(self, source: str, say: Callable[[str], None] = lambda text: None):
        self.source, self.say = source, say
        self.builder = Builder(source)
        self.serial = self.number = 0
        self.state = self.numbered(self.builder.state)
        self.token = new_token()
        self.turned: dict[str, Any] = {}
        self.version = 1
        self.told = asyncio.Condition()
        self.wake, self.unfinished, self.stop = asyncio.Event(), asyncio.Event(), asyncio.Event()
        self.pool = new_pool()

    @property
    def why_not(self) -> str:
        """Why the preset's file can't be written; empty where it can."""
        path = self.builder.path
        folder = bundled_folder()
        if folder is not None and folder.resolve() in path.resolve().parents:
            return BUNDLED
        if not path.is_file():
            return GONE
        return "" if os.access(path, os.W_OK) else "the preset's file is read-only"

    async def work(self) -> None:
        """Repaint, finish and watch until `stop`."""
        self.unfinished.set()
        jobs = [self.repaint_on_wake(), self.finish_looks(), self.watch()]
        tasks = [asyncio.create_task(job) for job in jobs]
        try:
            await self.stop.wait()
        finally:
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
            self.pool.shutdown(wait=False, cancel_futures=True)
            for child in active_children():  # nobody waits for a picture that nobody will see
                child.terminate()

    async def watch(self) -> None:
        """Ask for a repaint whenever a file was saved; values that are in it now are not turned."""
        async for _ in saved(lambda: self.state.files, self.stop):
            self.wake.set()

    async def repaint_on_wake(self) -> None:
        """Take a first look whenever asked to; only the last wish counts."""
        while True:
            await self.wake.wait()
            self.wake.clear()
            self.serial += 1
            state = await asyncio.to_thread(self.builder.repaint, dict(self.turned))
            if state.faults and await self.comes_more():
                continue
            await self.tell(state)
            if not state.faults:
                self.unfinished.set()

    async def comes_more(self) -> bool:
        """Return whether another wish comes within a moment."""
        try:
            await asyncio.wait_for(self.wake.wait(), HALF_SAVED_S)
        except TimeoutError:
            return False
        return True

    async def finish_looks(self) -> None:
        """Finish the newest look in the other process; drop it where a newer one has come."""
        while True:
            await self.unfinished.wait()
            self.unfinished.clear()
            serial, turned = self.serial, dict(self.turned)
            made = await self.finish_look(turned)
            if serial == self.serial and not self.wake.is_set() and not self.state.faults:
                await self.tell(self.finished(made))

    async def finish_look(self, turned: dict[str, Any]) -> Look | tuple[str, ...]:
        """Return the finished look or its faults; another process follows one that is killed."""
        loop = asyncio.get_running_loop()
        for _ in range(TRIES):
            try:
                return await loop.run_in_executor(self.pool, finish, self.source, turned)
            except BrokenProcessPool:
                self.pool.shutdown(wait=False)
                self.pool = new_pool()
        return (KILLED,)

    def finished(self, made: Look | tuple[str, ...]) -> State:
        """Return the state with a finished look, or with what kept it from being finished."""
        if isinstance(made, Look):
            return dataclasses.replace(self.state, look=made)
        return dataclasses.replace(self.state, faults=made)

    def numbered(self, state: State) -> State:
        """Return a state whose look has a number of its own where it has not been shown yet."""
        if state.look.number:
            return state
        self.number += 1
        look = dataclasses.replace(state.look, number=self.number)
        return dataclasses.replace(state, look=look)

    async def tell(self, state: State) -> None:
        """Let everybody who watches know a state."""
        if state.faults != self.state.faults:
            for text in state.faults or ("mended",):
                self.say(text)
        async with self.told:
            self.state = self.builder.state = self.numbered(state)
            self.version += 1
            self.told.notify_all()

    async def states(self) -> AsyncIterator[State | None]:
        """Yield the state now and after each change; None now and then, while nothing changes."""
        seen = 0
        while not self.stop.is_set():
            if seen == self.version:
                try:
                    async with asyncio.timeout(AWAKE_S), self.told:
                        await self.told.wait()
                except TimeoutError:
                    yield None
                    continue
            seen = self.version
            yield self.state

    def turn(self, turned: Any) -> None:
        """Take values that a person turned; raises PresetError where they are none of ours."""
        self.turned = self.builder.known(turned)
        self.wake.set()

    def text_with(self, turned: Any) -> str:
        """Return the preset's text as it stands in the file now, with turned values in place."""
        text = self.builder.path.read_bytes().decode("utf-8")
        return rewrite(text, self.builder.known(turned), self.builder.path.parent)

    def write(self, turned: Any) -> None:
        """Write turned values into the preset's file; raises GenbgError where that can't be."""
        if self.why_not:
            raise GenbgError(self.why_not)
        replace_text(self.builder.path.resolve(), self.text_with(turned))
        self.turned = {}
        self.wake.set()


def replace_text(path: Path, text: str) -> None:
    """Put a text in a file's place whole or not at all; its permissions stay."""
    draft = path.with_name(f".{path.name}.genbg-{secrets.token_hex(8)}")
    try:
        draft.write_bytes(text.encode())
        shutil.copymode(path, draft)
        draft.replace(path)
    finally:
        draft.unlink(missing_ok=True)


def new_pool() -> ProcessPoolExecutor:
    """Return one process that finishes looks; Ctrl-C is for the server alone."""
    return ProcessPoolExecutor(1, mp_context=get_context("spawn"), initializer=ignore_interrupt)


def ignore_interrupt() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
