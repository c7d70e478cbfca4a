"""The page of a batch, in a real browser: it sorts and filters, leads to players, and fits."""

from __future__ import annotations

import pytest

from genbg.batch.page import page_parts

LONG = "a-name-without-any-place-to-break-it-" * 4


def row(number: int, budget: float, preset: str = "ebb.toml", **more) -> dict:
    """A row as it stands in variants.jsonl, as far as the page reads it."""
    made = {"folder": f"ebb-{number}", "figures": {"score": number / 10, "ssim": 1, "patterns": 9}}
    return {
        "name": f"ebb-{number}",
        "preset": preset,
        "seed": number,
        "varied": {"machine.tile_budget": budget, "mood": "home" if number % 2 else "night"},
        "command": f"genbg make {preset}",
        **(more or made),
    }


ROWS = [
    row(1, 1000),
    row(2, 80.5),
    row(10, 9),
    row(9, 200, "flood.toml"),
    row(3, 80, error="it can't be made: " + LONG),
    {**row(4, 80), "name": LONG, "folder": None, "kept": True},
]


@pytest.fixture
def contact(browser, tmp_path):
    """The page, opened."""
    path = tmp_path / "contact.html"
    path.write_bytes(b"".join(page_parts(iter(ROWS), 4)))
    page = browser.new_page()
    page.goto(path.as_uri())
    yield page
    page.close()


def shown(page) -> list[str]:
    return page.locator("#grid h2 span").all_inner_texts()


def test_numbers_sort_as_numbers(contact) -> None:
    """Budgets by size, not by their digits; so the digits within names."""
    contact.select_option("#sort", "machine.tile_budget")
    contact.set_checked("#down", False)
    assert shown(contact) == ["ebb-10", "ebb-3", LONG, "ebb-2", "ebb-9", "ebb-1"]
    contact.select_option("#sort", "name")
    assert shown(contact) == [LONG, "ebb-1", "ebb-2", "ebb-3", "ebb-9", "ebb-10"]


def test_every_varied_key_the_preset_and_failures_filter(contact) -> None:
    """Each has a list of what there is; they hold together."""
    contact.select_option("[data-key='machine.tile_budget']", "80")
    assert sorted(shown(contact)) == sorted([LONG, "ebb-3"])
    contact.select_option("#state", "failed")
    assert shown(contact) == ["ebb-3"]
    contact.select_option("[data-key='machine.tile_budget']", "")
    contact.select_option("#state", "made")
    contact.select_option("[data-key=mood]", '"home"')
    contact.select_option("[data-key=preset]", '"flood.toml"')
    assert shown(contact) == ["ebb-9"]


def test_cards_lead_to_the_player(contact) -> None:
    """Those of exports do, those of stills and failures lead nowhere."""
    links = contact.locator("#grid a").evaluate_all("all => all.map(a => a.getAttribute('href'))")
    assert sorted(links) == sorted(f"ebb-{n}/player.html" for n in (1, 2, 9, 10))


def test_the_limit_of_contact_pages_is_said(contact) -> None:
    """As many variants stand on contact.png and its pages as are told."""
    assert "show the first 4 of 6 variants" in contact.locator("#sheets").inner_text()


@pytest.mark.parametrize("width", [320, 360, 414, 768, 1280, 2560])
def test_nothing_overflows(contact, width: int) -> None:
    """The page never scrolls sideways, and no card's content is wider than the card."""
    contact.set_viewport_size({"width": width, "height": 800})
    wide = contact.evaluate(
        "() => [document.documentElement.scrollWidth - innerWidth,"
        " ...[...document.querySelectorAll('#grid li, #grid li *, form *')]"
        ".map(e => e.getBoundingClientRect().right - innerWidth)]"
    )
    assert max(wide) <= 0
    cards = contact.evaluate(
        "() => [...document.querySelectorAll('#grid li')].map(e => e.scrollWidth - e.clientWidth)"
    )
    assert max(cards) <= 0
