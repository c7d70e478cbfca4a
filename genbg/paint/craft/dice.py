"""Random numbers drawn one after the other, for things that are built part by part.

Each number is a hash of a seed, of the names of what it is for and of how many came before, so a
house does not change when another one gets a chimney.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import numpy as np

from genbg.paint.craft.scatter import hash_words, unit

Item = TypeVar("Item")
LEAST, MOST = 64, 4096
"""Numbers that are made at once, as many again as were drawn: forms that branch draw thousands."""


class Dice:
    """A row of random numbers of its own for a seed and names."""

    def __init__(self, seed: int, *words: int | str):
        self.seed = hash_words(seed, *words)
        self._made = 0
        self._left: list[float] = []

    def part(self, *words: int | str) -> Dice:
        """Dice for a part, which do not depend on what was drawn here."""
        return Dice(self.seed, *words)

    def unit(self) -> float:
        """The next number in [0, 1), a multiple of 2**-24."""
        if not self._left:
            self._draw()
        return self._left.pop()

    def take(self, count: int) -> list[float]:
        """The next `count` numbers in [0, 1), as so many calls of `unit` would give them."""
        while len(self._left) < count:
            self._draw()
        found = self._left[: -count - 1 : -1]
        del self._left[-count:]
        return found

    def _draw(self) -> None:
        """Draw more: a few at first, twice as many each time."""
        count = min(MOST, max(LEAST, self._made))
        numbers = np.arange(self._made, self._made + count) + 1
        self._left = unit(self.seed, numbers)[::-1].tolist() + self._left
        self._made += count

    def between(self, low: float, high: float) -> float:
        """The next number in [low, high)."""
        return low + (high - low) * self.unit()

    def whole(self, low: int, high: int) -> int:
        """The next whole number, low and high included."""
        return low + int(self.unit() * (high - low + 1))

    def chance(self, share: float) -> bool:
        """True for that share of draws."""
        return self.unit() < share

    def choice(self, items: Sequence[Item]) -> Item:
        """One of the items, all as likely."""
        return items[int(self.unit() * len(items))]

    def bell(self) -> float:
        """About 0, mostly within 1, never beyond 2: the sum of four even numbers."""
        return self.unit() + self.unit() + self.unit() + self.unit() - 2.0

    def shuffled(self, items: Sequence[Item]) -> list[Item]:
        """The items in a drawn order (Fisher and Yates)."""
        row = list(items)
        for last in range(len(row) - 1, 0, -1):
            other = self.whole(0, last)
            row[last], row[other] = row[other], row[last]
        return row
