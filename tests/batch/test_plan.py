"""What a batch is asked for: seeds, lists of values, names, keys."""

from __future__ import annotations

import dataclasses
import shlex

import pytest

from genbg.batch.plan import (
    check_names,
    parse_seeds,
    parse_vary,
    plan_batch,
    slugs,
    split_values,
    value_of,
    variant_key,
    variant_preset,
)
from genbg.errors import PresetError


def test_seeds_are_runs_in_the_order_asked() -> None:
    """Numbers and ranges mix, and only their ends are kept."""
    seeds = parse_seeds("7, 1-3,20-21")
    assert list(seeds) == [7, 1, 2, 3, 20, 21]
    assert len(seeds) == 6
    assert len(parse_seeds("1-10000000")) == 10_000_000


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "give numbers and ranges"),
        ("1-", "give numbers and ranges"),
        ("-3", "give numbers and ranges"),
        ("1;2", "give numbers and ranges"),
        ("5-3", "from the smaller number to the larger"),
        ("9223372036854775808", "up to 2\\^63-1"),
        ("1-10000001", "takes 10000000 at most"),
    ],
)
def test_wrong_seeds_are_told(text: str, says: str) -> None:
    """Each slip has its own message, which names the option."""
    with pytest.raises(PresetError, match=rf"--seeds: .*{says}"):
        parse_seeds(text)


def test_doubled_seeds_are_dropped_and_told() -> None:
    """Each seed is made once, where it stands first; the count of doubled ones is that of a set."""
    for text in ("1-4,3", "5,1-9,3-12,7", "3-4,1-8,2-3", "7,7,7"):
        told: list[str] = []
        seeds = list(parse_seeds(text, told))
        ends = [[int(end) for end in part.split("-")] for part in text.split(",")]
        asked = [seed for run in ends for seed in range(run[0], run[-1] + 1)]
        assert sorted(seeds) == sorted(set(asked))
        assert len(told) == 1
        assert f"{len(asked) - len(set(asked))} of them asked for twice" in told[0]


def test_doubled_values_and_presets_are_dropped_and_told(ebb) -> None:
    """Values count as equal where TOML means the same, presets where they are one file."""
    plan = plan_batch(["ebb.toml", "./ebb.toml"], "1", ['title=a,"a",b', "layer.1.snow=0,0.5,0"])
    assert [source.asked for source in plan.sources] == ["ebb.toml"]
    assert [vary.values for vary in plan.lists] == [("a", "b"), ("0", "0.5")]
    assert len(plan.dropped) == 3
    assert len(plan) == 4
    assert len({variant.name for variant in plan}) == 4
    with pytest.raises(PresetError, match=r"--vary: title.*is given twice"):
        plan_batch(["ebb.toml"], "1", ["title=a", "title=b"])


def test_a_mood_that_a_preset_lacks_is_told_first(ebb) -> None:
    """The plan names the preset, the value and what is right, before anything is made."""
    (ebb.parent / "flood.toml").write_text(ebb.read_text() + '[mood.night]\ntint = "#000000"\n')
    plan = plan_batch(["ebb.toml", "flood.toml"], "1-2", ["mood=home,night"])
    assert len(plan.wrong) == 1
    assert "ebb.toml: its variants with mood=night can't be made" in plan.wrong[0]


def test_varied_values_keep_their_types(ebb) -> None:
    """Numbers are numbers, lists lists; what JSON has no word for stays a text."""
    lists = ["layer.1.snow=0.5", "machine.tile_budget=40", "title=Low water", "mood=home"]
    (variant,) = plan_batch(["ebb.toml"], "1", lists)
    assert variant.values == {
        "layer.1.snow": 0.5,
        "machine.tile_budget": 40,
        "title": "Low water",
        "mood": "home",
    }
    assert value_of("seed", "1979-05-27") == "1979-05-27"
    assert value_of("x", "[1, [2.5, true]]") == [1, [2.5, True]]
    assert value_of("x", "inf") == "inf"


def test_values_are_split_outside_quotes_and_brackets() -> None:
    """Commas within a TOML value do not part it."""
    assert split_values('1, [2,3],"a,b",{c = 1, d = 2}') == [
        "1",
        "[2,3]",
        '"a,b"',
        "{c = 1, d = 2}",
    ]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("mood", "give a key and its values"),
        ("=1,2", "give a key and its values"),
        ("mood=", "give a key and its values"),
        ("mood=a,,b", "give a key and its values"),
        ("seed=1,2", "seeds are given with --seeds"),
    ],
)
def test_wrong_lists_are_told(text: str, says: str) -> None:
    """Each slip has its own message."""
    with pytest.raises(PresetError, match=rf"--vary: .*{says}"):
        parse_vary(text)


def test_a_plan_counts_what_it_yields(ebb) -> None:
    """The last list turns fastest but for seeds; names differ; every command can be split again."""
    plan = plan_batch(["ebb.toml"], "1-3", ["machine.tile_budget=40,48", "layer.1.snow=0,0.5"])
    variants = list(plan)
    assert len(variants) == len(plan) == 12
    assert len({variant.name for variant in variants}) == 12
    assert [variant.name for variant in variants[:4]] == [
        "ebb-1-40-0",
        "ebb-2-40-0",
        "ebb-3-40-0",
        "ebb-1-40-0.5",
    ]
    words = shlex.split(variants[0].command("still"))
    assert words[:5] == ["genbg", "make", "ebb.toml", "--seed", "1"]
    made = variant_preset(variants[3].source, 1, variants[3].varied)
    assert made.machine.tile_budget == 40
    assert made.layers[1].params.snow == 0.5


def test_values_without_letters_get_numbers() -> None:
    """Values that would give no or equal names are numbered."""
    assert slugs(("night", "Dusk 2")) == ("night", "dusk_2")
    assert slugs(("[1,2]", "[1.2]", "[1_2]")) == ("v1", "v2", "v3")


def test_names_of_folders_cannot_meet() -> None:
    """Presets of one name, or whose variants could share a name, are refused."""
    check_names(["ebb", "flood"])
    for pair in (["ebb", "ebb"], ["ebb", "ebb-1"]):
        with pytest.raises(PresetError, match="would share names of folders"):
            check_names(pair)


def test_a_list_of_wrong_values_only_is_refused(ebb) -> None:
    """A key that no preset has stops the batch before it begins; one bad value does not."""
    with pytest.raises(PresetError, match=r'machine\.tile_budgt.*did you mean "tile_budget"'):
        plan_batch(["ebb.toml"], "1", ["machine.tile_budgt=40,48"])
    assert len(plan_batch(["ebb.toml"], "1", ["machine.tile_budget=0,48"])) == 2


def test_keys_follow_what_a_variant_is_made_from(ebb) -> None:
    """Seed, values, previews and pictures each change the key, and nothing else does."""
    one, two = list(plan_batch(["ebb.toml"], "1-2", []))
    keys = {
        variant_key(one, "still", {}),
        variant_key(two, "still", {}),
        variant_key(one, "all", {}),
        variant_key(one, "still", {"hills.png": "a1"}),
        variant_key(dataclasses.replace(one, varied=(("mood", "home"),)), "still", {}),
    }
    assert len(keys) == 5
    again = next(iter(plan_batch(["ebb.toml"], "1-2", [])))
    assert variant_key(again, "still", {}) in keys
