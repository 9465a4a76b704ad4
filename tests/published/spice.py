"""Linear alternating-current networks at 60 Hz, solved by the circuit simulator ngspice.

The simulator is the outside world of the published tests: nothing here knows the program. A test
that needs it fails where it is not installed.
"""

import cmath
import math
import os
import re
import subprocess
import tempfile
from pathlib import Path

OMEGA = 2 * math.pi * 60
OPEN, SHUT = 1e12, 1e-9
KEEP_MEMORY = {"MALLOC_TOP_PAD_": str(2**26), "MALLOC_TRIM_THRESHOLD_": str(2**29)}
"""Without this the simulator gives memory back and asks for it again at every step."""
_NUMBER = r"([-+0-9.e]+),([-+0-9.e]+)"


class Found(dict):
    """Voltages by node; the simulator writes all names in small letters."""

    def __getitem__(self, node):
        return super().__getitem__(node.lower())


class Circuit:
    """A network of impedances, sources and ideal windings.

    Nodes are words, but not one of m, w, z and a number, which are its own; "0" is the zero.
    """

    def __init__(self):
        self.lines = []
        self.faults = []
        self.ammeters = {}

    def _next(self):
        return len(self.lines)

    def impedance(self, start, end, ohms):
        """A resistance and an inductance in series."""
        at = self._next()
        if ohms.imag == 0:
            self.lines.append(f"r{at} {start} {end} {ohms.real!r}")
            return
        self.lines.append(f"r{at} {start} m{at} {ohms.real!r}")
        self.lines.append(f"l{at} m{at} {end} {ohms.imag / OMEGA!r}")

    def source(self, plus, minus, volts):
        """A voltage source of this phasor."""
        size, angle = _polar(volts)
        self.lines.append(f"v{self._next()} {plus} {minus} dc 0 ac {size!r} {angle!r}")

    def current(self, start, end, amperes):
        """A current source that drives this phasor from one node through itself to the other."""
        size, angle = _polar(amperes)
        self.lines.append(f"i{self._next()} {start} {end} dc 0 ac {size!r} {angle!r}")

    def winding(self, plus, minus, of_plus, of_minus, turns):
        """An ideal secondary: `turns` times the voltage between two nodes of the primary."""
        at = self._next()
        self.lines.append(f"v{at} {plus} w{at} dc 0 ac 0")
        self.lines.append(f"e{at} w{at} {minus} {of_plus} {of_minus} {turns!r}")
        # current that leaves `plus` enters the primary by `of_plus`
        self.lines.append(f"f{at} {of_plus} {of_minus} v{at} {-turns!r}")

    def ammeter(self, name, start, end):
        """A joint whose current is reported."""
        at = self._next()
        self.lines.append(f"v{at} {start} {end} dc 0 ac 0")
        self.ammeters[name] = f"v{at}"

    def fault(self, *nodes):
        """Prepare a fault between these nodes, open until `fault_amperes` shuts it."""
        at = self._next()
        self.lines.append(f"v{at} {nodes[0]} z{at} dc 0 ac 0")
        shorts = [f"r{at}x{i}" for i in range(1, len(nodes))]
        for short, node in zip(shorts, nodes[1:], strict=True):
            self.lines.append(f"{short} z{at} {node} {OPEN:g}")
        self.faults.append((f"v{at}", shorts))

    def volts(self):
        """Voltage phasors of all nodes, and the currents of the ammeters by name."""
        with tempfile.TemporaryDirectory() as folder:
            raw = Path(folder) / "out.raw"
            self._run(["set filetype=ascii", "ac lin 1 60 60", f"write {raw}"])
            found = _read(raw.read_text(encoding="ascii"))
        amperes = {name: found[f"i({at})"] for name, at in self.ammeters.items()}
        volts = {
            name[2:-1]: value
            for name, value in found.items()
            if name.startswith("v(") and not re.fullmatch(r"v\([mwz]\d+\)", name)
        }
        return Found({"0": 0j, **volts}), amperes

    def fault_amperes(self):
        """Current of each prepared fault by itself [A], in one run of the simulator."""
        script = ["set numdgt=12"]
        for meter, shorts in self.faults:
            script += [f"alter {short} = {SHUT:g}" for short in shorts]
            script += ["ac lin 1 60 60", f"print i({meter})", "destroy all"]
            script += [f"alter {short} = {OPEN:g}" for short in shorts]
        printed = self._run(script)
        found = re.findall(rf"^i\(v\d+\) = {_NUMBER}", printed, re.MULTILINE)
        assert len(found) == len(self.faults)
        return [complex(float(real), float(imag)) for real, imag in found]

    def _run(self, script):
        text = ["network", *self.lines, ".control", *script, "quit", ".endc", ".end", ""]
        done = subprocess.run(
            ["ngspice", "-n", "-b", "/dev/stdin"], input="\n".join(text), text=True,
            capture_output=True, check=False, timeout=60, env=os.environ | KEEP_MEMORY,
        )  # fmt: skip
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout


def _polar(phasor):
    return float(abs(phasor)), math.degrees(cmath.phase(phasor))


def _read(raw):
    """Vectors of an ascii raw file of one frequency."""
    head, values = raw.split("Values:\n")
    names = re.findall(r"^\t\d+\t(\S+)\t", head, re.MULTILINE)
    numbers = [
        complex(*map(float, line.split()[-1].split(","))) for line in values.splitlines() if line
    ]
    return dict(zip(names, numbers, strict=True))
