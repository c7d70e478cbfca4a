"""Processor cycles of instructions that ran, from their disassembly.

The times are those of the 68000's published instruction timing tables, typed here from memory, no
source at hand; multiplications and divisions count at their longest. The disassembly is that of
m68k-linux-gnu-objdump.
"""

from __future__ import annotations

import re

EA = {"reg": (0, 0), "ind": (4, 8), "post": (4, 8), "pre": (6, 10), "d16": (8, 12)}
EA |= {"idx": (10, 14), "absw": (8, 12), "absl": (12, 16), "imm": (4, 8)}
STORE = EA | {"pre": (4, 8)}
LEA = {"ind": 4, "d16": 8, "idx": 12, "absw": 8, "absl": 12}
IMMEDIATE = ("addi", "subi", "andi", "ori", "cmpi", "eori")
PLAIN = {"rts": 16, "rte": 20, "nop": 4, "swap": 4, "moveq": 4, "extw": 4, "extl": 4}
COUNTED = 9
"""Places that a shift by a register is taken for: as far as the compiled scroll routine shifts."""
LONGEST = {"mulu": 70, "muls": 70, "divu": 140, "divs": 158}


def read_listing(text: str) -> dict[int, tuple[str, str, int]]:
    """Return {address: (name, operands, bytes)} of what `objdump -d` prints."""
    lines = re.findall(r"^ *([0-9a-f]+):\t(?:[0-9a-f]{4} )+\s*(\S*) ?([^<\n]*)", text, re.M)
    found, starts = {}, [int(address, 16) for address, _, _ in lines] + [0]
    for place, (_, name, operands) in enumerate(lines):
        after = place + 1
        while after < len(lines) and not lines[after][1]:
            after += 1  # a line that only goes on with the words of the one above
        if name:
            found[starts[place]] = name, operands.strip(), starts[after] - starts[place]
    return found


def mode_of(operand: str) -> str:
    """Return which way an operand is addressed."""
    if operand.startswith("#"):
        return "imm"
    if "@(" in operand:
        return "idx" if "," in operand or ":" in operand else "d16"
    for end, mode in (("@+", "post"), ("@-", "pre"), ("@", "ind")):
        if operand.endswith(end):
            return mode
    if re.fullmatch(r"%(d|a|sp|fp)[0-7]?", operand) or "-%" in operand or "/" in operand:
        return "reg"
    return "absl"


def split(operands: str) -> list[str]:
    """Return the operands, commas in brackets left alone."""
    return re.split(r",(?![^(]*\))", operands) if operands else []


def cycles(name: str, operands: str, size: int, taken: bool) -> int:
    """Return the cycles of one instruction; taken: a branch that did not fall through."""
    if name in PLAIN:
        return PLAIN[name]
    parts = split(operands)
    modes = [mode_of(part) for part in parts]
    if re.fullmatch(r"db\w+", name):
        return 10 if taken else 14
    if match := re.fullmatch(r"b(ra|sr|[a-z]{2})(s|w)?", name):
        if match[1] in ("ra", "sr"):
            return 10 if match[1] == "ra" else 18
        return 10 if taken else (8 if size == 2 else 12)
    if name == "jsr":
        return LEA[modes[0]] + 12 - (2 if modes[0] == "idx" else 0)
    if name in ("lea", "pea"):
        return LEA[modes[0]] + (8 if name == "pea" else 0)
    base, wide = re.fullmatch(r"(.*?)([bwl])?", name).groups()
    long = wide == "l"
    if base == "movem":
        return movem(parts, modes, 8 if long else 4)
    if base == "btst":
        return 10 if modes[1] == "reg" else 8 + EA[modes[1]][0]
    if base in LONGEST:
        return LONGEST[base] + EA[modes[0]][0]
    if base in ("lsl", "lsr", "asl", "asr", "rol", "ror"):
        places = int(parts[0][1:]) if modes[0] == "imm" else COUNTED
        return (8 if long else 6) + 2 * places
    return moves_and_sums(base, parts, modes, long)


def movem(parts: list[str], modes: list[str], unit: int) -> int:
    """Return the cycles of a move of several registers."""
    stores = "%" in parts[0] and "@" not in parts[0]
    listed = parts[0] if stores else parts[1]
    count = 0
    for run in listed.split("/"):
        ends = [int(end) + 8 * (kind == "a") for kind, end in re.findall(r"%([da])(\d)", run)]
        count += ends[-1] - ends[0] + 1
    mode = modes[1] if stores else modes[0]
    return (8 if stores else 12) + unit * count + (4 if mode == "d16" else 0)


def moves_and_sums(base: str, parts: list[str], modes: list[str], long: bool) -> int:
    """Return the cycles of moves, sums, comparisons and what has one operand."""
    first, last = EA[modes[0]][long], modes[-1]
    if base in ("move", "movea"):
        return 4 + first + STORE[last][long]
    if base in ("addq", "subq"):
        if last == "reg":
            return 8 if long or parts[1].startswith(("%a", "%sp")) else 4
        return (12 if long else 8) + EA[last][long]
    if base in ("clr", "neg", "not", "st"):
        return (6 if long else 4) if last == "reg" else (12 if long else 8) + EA[last][long]
    if base == "tst":
        return 4 + first
    if base in IMMEDIATE:
        if last == "reg":
            return (14 if base == "cmpi" else 16) if long else 8
        return (12 if long else 8) + EA[last][long] + (0 if base == "cmpi" else (8 if long else 4))
    if base in ("adda", "suba", "cmpa"):
        plain = 6 if long or base == "cmpa" else 8
        return plain + first + (2 if long and base != "cmpa" and modes[0] in ("reg", "imm") else 0)
    assert base in ("add", "sub", "and", "or", "cmp", "eor"), base
    if last == "reg":
        slow = long and base != "cmp" and modes[0] in ("reg", "imm")
        return (6 if long else 4) + first + (2 if slow else 0)
    return (12 if long else 8) + EA[last][long]


def trace_cycles(trace: list[int], listing: dict[int, tuple[str, str, int]]) -> int:
    """Return the cycles of all instructions of a trace."""
    total = 0
    for at, following in zip(trace, [*trace[1:], -1], strict=True):
        name, operands, size = listing[at]
        total += cycles(name, operands, size, following != at + size)
    return total
