"""Small letters for pictures that explain: 7 pixels high, 2 below the line, their own bitmap.

A bitmap of our own, because letters drawn by a library change their pixels with its version, and
the same backdrop has to give the same bytes. Each letter is rows of up to 5 bits, from the top down
in hexadecimal, the left pixel in the highest bit; empty columns at both sides are not kept, so
letters are as wide as they are. Letters with marks are drawn without; what is missing is a "?".
"""

from __future__ import annotations

import functools
import unicodedata

import numpy as np

HEIGHT = 9
"""Lines that a text takes at scale 1, with the 2 below the line that letters stand on."""
BITS = 5
SPACE_PX = 3
GAP_PX = 1

LETTERS = """
A 0E 11 11 1F 11 11 11       B 1E 11 11 1E 11 11 1E       C 0E 11 10 10 10 11 0E
D 1E 11 11 11 11 11 1E       E 1F 10 10 1E 10 10 1F       F 1F 10 10 1E 10 10 10
G 0E 11 10 17 11 11 0F       H 11 11 11 1F 11 11 11       I 07 02 02 02 02 02 07
J 01 01 01 01 01 11 0E       K 11 12 14 18 14 12 11       L 10 10 10 10 10 10 1F
M 11 1B 15 15 11 11 11       N 11 19 15 13 11 11 11       O 0E 11 11 11 11 11 0E
P 1E 11 11 1E 10 10 10       Q 0E 11 11 11 15 12 0D       R 1E 11 11 1E 14 12 11
S 0F 10 10 0E 01 01 1E       T 1F 04 04 04 04 04 04       U 11 11 11 11 11 11 0E
V 11 11 11 11 11 0A 04       W 11 11 11 15 15 1B 11       X 11 11 0A 04 0A 11 11
Y 11 11 0A 04 04 04 04       Z 1F 01 02 04 08 10 1F
a 00 00 0E 01 0F 11 0F       b 10 10 1E 11 11 11 1E       c 00 00 07 08 08 08 07
d 01 01 0F 11 11 11 0F       e 00 00 0E 11 1F 10 0E       f 03 04 0E 04 04 04 04
g 00 00 0F 11 11 11 0F 01 0E h 10 10 1E 11 11 11 11       i 04 00 04 04 04 04 04
j 01 00 01 01 01 01 01 01 02 k 10 10 12 14 18 14 12       l 04 04 04 04 04 04 04
m 00 00 1A 15 15 15 15       n 00 00 1E 11 11 11 11       o 00 00 0E 11 11 11 0E
p 00 00 1E 11 11 11 1E 10 10 q 00 00 0F 11 11 11 0F 01 01 r 00 00 0B 0C 08 08 08
s 00 00 0F 10 0E 01 1E       t 04 04 0E 04 04 04 03       u 00 00 11 11 11 11 0F
v 00 00 11 11 11 0A 04       w 00 00 11 11 15 15 0A       x 00 00 11 0A 04 0A 11
y 00 00 11 11 11 11 0F 01 0E z 00 00 1F 02 04 08 1F
0 0E 11 13 15 19 11 0E       1 04 0C 04 04 04 04 0E       2 0E 11 01 06 08 10 1F
3 0E 11 01 06 01 11 0E       4 02 06 0A 12 1F 02 02       5 1F 10 1E 01 01 11 0E
6 06 08 10 1E 11 11 0E       7 1F 01 02 04 04 08 08       8 0E 11 11 0E 11 11 0E
9 0E 11 11 0F 01 02 0C       . 00 00 00 00 00 00 04       , 00 00 00 00 00 00 04 04 08
: 00 00 04 00 00 00 04       ; 00 00 04 00 00 00 04 04 08 - 00 00 00 0E 00 00 00
+ 00 00 04 0E 04 00 00       / 01 01 02 04 08 10 10       ( 02 04 04 04 04 04 02
) 08 04 04 04 04 04 08       % 19 19 02 04 08 13 13       ! 04 04 04 04 04 00 04
? 0E 11 01 02 04 00 04       ' 04 04 00 00 00 00 00       " 0A 0A 00 00 00 00 00
# 0A 0A 1F 0A 1F 0A 0A       & 0C 12 14 08 15 12 0D       = 00 00 1F 00 1F 00 00
_ 00 00 00 00 00 00 1F       * 00 0A 04 0A 00 00 00       – 00 00 00 1F 00 00 00
"""


@functools.cache
def letters() -> dict[str, np.ndarray]:
    """Return {letter: (9, width) bool}."""
    table: dict[str, np.ndarray] = {}
    words = iter(LETTERS.split())
    letter, rows = next(words), list[int]()
    for word in [*words, ""]:
        if len(word) == 2:
            rows.append(int(word, 16))
            continue
        table[letter] = letter_mask(rows)
        letter, rows = word, []
    return table


def letter_mask(rows: list[int]) -> np.ndarray:
    """Return rows of bits as (9, width) bool without empty columns at the sides."""
    rows = rows + [0] * (HEIGHT - len(rows))
    mask = (np.array(rows)[:, None] >> np.arange(BITS - 1, -1, -1) & 1).astype(bool)
    used = np.flatnonzero(mask.any(axis=0))
    return mask[:, used[0] : used[-1] + 1]


@functools.lru_cache(maxsize=512)
def text_mask(text: str, scale: int = 1) -> np.ndarray:
    """Return a line of text as (9 * scale, width) bool, True where it is inked.

    scale: pixels to a pixel of the letters
    """
    table = letters()
    parts = [np.zeros((HEIGHT, 0), dtype=bool)]
    gap = np.zeros((HEIGHT, GAP_PX), dtype=bool)
    for letter in plain_text(text):
        if letter.isspace():
            parts.append(np.zeros((HEIGHT, SPACE_PX), dtype=bool))
        else:
            parts += [table.get(letter, table["?"]), gap]
    mask = np.concatenate(parts, axis=1)
    return mask.repeat(scale, axis=0).repeat(scale, axis=1)


def plain_text(text: str) -> str:
    """Return a text without the marks over and under its letters."""
    apart = unicodedata.normalize("NFKD", text)
    return "".join(letter for letter in apart if not unicodedata.combining(letter))
