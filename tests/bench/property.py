"""A generated property of any size, for measurements and for tests that want a large one."""

import random

from study.build import Site, wires

from ampacre.model import records as r
from ampacre.model.project import Project

LEGS = {"120/240": 2, "120/208": 3}
PIECES_PER_SERVICE = 25


def make_property(pieces: int, seed: int = 0, per_service: int = PIECES_PER_SERVICE) -> Project:
    """A property of exactly this many pieces; the same seed gives the same property.

    Utility services with transformer and meter, long feeders to sub-panels in buildings of their
    own, dwellings, chargers in managed groups, motors, lights and heat, a noncoincident pair, a
    solar inverter, a standby generator, a customer transformer. About half of it is existing
    with known data, the rest new with everything left to the study. There is a service to every
    `per_service` pieces, or more where panels run full.
    """
    return _Maker(random.Random(f"{pieces} {seed}"), pieces, per_service).project()


class _Maker:
    def __init__(self, rng: random.Random, pieces: int, per_service: int) -> None:
        self.rng = rng
        self.wanted = pieces
        self.per_service = per_service
        self.site = Site(name=f"Property of {pieces} pieces")
        self.count = 0
        self.panels: list[str] = []
        self.spaces: dict[str, int] = {}
        self.system: dict[str, str] = {}
        self.chargers: list[str] = []
        self.motors: list[str] = []

    def project(self) -> Project:
        if self.wanted == 0:
            return self.site.project()
        while self.left:
            if self.count % self.per_service < 1 or not self.panels:
                self._service()
            else:
                self.rng.choices(
                    [self._feeder, self._load, self._charger, self._motor, self._dwelling,
                     self._solar, self._standby, self._transformer],
                    [15, 50, 9, 8, 2, 2, 1, 2],
                )[0]()  # fmt: skip
        for at in range(0, len(self.chargers) - 3, 4):
            self.site.group(
                r.ManagedGroup, f"g{at}", *self.chargers[at : at + 4], limit_a=60.0, listed=True,
                access_restricted=True, fail_safe_a=6.0,
            )  # fmt: skip
        if len(self.motors) > 1:
            self.site.group(r.NoncoincidentGroup, "apart", *self.motors[:2])
        return self.site.project()

    @property
    def left(self) -> int:
        return self.wanted - self.count

    def _add(self, kind, source=None, run=None, **fields):
        key = f"{kind.__name__.lower()}{self.count:05d}"
        if kind is not r.UtilitySource:
            fields.setdefault("since", self.rng.choice([None, r.WORK]))
        self.count += 1
        if run is not None:
            run = {"since": fields["since"], **run}
        return self.site.add(kind, key, source, run, **fields)

    def _room(self, spaces):
        """A panel with this many spaces left, and the spaces: down one side, then the other."""
        recent = self.panels[-12:]
        for panel in self.rng.sample(recent, min(4, len(recent))):
            first = self.spaces[panel]
            if first % 2 and first + 2 * (spaces - 1) > 42:
                first = 2
            taken = tuple(first + 2 * at for at in range(spaces))
            if taken[-1] <= 42:
                self.spaces[panel] = taken[-1] + 2
                return panel, taken
        return None

    def _panel(self, key, system):
        self.panels.append(key)
        self.spaces[key] = 1
        self.system[key] = system

    def _service(self):
        system = "120/208" if self.rng.random() < 0.15 else "120/240"
        source = self._add(r.UtilitySource)
        if not self.left:
            return
        bus = {"role": "utility", "owner": "utility", "protected_at": "none", "length_m": 0.0}
        unit = self._add(
            r.Transformer, source, bus, owner="utility", system=system, since=None,
            kva=self.rng.choice([100.0, 167.0]), impedance_pct=1.7,
            impedance_basis="nameplate",
        )  # fmt: skip
        if not self.left:
            return
        run = {"role": "service", "protected_at": "none", "length_m": self.rng.uniform(10, 60)}
        known = {"conductors": wires("500", "350", "1/0", "al"), "raceway": "pvc"}
        meter = self._add(r.Meter, unit, run | known, since=None, class_a=400.0)
        if self.left:
            main = r.Device(rating_a=400.0, interrupting_ka=22.0)
            key = self._add(
                r.Panel, meter, run | known | {"length_m": 0.0}, since=None, bus_a=400.0, main=main,
                spaces=42, neutral_bonded=True,
            )  # fmt: skip
            self._panel(key, system)

    def _run(self, taken, legs, low_m, high_m, *, role="branch"):
        run = {"role": role, "spaces": taken, "length_m": self.rng.uniform(low_m, high_m)}
        if self.rng.random() < 0.5:
            return run
        size, rating = ("4/0", 225.0) if role == "feeder" else ("10", 30.0)
        neutral = size if role == "feeder" or legs == 1 else "none"
        return run | {
            "conductors": wires(size, neutral, "8", "cu"),
            "device": r.Device(rating_a=rating, interrupting_ka=10.0),
            "raceway": self.rng.choice(["pvc", "steel", "direct burial"]),
        }

    def _feeder(self):
        found = self._room(2)
        if found is None:
            return self._service()
        panel, taken = found
        legs = LEGS[self.system[panel]]
        if legs == 3:
            taken = taken[:1]
            run = {"role": "feeder", "length_m": self.rng.uniform(20, 90)}
        else:
            run = self._run(taken, legs, 10, 60, role="feeder")
        key = self._add(r.Panel, panel, run, spaces=42, basis=self.rng.choice([None, "general"]))
        self._panel(key, self.system[panel])
        return None

    def _leaf(self, spaces, kind, **fields):
        found = self._room(spaces)
        if found is None:
            return self._service()
        panel, taken = found
        return self._add(kind, panel, self._run(taken, spaces, 5, 35), **fields)

    def _load(self):
        spaces = self.rng.choice([1, 1, 2])
        category = self.rng.choice(["lighting", "receptacles", "heat", "appliance", "other"])
        self._leaf(
            spaces, r.Load, category=category, va=self.rng.uniform(100, 900) * spaces,
            continuous=self.rng.choice([None, True, False]),
        )  # fmt: skip

    def _charger(self):
        key = self._leaf(
            2, r.Charger, nameplate_a=self.rng.choice([16.0, 24.0, 32.0]),
            setting_a=self.rng.choice([None, 16.0, 32.0]), setting_locked=self.rng.random() < 0.5,
        )  # fmt: skip
        if key:
            self.chargers.append(key)

    def _motor(self):
        if self.rng.random() < 0.5:
            key = self._leaf(2, r.Motor, power_hp=self.rng.choice([0.5, 1.0, 3.0, 5.0]))
        else:
            key = self._leaf(2, r.Motor, full_load_a=self.rng.uniform(5, 25))
        if key:
            self.motors.append(key)

    def _dwelling(self):
        kinds = ["cooking", "dryer", "water heater", "fixed appliance", "heat pump"]
        appliances = tuple(
            r.Appliance(kind=kind, va=self.rng.uniform(1000, 12_000)) for kind in kinds[:4]
        )
        pump = r.Appliance(kind="heat pump", full_load_a=self.rng.uniform(8, 25))
        self._leaf(
            2, r.DwellingLoad, floor_area_m2=self.rng.uniform(60, 250),
            appliances=(*appliances, pump),
        )  # fmt: skip

    def _solar(self):
        self._leaf(2, r.Inverter, output_a=self.rng.choice([16.0, 32.0]))

    def _standby(self):
        if self.left < 3:
            return self._load()
        found = self._room(2)
        if found is None:
            return self._service()
        panel, taken = found
        switch = self._add(r.TransferSwitch, panel, {"role": "feeder", "legs": "", "length_m": 3.0})
        run = {"role": "generator output", "protected_at": "load", "lands_on": "standby"}
        generator = self._add(r.Generator, kw=22.0, system=self.system[panel])
        self.site.join(generator, switch, **run, length_m=5.0)
        key = self._add(r.Panel, switch, {"role": "feeder", "length_m": 4.0}, spaces=42)
        self._panel(key, self.system[panel])
        return taken

    def _transformer(self):
        if self.left < 2:
            return self._load()
        found = self._room(2)
        if found is None:
            return self._service()
        panel, taken = found
        unit = self._add(
            r.Transformer, panel, self._run(taken, 2, 5, 30, role="feeder"), system="120/240"
        )
        run = {"role": "transformer secondary", "protected_at": "load", "length_m": 3.0}
        key = self._add(r.Panel, unit, run, spaces=42, main=r.Device())
        return self._panel(key, "120/240")
