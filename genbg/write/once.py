"""What was found out about a backdrop is kept for as long as somebody holds the backdrop."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Generic, TypeVar
from weakref import WeakKeyDictionary

from genbg.model import Backdrop

T = TypeVar("T")


class Once(Generic[T]):
    """A function of a backdrop alone that looks only the first time.

    Several formats ask for the same. What it returns is shared, so nobody may change it.
    """

    def __init__(self, find: Callable[[Backdrop], T]):
        functools.update_wrapper(self, find)
        self.find = find
        self.known: WeakKeyDictionary[Backdrop, T] = WeakKeyDictionary()

    def __call__(self, backdrop: Backdrop) -> T:
        if backdrop not in self.known:
            self.known[backdrop] = self.find(backdrop)
        return self.known[backdrop]

    def tell(self, backdrop: Backdrop, found: T) -> None:
        """Let it know the answer, for a backdrop read back from files that lacks what it needs."""
        self.known[backdrop] = found


once = Once
