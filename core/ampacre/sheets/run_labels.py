"""The words that stand beside a run on the one-line diagram, and in lists of runs."""

from ampacre.model import records as r
from ampacre.picture.lettering import text_width_mm
from ampacre.quantity import UnitSystem, show
from ampacre.sheets.labelling import METALS, WORK_MARKS, Words, shown_work
from ampacre.sheets.pen import CAPITALS_MM
from ampacre.study.facts import Chosen, RunFacts

__all__ = [
    "BY_BUS",
    "device_words",
    "goes_beside",
    "grounding_words",
    "named_device",
    "numbered_device",
    "rating_words",
    "run_words",
    "size_words",
    "spaces_words",
]

_RACEWAYS = {
    "pvc": "in PVC",
    "pvc 80": "in PVC 80",
    "imc": "in IMC",
    "emt": "in EMT",
    "fmc": "in FMC",
    "lfmc": "in LFMC",
    "lfnc": "in LFNC",
    "ent": "in ENT",
    "steel": "in steel",
    "aluminum": "in alum.",
    "direct burial": "buried",
    "cable": "cable",
}

_NO_EGC = ("utility", "service", "supply-side source", "transformer secondary")

BY_BUS = "joint by bus"
"""What is said of a run of no length, which has no conductors."""


def goes_beside(name: str) -> bool:
    """Tell whether a run's name is short enough to stand in one line with its device or mark."""
    return bool(name) and text_width_mm(f"{name}: ", CAPITALS_MM) <= 12.5


def _assumed(value: Chosen[str | None] | Chosen[float | None]) -> str:
    """Give the mark of what nobody entered or chose: to be verified in the field."""
    return "*" if value.how == "assumed" else ""


def _found(facts: RunFacts | None) -> RunFacts | None:
    """Give facts where they say more than the record: of what nothing supplies they say nothing."""
    return facts if facts and facts.supplied else None


def device_words(run: r.Run, facts: RunFacts | None) -> Words:
    """Give the device of a run: "150 A 2P, 22 kA"; of one that goes by the spaces that it takes."""
    facts = _found(facts)
    rating = facts.device.value if facts else (run.device.rating_a if run.device else None)
    if rating is None:
        return Words("device not read" if run.since is None else "device not chosen", "device")
    count = len(facts.legs) if facts else len(run.spaces)
    poles = f" {count}P" if count else ""
    mark = _assumed(facts.device) if facts else ""
    stated = run.device.interrupting_ka if run.device else None
    interrupting = facts.interrupting_ka.value if facts else stated
    kilo = f", {show(interrupting, 'ka')}" if interrupting else ""
    gone = f" {WORK_MARKS['removed']}" if run.until is not None else ""
    return Words(f"{show(rating, 'a')}{mark}{poles}{kilo}{gone}", "device")


def numbered_device(run: r.Run, facts: RunFacts | None) -> Words:
    """Give the device of a run with the number that its circuit has in the panel it leaves."""
    words = device_words(run, facts)
    if not run.spaces or run.protected_at != "supply":
        return words
    return Words(f"{words.text}, ckt {spaces_words(run)}", words.field)


def named_device(run: r.Run, words: Words) -> Words:
    """Put a run's name before the words of its device, where it is short: "F-1: 60 A 2P"."""
    if not goes_beside(run.name):
        return words
    return Words(f"{run.name}: {words.text}".removesuffix(": "), words.field or "name")


def rating_words(run: r.Run, facts: RunFacts | None) -> Words:
    """Give the rating alone, for a list: "30 A"; nothing where there is no device."""
    facts = _found(facts)
    rating = facts.device.value if facts else (run.device.rating_a if run.device else None)
    if rating is None:
        return Words("" if run.protected_at == "none" else "?", "device")
    return Words(show(rating, "a") + (_assumed(facts.device) if facts else ""), "device")


def size_words(run: r.Run, facts: RunFacts | None, insulation: str = "") -> str:
    """Give the circuit conductors of a run: "3-4/0 AL", "(2) 2-350 AL, 4/0 N"."""
    facts = _found(facts)
    size = facts.size.value if facts else run.conductors.size
    if size is None:
        if run.owner == "utility":
            return "utility's conductors"
        return "wire not read" if run.since is None else "wire not chosen"
    metal = (facts.material.value if facts else run.conductors.material) or ""
    neutral = facts.neutral.value if facts else run.conductors.neutral
    count = len(facts.legs) if facts and facts.legs else 0
    whole = neutral == size and count
    number = f"{count + bool(whole)}-" if count else ""
    count_sets = facts.sets.value if facts else run.conductors.sets or 1
    sets = f"({count_sets}) " if count_sets > 1 else ""
    beside = "" if whole or neutral in (None, "none") else f", {neutral} N"
    mark = _assumed(facts.size) if facts else ""
    words = f"{sets}{number}{size} {METALS.get(metal, '')}".rstrip()
    return f"{words}{mark} {insulation}".rstrip() + beside


def grounding_words(run: r.Run, facts: RunFacts | None) -> str:
    """Give the equipment grounding conductor of a run: "+ 6 CU EGC"."""
    facts = _found(facts)
    ground = facts.grounding.value if facts else run.conductors.grounding
    metal = (facts.grounding_material.value if facts else run.conductors.grounding_material) or ""
    if ground is None:
        if run.owner == "utility" or run.role in _NO_EGC:
            return ""
        return "EGC not read" if run.since is None else "EGC not chosen"
    if ground in ("none", "raceway"):
        return {"none": "no EGC", "raceway": "EGC is raceway"}[ground]
    mark = _assumed(facts.grounding) if facts else ""
    return f"+ {ground} {METALS.get(metal, '')}".rstrip() + f" EGC{mark}"


def run_words(run: r.Run, facts: RunFacts | None, units: UnitSystem) -> list[Words]:
    """Give the three lines beside a run: conductors; grounding and raceway; length and drop."""
    facts = _found(facts)
    raceway = facts.raceway.value if facts else run.raceway
    grounding = grounding_words(run, facts)
    way = _RACEWAYS.get(raceway or "", "")
    if facts and facts.trade_size.value and way.startswith("in "):
        way = f"{facts.trade_size.value} {way}"
    insulation = (facts.insulation.value if facts else run.conductors.insulation) or ""
    unknown = "length not read" if run.since is None else "length to enter"
    length = unknown if run.length_m is None else show(run.length_m, "m", units)
    drop = f", {facts.drop_pct:.1f} % drop" if facts and facts.drop_pct is not None else ""
    shown = shown_work(run)
    mark = f" {WORK_MARKS[shown]}" if shown in ("reused", "replaced") else ""
    return [
        Words(size_words(run, facts, insulation), "size"),
        Words(", ".join(filter(None, (grounding, way))), "grounding"),
        Words(length + drop + mark, "drop"),
    ]


def spaces_words(run: r.Run) -> str:
    """Give the panel spaces of a run: "1,3", "2-6" where there are more than two."""
    if len(run.spaces) > 2:
        return f"{run.spaces[0]}-{run.spaces[-1]}"
    return ",".join(map(str, run.spaces))
