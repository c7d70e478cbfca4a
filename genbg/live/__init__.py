"""`genbg live`: a page that shows a preset's backdrop anew whenever the preset is saved.

controls.py   what a person can turn, read off the preset's keys
rewrite.py    turned values into the preset's text, with its comments and order kept
memo.py       results of costly stages, kept by what went into them
builds.py     preset -> first look -> finished backdrop, and what was last good
watch.py      which files changed
guard.py      who may ask: this machine's own page and nobody else
serve.py      the few addresses of the page
server.py     the server below them, with its time limits
page.py       the player page with what makes it live

What leaves this machine: nothing. What is written: the preset, when a person presses the button.
"""

from __future__ import annotations

from genbg.live.run import run_live

__all__ = ["run_live"]
