"""New runs left empty come out complete; existing ones say what is not known."""

import msgspec
import pytest
from study.sizing.plan import FEET, NEW, altered, branch, facts, feeder, plan

from ampacre.model import records as r
from ampacre.study.study import Study

COMPLETE = (
    "device", "size", "material", "insulation", "neutral", "grounding", "grounding_material",
    "raceway", "place", "trade_size", "cover",
)  # fmt: skip


def test_a_new_feeder_is_a_buildable_specification():
    found = facts(feeder(12_000.0, length_m=100.0), "m-w")
    for name in COMPLETE:
        chosen = getattr(found, name)
        assert chosen.value is not None, name
        assert chosen.how == "chosen", name
    assert found.sets.value == 1
    assert found.missing == ()
    assert found.governs
    assert found.fill.fits


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        (r.Charger, {"nameplate_a": 48.0}),
        (r.Motor, {"power_hp": 5.0}),
        (r.Load, {"va": 4500.0, "category": "heat"}),
        (r.Pedestal, {"receptacles_a": (50,)}),
        (r.Inverter, {"output_a": 32.0}),
    ],
)
def test_so_is_a_new_branch_circuit(kind, fields):
    found = facts(branch(kind, **fields), "m-x")
    for name in COMPLETE:
        assert getattr(found, name).value is not None, name
    assert found.missing == ()


def test_without_load_and_device_it_says_what_it_wants():
    found = facts(plan([(r.Panel, "w", "m", {**NEW, "length_m": 50.0}, NEW)]), "m-w")
    assert found.size.value is None
    assert "no load and no device to size it by" in found.missing
    assert "rating of the device at its supply end" in found.missing


ENTERED = r.Run(
    id="m-w", source="m", target="w", spaces=(1, 3), device=r.Device(rating_a=90.0),
    conductors=r.Conductors(
        size="1", material="al", insulation="XHHW-2", neutral="2", grounding="6",
        grounding_material="al",
    ),
    raceway="pvc", trade_size="2", place="yard", cover_m=0.6, length_m=60.0, terminal_c=75,
)  # fmt: skip
CHOICES = (
    "sets", "device", "size", "material", "neutral", "grounding", "raceway", "trade_size", "cover",
    "place",
)  # fmt: skip


def existing(**fields):
    project = feeder(12_000.0)
    whole = msgspec.structs.replace(ENTERED, **fields)
    return altered(
        project, "m-w", **{name: getattr(whole, name) for name in whole.__struct_fields__}
    )


def conductors(**fields):
    return {"conductors": msgspec.structs.replace(ENTERED.conductors, **fields)}


@pytest.mark.parametrize(
    ("emptied", "name", "asked"),
    [
        ({"device": None}, "device", "rating of the device at its supply end"),
        (conductors(size=None), "size", "conductor size"),
        (conductors(material=None), "material", "conductor metal"),
        (conductors(neutral=None), "neutral", "neutral"),
        (conductors(grounding=None), "grounding", "grounding conductor"),
        ({"length_m": None}, None, "length"),
        ({"trade_size": None}, "trade_size", None),
        ({"cover_m": None}, "cover", None),
        ({"place": None}, "place", None),
    ],
)
def test_emptying_a_field_of_an_existing_run_chooses_nothing(emptied, name, asked):
    before = facts(existing(), "m-w")
    after = facts(existing(**emptied), "m-w")
    assert before.missing == ()
    for choice in CHOICES:
        found = getattr(after, choice)
        assert found.how != "chosen", choice
        if choice == name:
            assert (found.value, found.how) == (None, "unknown")
        elif choice != "cover" or emptied.get("place", "yard"):
            assert found == getattr(before, choice), choice
    assert (after.missing == (asked,)) if asked else (after.missing == ())


def test_what_an_existing_run_has_is_checked():
    found = facts(existing(), "m-w")
    # A 90 A device wants 2 AWG aluminum, 90 A; the 1 AWG that is there carries 100 A.
    assert found.needed == "2"
    assert found.ampacity.allowed_a == 100
    assert found.largest_device.rating_a == 100
    # 6 AWG of Table 250.122, in proportion: 26,240 x 83,690 / 66,360 = 33,092, so 4 AWG.
    assert found.grounding_needed == "4"
    assert found.cover_needed_m == pytest.approx(18 * 0.0254)
    assert found.fill.fits


def test_an_existing_run_of_unknown_metal_gives_no_figures():
    found = facts(existing(**conductors(material=None)), "m-w")
    assert found.ampacity is None
    assert found.needed is None
    assert found.drop_pct is None


def test_a_new_choice_becomes_fixed_when_it_is_entered():
    project = feeder(12_000.0, length_m=240 * FEET)
    chosen = facts(project, "m-w")
    wires = r.Conductors(
        size=chosen.size.value, material=chosen.material.value, neutral=chosen.neutral.value,
        insulation=chosen.insulation.value, grounding=chosen.grounding.value,
        grounding_material=chosen.grounding_material.value,
    )  # fmt: skip
    entered = altered(
        project, "m-w", conductors=wires, device=r.Device(rating_a=chosen.device.value),
        trade_size=chosen.trade_size.value, place="yard", raceway="pvc",
        cover_m=chosen.cover.value,
    )  # fmt: skip
    found = Study(entered).run("m-w")
    for name in CHOICES:
        assert getattr(found, name).value == getattr(chosen, name).value, name
    assert found.grounding_needed == chosen.grounding_needed
    assert found.fill == chosen.fill
    assert found.ampacity == chosen.ampacity
