"""What can go wrong, split by who can cure it.

Everything that `genbg` raises on purpose is a `GenbgError`. `cli.py` is the only place that turns
one into an exit status; each class carries its own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace


class GenbgError(Exception):
    """Base of all errors of this package; `exit_status` is what the command line ends with."""

    exit_status = 1


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong in a preset.

    where: "file:line:column" or "--set", as exact as it is known
    key: dotted path of the key, such as "layer.2.distance" ("" for the file as a whole)
    value: the value as the user wrote it, already made printable ("" if there is none)
    says: what is wrong and what is allowed
    nearest: the nearest right name, or None
    """

    where: str
    key: str
    value: str
    says: str
    nearest: str | None = None

    def __str__(self) -> str:
        parts = [self.where]
        if self.key:
            parts.append(f"{self.key} = {self.value}" if self.value else self.key)
        text = ": ".join([*parts, self.says])
        return printable(f'{text}; did you mean "{self.nearest}"?' if self.nearest else text)


def printable(text: str) -> str:
    """A text for one line of a terminal: what can't be printed is shown as an escape."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


class PresetError(GenbgError):
    """The preset or the command line is wrong; whoever wrote the preset can cure it.

    `faults` holds every fault found, in the order of the file; the text shows the first `SHOWN`.
    """

    SHOWN = 100

    exit_status = 2

    def __init__(self, faults: Fault | str | list[Fault]):
        if isinstance(faults, str):
            faults = Fault("", "", "", faults)
        self.faults: tuple[Fault, ...] = tuple([faults] if isinstance(faults, Fault) else faults)
        lines = [str(fault).removeprefix(": ") for fault in self.faults[: self.SHOWN]]
        if len(self.faults) > self.SHOWN:
            lines.append(f"... and {len(self.faults) - self.SHOWN} more faults")
        super().__init__("\n".join(lines))

    def below(self, above: str) -> PresetError:
        """The same faults with their keys in the table `above`, such as "layer.2".

        Faults that have a place already keep their keys.
        """
        return PresetError(
            [
                fault
                if fault.where
                else replace(fault, key=".".join(filter(None, (above, fault.key))))
                for fault in self.faults
            ]
        )


class LimitError(GenbgError):
    """A limit of the machine or of the budget can't be met; a smaller wish cures it.

    what: the thing that is limited; got, limit: the two numbers; cure: what to change
    """

    exit_status = 2

    def __init__(self, what: str, got: float, limit: float, unit: str = "", cure: str = ""):
        self.what, self.got, self.limit, self.unit, self.cure = what, got, limit, unit, cure
        unit = f" {unit}" if unit else ""
        text = f"{what}: {got:g}{unit} asked, {limit:g}{unit} allowed"
        super().__init__(f"{text}; {cure}" if cure else text)


class BytesError(GenbgError):
    """Bytes do not say what they should: a field out of range, a truncated file, a failed check."""


class FolderError(GenbgError):
    """The place to write to can't be used; another --out cures it."""
