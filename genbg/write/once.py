"""What was found out about a backdrop is kept for as long as somebody holds the backdrop."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import TypeVar
from weakref import WeakKeyDictionary

from genbg.model import Backdrop

T = TypeVar("T")


def once(find: Callable[[Backdrop], T]) -> Callable[[Backdrop], T]:
    """A function of a backdrop alone that looks only the first time.

    Several formats ask for the same. What it returns is shared, so nobody may change it.
    """
    known: WeakKeyDictionary[Backdrop, T] = WeakKeyDictionary()

    @functools.wraps(find)
    def found(backdrop: Backdrop) -> T:
        if backdrop not in known:
            known[backdrop] = find(backdrop)
        return known[backdrop]

    return found
