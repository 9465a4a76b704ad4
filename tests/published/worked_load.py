"""Published load calculations as projects: their files, ways to build them, and the comparison.

Each file names its source, what was read of it, and every intermediate value. A builder makes the
property and gives what its study found under the names of the file; all of them are compared.
"""

import re
import tomllib
from pathlib import Path

from pytest import approx
from study.build import Site, served, square_feet

from ampacre.model import records as r
from ampacre.study.study import Study

EXAMPLES = Path(__file__).parent / "worked_loads"
BRANCH = {"role": "branch", "length_m": 10.0}


def example(key):
    """One file as a mapping."""
    return tomllib.loads((EXAMPLES / f"{key}.toml").read_text(encoding="utf-8"))


def compare(data, found):
    """Hold what was found to every step and every answer of the file, within its tolerances."""
    expected = {**data["steps"], **data["answer"]}
    assert expected.keys() - found.keys() == set(), "values of the file that nothing was found for"
    for name, value in {**data["steps"], **data["answer"]}.items():
        assert found[name] == within(data, name, value), name
    for name in data["steps"].keys() & data["answer"].keys():
        assert found[name] == within(data, name, data["steps"][name]), name


def within(data, name, value):
    if isinstance(value, (bool, str)):
        return value
    check = data["check"]
    if name.endswith("_kw"):
        return approx(value, abs=check["tolerance_va"] / 1000)
    if name.endswith("_kva"):
        return approx(value, abs=check["tolerance_va"] / 1000)
    if "_va" in name:
        return approx(value, abs=check["tolerance_va"])
    if name.endswith("_a") or "_a_" in name:
        return approx(value, abs=check["tolerance_a"])
    return approx(value, rel=1e-6)


def new_panel(system="120/240", basis=None, point=None, **settings):
    """A new service panel "p", its main left to the study."""
    site = Site(**settings)
    site.add(r.UtilitySource, "grid", system=system, fault_ka=10.0)
    service = {"role": "service", "protected_at": "none", "length_m": 0.0}
    site.add(
        r.Panel, "p", "grid", service, spaces=126, basis=basis, since=r.WORK, main=r.Device(),
        **(point or {}),
    )  # fmt: skip
    return site


def old_panel(main_a, basis, system="120/240", **settings):
    """An existing service panel "p" with a main of this rating."""
    site = served(system, basis, **settings)
    panel = {"main": r.Device(rating_a=main_a), "bus_a": main_a}
    site.add(r.Panel, "p", spaces=126, basis=basis, **panel)
    return site


def house(site, *appliances, key="house", source="p", square_ft=0.0, small=2, laundry=1):
    """A dwelling's load."""
    site.add(
        r.DwellingLoad, key, source, {"length_m": 10.0}, floor_area_m2=square_feet(square_ft),
        small_appliance_circuits=small, laundry_circuits=laundry, appliances=appliances,
    )  # fmt: skip


def appliance(kind, va=None, **more):
    return r.Appliance(kind=kind, va=va, **more)


def study_of(site):
    return Study(site.project())


class Sheet:
    """The worksheet of a point, its lines by the beginning of their label."""

    def __init__(self, study, key="p"):
        self.facts = study.equipment(key)
        self.demand = self.facts.demand
        self.lines = self.demand.worksheet.lines

    def line(self, start):
        found = [line for line in self.lines if line.label.startswith(start)]
        assert found, f"{start}: not among {[line.label for line in self.lines]}"
        return found[0]

    def has(self, start):
        return any(line.label.startswith(start) for line in self.lines)

    def result(self, start):
        return self.line(start).result

    def quantity(self, start):
        return self.line(start).quantity

    def pct(self, start):
        return 100 * self.line(start).factor

    def noted(self, what):
        """A number of volt-amperes that the note of some line gives for something."""
        for line in self.lines:
            if found := re.search(rf"{what} ([\d,]+) VA", line.note):
                return float(found[1].replace(",", ""))
        raise AssertionError(f"{what}: no note tells it")

    def neutral_va(self):
        return self.result("Neutral load")

    def heavier_neutral_a(self):
        """Neutral before what lies beyond 200 A is reduced."""
        if self.has("Neutral against leg"):
            return self.result("Neutral against leg")
        return self.demand.neutral_a
