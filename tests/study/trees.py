"""Small properties with any loads, for laws that hold of all of them."""

from hypothesis import strategies as st
from study.build import Site

from ampacre.model import records as r

LEGS = {"120/240": "AB", "120/208": "ABC", "277/480": "ABC", "120/240 high-leg": "ABC"}
KINDS = ("load", "load", "heat", "motor", "charger", "dwelling", "pedestal")


@st.composite
def sites(draw, system="120/240", bases=(None, "general"), kinds=KINDS, groups=True):
    """A project: a service, some panels in a tree "p", "p1" ..., and loads on them."""
    settings = {
        "edition": draw(st.sampled_from(["2017", "2020", "2023"])),
        "mixed_optional": draw(st.sampled_from(["tally", "block"])),
        "noncoincident_motor": draw(st.sampled_from(["added", "left out"])),
    }
    site = Site(**settings)
    site.add(r.UtilitySource, "grid", system=system, fault_ka=10.0)
    service = {"role": "service", "protected_at": "none", "length_m": 0.0}
    site.add(r.Panel, "p", "grid", service, basis=draw(st.sampled_from(bases)))
    panels = ["p"]
    for at in range(draw(st.integers(0, 4))):
        source = draw(st.sampled_from(panels))
        site.add(r.Panel, f"p{at}", source, {"length_m": 20.0}, basis=draw(st.sampled_from(bases)))
        panels.append(f"p{at}")
    found = {kind: [] for kind in kinds}
    for at in range(draw(st.integers(1, 9))):
        kind = draw(st.sampled_from(kinds))
        found[kind].append(_leaf(draw, site, kind, f"x{at}", draw(st.sampled_from(panels)), system))
    if groups:
        _groups(draw, site, found)
    return site.project()


def _leaf(draw, site, kind, key, source, system):
    all_legs = LEGS[system]
    run = {"role": "branch", "length_m": draw(st.floats(1, 60)), "legs": all_legs}
    amperes = st.floats(1, 50)
    match kind:
        case "load":
            run["legs"] = draw(st.sampled_from([*all_legs, all_legs]))
            category = draw(st.sampled_from(["lighting", "receptacles", "appliance", "other"]))
            site.add(
                r.Load, key, source, run, category=category, va=draw(st.floats(1, 1_000)),
                continuous=draw(st.sampled_from([None, True, False])),
                uses_neutral=draw(st.booleans()),
            )  # fmt: skip
        case "heat":
            run["legs"] = draw(st.sampled_from([all_legs[:1], all_legs]))
            site.add(
                r.Load, key, source, run, category="heat", va=draw(st.floats(100, 9_000)),
                continuous=draw(st.sampled_from([None, True])),
            )  # fmt: skip
        case "motor":
            site.add(r.Motor, key, source, run, full_load_a=draw(amperes))
        case "charger":
            site.add(
                r.Charger, key, source, run, nameplate_a=draw(amperes), setting_a=draw(amperes),
                setting_locked=draw(st.booleans()),
            )  # fmt: skip
        case "pedestal":
            site.add(
                r.Pedestal, key, source, run, receptacles_a=(draw(st.sampled_from([20, 30, 50])),)
            )
        case "dwelling":
            site.add(
                r.DwellingLoad, key, source, run, floor_area_m2=draw(st.floats(0, 400)),
                appliances=tuple(draw(st.lists(appliances(), max_size=6))),
            )  # fmt: skip
    return key


def appliances():
    """Any appliance of a dwelling, of 500 VA or more, cooking units of 8 kW or more.

    Below 8 kW the nameplates of a few units are less than column C of NEC Table 220.55 has for
    them, and with others they come to more than by themselves.
    """
    kinds = ["dryer", "fixed appliance", "water heater", "cooling", "heat pump",
             "supplementary heat", "space heat", "storage heat"]  # fmt: skip
    volts = st.sampled_from([120, 240])
    ranges = st.builds(
        r.Appliance, kind=st.just("cooking"), va=st.floats(8_000, 20_000), volts=volts
    )
    others = st.builds(
        r.Appliance, kind=st.sampled_from(kinds), va=st.floats(500, 20_000), volts=volts
    )
    return ranges | others


def _groups(draw, site, found):
    limit = st.floats(6, 120)
    chargers = found.get("charger", [])
    sure = {"listed": True, "access_restricted": True, "fail_safe_a": 6.0}
    inner = chargers[: len(chargers) // 2]
    if inner:
        site.group(r.ManagedGroup, "inner", *inner, limit_a=draw(limit), **sure)
        rest = chargers[len(inner) :]
        if draw(st.booleans()):
            site.group(r.ManagedGroup, "outer", "inner", *rest, limit_a=draw(limit), **sure)
    apart = [*found.get("motor", []), *found.get("heat", [])]
    if len(apart) > 1:
        at = draw(st.integers(1, len(apart)))
        for name, members in (("one", apart[:at]), ("two", apart[at:])):
            if members:
                site.group(r.NoncoincidentGroup, name, *members)
