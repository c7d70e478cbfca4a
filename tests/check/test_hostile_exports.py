"""Exports that someone made to break the reader: every one ends in lines, none in an exception."""

from __future__ import annotations

import json
import struct
import subprocess
import sys
import zlib

import pytest
from forge import forge_file, forge_table, read_table, write_table
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from genbg.check import check_export

DEEP = "[" * 100_000


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"", "is not JSON"),
        (b"{", "is not JSON"),
        (b"\xff\xfe\x00", "is not JSON"),
        (b"null", "is not an object"),
        (b"[]", "is not an object"),
        (b'"text"', "is not an object"),
        (b"{}", 'the key "format" is missing'),
        (DEEP.encode(), "is not JSON"),
        (b'{"a": NaN}', "NaN is not a JSON number"),
        (b'{"a": -Infinity}', "-Infinity is not a JSON number"),
        (b'{"a": 1, "a": 2}', "the key 'a' stands twice"),
        (b'{"seed": ' + b"9" * 5000 + b"}", "is not JSON"),
        (b"\x00" * 100, "is not JSON"),
    ],
)
def test_a_manifest_that_is_none_is_one_clear_line(text, says, plain):
    """What is no JSON object is said so, and nothing else is looked at."""
    (plain / "backdrop.json").write_bytes(text)
    faults = check_export(plain)
    assert says in faults[0]
    assert all(fault.startswith("backdrop.json: ") for fault in faults)


@pytest.mark.parametrize(
    "path",
    [
        "../../etc/passwd",
        "/etc/passwd",
        "machine/../../x",
        "..",
        "",
        "a//b",
        "a\\b",
        "C:x",
        "a/./b",
        "machine/tiles.bin/",
        "machine/tiles.bin\n",
        "\ud800",
        ".hidden",
        "x" * 5000 + "\x00",
    ],
)
def test_a_path_that_leads_out_is_refused(path, plain, tmp_path):
    """A listed path names a plain file below the folder, or the manifest does not hold."""
    row = {"path": path, "bytes": 1, "sha256": "0" * 64}
    forge_table(plain, lambda table: table["files"].append(row))
    faults = check_export(plain)
    assert any("files[" in fault and ".path" in fault for fault in faults)


def test_a_name_too_long_for_the_disk_is_told(plain):
    """A path that the system itself refuses is one line."""
    row = {"path": "x" * 5000, "bytes": 1, "sha256": "0" * 64}
    forge_table(plain, lambda table: table["files"].append(row))
    assert check_export(plain)


def test_sizes_are_believed_only_within_reason(plain):
    """Sizes past any export's are refused before anything of them is read or made."""
    for bytes_ in (2**28 + 1, 10**12, -1, 1.5, True, "9", None):
        forge_table(plain, lambda table, bytes_=bytes_: table["files"][0].update(bytes=bytes_))
        assert any("files[0].bytes" in fault for fault in check_export(plain))
    forge_table(plain, lambda table: [row.update(bytes=2**28) for row in table["files"]])
    assert any("lists more than" in fault for fault in check_export(plain))


def test_a_manifest_too_large_is_not_read(plain):
    """A sparse file of 20 MiB in the manifest's place is refused by its size."""
    with open(plain / "backdrop.json", "wb") as file:
        file.truncate(20 << 20)
    assert check_export(plain) == [f"backdrop.json: {20 << 20} bytes are too many for a manifest"]


def test_a_file_listed_twice_is_told(plain):
    """Two rows of one path could say two things."""
    forge_table(plain, lambda table: table["files"].append(table["files"][0]))
    assert any("is listed twice" in fault for fault in check_export(plain))


def png(width, height, *chunks):
    """A PNG of a header and chunks (kind, body), CRCs right."""
    parts = [b"\x89PNG\r\n\x1a\n"]
    header = (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 3, 0, 0, 0))
    for kind, body in [header, *chunks]:
        parts.append(struct.pack(">I", len(body)) + kind + body)
        parts.append(struct.pack(">I", zlib.crc32(kind + body)))
    return b"".join(parts)


PLTE = (b"PLTE", bytes(192))
BOMB = (b"IDAT", zlib.compress(bytes(50_000_000), 9))
FEW = (b"IDAT", zlib.compress(bytes(100)))
MANY = (b"acTL", struct.pack(">II", 2**31 - 1, 0))
FRAME = (b"fcTL", struct.pack(">IIIIIHHBB", 0, 2**31 - 1, 2**31 - 1, 5, 5, 0, 0, 9, 9))
END = (b"IEND", b"")


@pytest.mark.parametrize("name", ["still.png", "preview.png", "sheet.png", "engine/00-hills.png"])
@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\x89PNG\r\n\x1a\n",
        png(20000, 20000, PLTE, BOMB, END),
        png(2**31 - 1, 2**31 - 1, PLTE, FEW, END),
        png(0, 0, PLTE, FEW, END),
        png(320, 224, PLTE, BOMB, END),
        png(320, 224, PLTE, FEW, END),
        png(320, 224, FEW),
        png(320, 224, MANY, FRAME, PLTE, FEW, END),
        png(320, 224, (b"IDAT", b"not zlib"), END),
        b"GIF89a\xff\xff\xff\xff\xff",
    ],
)
def test_a_hostile_picture_is_told(name, data, plain):
    """Cut off, lying about its size, or huge once unpacked: a line, and little memory."""
    forge_file(plain, name, data)
    assert any(fault.startswith(name) for fault in check_export(plain))


@pytest.mark.parametrize("name", ["machine/backdrop.s", "machine/backdrop.c", "machine/backdrop.h"])
@pytest.mark.parametrize(
    "data", [b"", b"\xff\xfe", b"backdrop_tiles:\n .short 9999999999\n", b"const " * 10000]
)
def test_hostile_source_is_told(name, data, plain):
    """Text that is none, numbers that do not fit, tables that are missing."""
    forge_file(plain, name, data)
    assert any(fault.startswith(name) for fault in check_export(plain))


@pytest.mark.parametrize(
    "data",
    [
        b"\xff",
        DEEP.encode(),
        b"[]",
        b'{"layers": 3}',
        b'{"screen": [1e999], "fps": 1e999, "camera_step": 0, "layers": [{}]}',
    ],
)
def test_hostile_layers_are_told(data, plain):
    """engine/layers.json is read with the same care as the manifest."""
    forge_file(plain, "engine/layers.json", data)
    assert any(fault.startswith("engine/layers.json: ") for fault in check_export(plain))


TAG = b'<script type="application/json" id="backdrop">'
TABLE = b"const uint16_t backdrop_a[] = {\n"


@pytest.mark.parametrize(
    ("path", "piece"), [("player.html", TAG), ("machine/backdrop.c", TABLE)], ids=["page", "source"]
)
def test_what_begins_again_and_again_and_never_ends_is_read_once(path, piece, plain):
    """18 MB of beginnings without an end are told as soon as they are read once.

    A reader that looks for the end of each from its beginning would need hours, so the check runs
    in a process of its own that is given up after a while.
    """
    forge_file(plain, path, piece * (18_000_000 // len(piece)))
    command = [sys.executable, "-m", "genbg.cli", "check", str(plain)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 1
    assert done.stdout.startswith(f"{path}: ")


def test_a_page_that_carries_too_much_is_told_in_few_lines(plain):
    """Of ten thousand strange files twenty are named, each in a short line."""
    carried = {f"{number}{'x' * 100}": "" for number in range(10_000)}
    text = json.dumps({"about": {}, "views": {}, "bytes": carried})
    forge_file(plain, "player.html", TAG + text.encode() + b"</script>")
    faults = check_export(plain)
    assert "player.html: and carries 9980 more" in faults
    assert all(len(fault) < 200 for fault in faults)


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.sampled_from([0, -1, 1, 255, 65536, 2**31, 2**63, 10**30, 0.5, -0.0, 1e308, "", "home"])
    | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=5,
)


def places(value, path=()):
    """Paths of all keys and items of a JSON value, its long lists by their first three."""
    items = list(value.items()) if isinstance(value, dict) else list(enumerate(value))[:3]
    for key, item in items:
        yield (*path, key)
        if isinstance(item, dict | list):
            yield from places(item, (*path, key))


@settings(
    max_examples=120,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_no_manifest_ends_in_an_exception(data, exports, full):
    """Any value in any place of a sealed manifest is told, or changes nothing that is checked."""
    table = json.loads(json.dumps(read_table(exports["full"])))
    path = data.draw(st.sampled_from(sorted(places(table), key=str)))
    at = table
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = data.draw(JSON)
    write_table(full, table)
    faults = check_export(full)
    assert all(isinstance(fault, str) and "\n" not in fault for fault in faults)


@settings(
    max_examples=30,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_no_bytes_end_in_an_exception(data, exports, full):
    """Any file cut, lengthened or changed anywhere, its hash made right, ends in lines."""
    path = data.draw(st.sampled_from([row["path"] for row in read_table(exports["full"])["files"]]))
    original = (exports["full"] / path).read_bytes()
    start = data.draw(st.integers(0, len(original)))
    end = data.draw(st.integers(start, min(len(original), start + 64)))
    forge_file(full, path, original[:start] + data.draw(st.binary(max_size=40)) + original[end:])
    check_export(full)
    forge_file(full, path, original)
