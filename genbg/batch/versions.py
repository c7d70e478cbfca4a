"""What has to be the same wherever variants of one batch are made."""

from __future__ import annotations

import functools


@functools.cache
def versions() -> dict[str, str]:
    """Return the versions of what decides an export's bytes: genbg, numpy, Pillow, deflate."""
    import zlib

    import numpy

    from genbg import __version__
    from genbg.images import library_version

    return {
        "genbg": __version__,
        "numpy": numpy.__version__,
        "pillow": library_version(),
        "deflate": zlib.ZLIB_RUNTIME_VERSION,
    }


def difference(theirs: object) -> str:
    """Return how versions elsewhere differ from ours, as a phrase; "" where they do not."""
    known = theirs if isinstance(theirs, dict) else {}
    differ = [
        f"{name} {known.get(name, 'of no known version')} (here {version})"
        for name, version in versions().items()
        if known.get(name) != version
    ]
    return ", ".join(differ)
