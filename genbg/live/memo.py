"""Results of costly pure functions, kept by the bytes of what went into them.

Two calls with the same function and equal arguments are one call. The key is a hash of the pickled
arguments, so there is nothing to invalidate. What pickling can't see, a file that an argument only
names, must not go through here; `builds.py` sees to it.
"""

from __future__ import annotations

import hashlib
import pickle
import threading
from collections import OrderedDict
from collections.abc import Callable
from typing import Any, cast

from genbg.way import P, R

KEEP = 96
"""Results kept; the one that was not asked for the longest goes first."""


class Memo:
    """Calls functions, or returns what the same call returned before."""

    def __init__(self, keep: int = KEEP):
        self.keep = keep
        self.results: OrderedDict[bytes, Any] = OrderedDict()
        self.lock = threading.Lock()
        self.hits = 0

    def call(self, function: Callable[P, R], /, *arguments: P.args, **named: P.kwargs) -> R:
        """Return `function(*arguments, **named)`."""
        key = key_of(function, (*arguments, *sorted(named.items())))
        if key is None:
            return function(*arguments, **named)
        with self.lock:
            if key in self.results:
                self.results.move_to_end(key)
                self.hits += 1
                return cast(R, self.results[key])
        result = function(*arguments, **named)
        with self.lock:
            self.results[key] = result
            while len(self.results) > self.keep:
                self.results.popitem(last=False)
        return result


def key_of(function: Callable[..., Any], arguments: tuple[Any, ...]) -> bytes | None:
    """Return the key of a call; None where the arguments can't be pickled."""
    try:
        data = pickle.dumps(arguments, protocol=5)
    except (pickle.PicklingError, TypeError, AttributeError):
        return None
    name = f"{function.__module__}.{function.__qualname__}"
    return hashlib.blake2b(data, digest_size=20, person=b"genbg", key=name.encode()[-64:]).digest()
