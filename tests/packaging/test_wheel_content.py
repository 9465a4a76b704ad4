"""The installed program holds what the tree holds: a static package list can forget one."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PLACES = {
    "core/ampacre": "ampacre",
    "gui/ampacre_gui": "ampacre_gui",
    "resources": "ampacre_resources",
    "samples": "ampacre_samples",
}


@pytest.fixture(scope="module")
def packed(tmp_path_factory) -> set[str]:
    """Names of the files in a wheel made from a copy of the tree, so that no old build helps."""
    tree = tmp_path_factory.mktemp("tree")
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    ).stdout.splitlines()  # fmt: skip
    for name in listed:
        if (ROOT / name).is_file():
            (tree / name).parent.mkdir(parents=True, exist_ok=True)
            (tree / name).write_bytes((ROOT / name).read_bytes())
    out = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "-w", out, tree],
        check=True, capture_output=True,
    )  # fmt: skip
    (wheel,) = out.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        return {name for name in archive.namelist() if ".dist-info/" not in name}


def test_the_wheel_holds_what_the_tree_holds(packed):
    tree = {
        f"{package}/{file.relative_to(ROOT / place).as_posix()}"
        for place, package in PLACES.items()
        for file in (ROOT / place).rglob("*")
        if file.is_file() and "__pycache__" not in file.parts and ".journal" not in file.suffixes
    }
    assert packed == tree
