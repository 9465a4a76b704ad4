"""A screen of its own for a test: a server without a monitor, a window manager, keys and mouse."""

import os
import shutil
import struct
import subprocess
import time
from pathlib import Path

import numpy as np

TOOLS = ("Xvfb", "openbox", "xdotool")
_WIDTH, _HEIGHT = 1280, 800


def until(holds, what, seconds=10.0):
    """Wait until something holds, and give what it gave; fail with words where it never does."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        got = holds()
        if got:
            return got
        time.sleep(0.03)
    raise AssertionError(f"waited in vain until {what}")


class Screen:
    """Starts the server and the window manager; `close` ends them with all that was started."""

    def __init__(self, folder: Path) -> None:
        missing = [tool for tool in TOOLS if shutil.which(tool) is None]
        assert not missing, f"not installed: {', '.join(missing)}"
        self._started: list[subprocess.Popen] = []
        self._folder = folder
        folder.mkdir()
        # no settings, journals or look of the person who runs the test
        self.environment = {
            "PATH": os.environ["PATH"],
            "HOME": str(folder),
            "XDG_CONFIG_HOME": str(folder / "config"),
            "XDG_DATA_HOME": str(folder / "data"),
            "XDG_RUNTIME_DIR": str(folder),
            "LANG": "C.UTF-8",
            "QT_QPA_PLATFORM": "xcb",
        }
        told, tells = os.pipe()
        # a server that may reset does so when its last client leaves, and the manager goes with it
        self.start(
            "Xvfb", "-displayfd", str(tells), "-screen", "0", f"{_WIDTH}x{_HEIGHT}x24",
            "-fbdir", str(folder), "-nolisten", "tcp", "-noreset", pass_fds=(tells,),
        )  # fmt: skip
        os.close(tells)
        with os.fdopen(told) as lines:
            self.environment["DISPLAY"] = f":{lines.readline().strip()}"
        self.start("openbox", "--sm-disable")
        # a window that opens before there is a manager never gets the keyboard
        try:
            until(lambda: int(self._xdotool("get_num_desktops") or 0), "a window manager is there")
        except AssertionError:
            self.close()
            raise

    def start(self, *command: str, **options) -> subprocess.Popen:
        log = (self._folder / f"{Path(command[0]).name}.log").open("ab")
        with log:
            process = subprocess.Popen(
                command, env=self.environment, stdout=log, stderr=log, **options
            )
        self._started.append(process)
        return process

    def log_of(self, program: str) -> str:
        return (self._folder / f"{program}.log").read_text()

    def close(self) -> None:
        for process in reversed(self._started):
            process.kill()
            process.wait()

    def _xdotool(self, *words: str) -> str:
        done = subprocess.run(
            ["xdotool", *words], env=self.environment, capture_output=True, text=True, check=False
        )
        return done.stdout.strip()

    def title(self) -> str:
        """Give the title of the window that has the keyboard."""
        return self._xdotool("getactivewindow", "getwindowname")

    def wait_for(self, words: str) -> None:
        until(lambda: words in self.title(), f'a window has "{words}" in its title', 20)

    def key(self, *keys: str) -> None:
        self._xdotool("key", "--clearmodifiers", *keys)

    def write(self, text: str) -> None:
        self._xdotool("type", "--delay", "5", text)

    def move(self, x: float, y: float) -> None:
        self._xdotool("mousemove", str(round(x)), str(round(y)))

    def click(self, x: float, y: float) -> None:
        self._xdotool("mousemove", str(round(x)), str(round(y)), "click", "1")

    def drag(self, start, end) -> None:
        """Press, move in steps as a hand does, and let go."""
        (x0, y0), (x1, y1) = start, end
        words = ["mousemove", str(round(x0)), str(round(y0)), "sleep", "0.1", "mousedown", "1"]
        for step in range(1, 11):
            x, y = x0 + (x1 - x0) * step / 10, y0 + (y1 - y0) * step / 10
            words += ["mousemove", str(round(x)), str(round(y)), "sleep", "0.03"]
        self._xdotool(*words, "sleep", "0.1", "mouseup", "1")

    def pixels(self) -> np.ndarray:
        """Give what is on the screen: rows, columns, and red, green and blue from 0 to 255."""
        data = (self._folder / "Xvfb_screen0").read_bytes()
        head = struct.unpack(">25I", data[:100])
        start = head[0] + 12 * head[19]
        width, height, line = head[4], head[5], head[12]
        rows = np.frombuffer(data[start : start + line * height], np.uint8)
        return rows.reshape(height, line // 4, 4)[:, :width, 2::-1]
