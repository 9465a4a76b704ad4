"""The program's entry: a command runs without Qt, anything else opens the editor."""

import ctypes
import gc
import os
import sys
from collections.abc import Mapping

from ampacre import cli

__all__ = ["main"]

# What Qt's X11 plugin links to and bare installations lack; without them Qt ends the process.
_X11_LIBRARIES = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-xinerama.so.0": "libxcb-xinerama0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
_ANY_LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
}


def main() -> int:
    """Run a command if the first argument is one or is an option, otherwise open the editor."""
    # what a study keeps is many objects and hardly a cycle: with its usual thresholds the collector
    # takes a third of the time of opening a large project, and finds nothing
    gc.set_threshold(100_000, 20, 50)
    argv = sys.argv[1:]
    if argv and (argv[0] in cli.COMMANDS or argv[0].startswith("-")):
        return cli.main(argv)
    trouble = _no_window(os.environ) if sys.platform == "linux" else ""
    if not trouble:
        try:
            from ampacre_gui import app  # noqa: PLC0415 - Qt is for windows only
        except ImportError as error:
            trouble = f"the window system cannot be loaded: {error}"
    if trouble:
        commands = ", ".join(cli.COMMANDS)
        print(f"ampacre: {trouble}", file=sys.stderr)
        print(f"These work without a window: ampacre {commands}.", file=sys.stderr)
        return cli.FAILED
    return app.run(argv)


def _no_window(environment: Mapping[str, str]) -> str:
    """Say why Qt could not open a window here; it would end the process without a word of help."""
    platform = environment.get("QT_QPA_PLATFORM", "")
    wayland, x11 = environment.get("WAYLAND_DISPLAY"), environment.get("DISPLAY")
    if not (platform or wayland or x11):
        return "there is no display to open a window on (DISPLAY is not set)"
    needed = dict(_ANY_LIBRARIES)
    if platform.startswith("xcb") or not (platform or wayland):
        needed |= _X11_LIBRARIES
    packages = [package for library, package in needed.items() if not _loads(library)]
    if packages:
        return (
            "the window system lacks libraries; on Debian and its kin install them with\n"
            f"  sudo apt install {' '.join(packages)}"
        )
    return ""


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True
