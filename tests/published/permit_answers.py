"""Where the drawing set answers each item that permit offices and utilities ask for.

`ANSWERS` maps a row of requirements.csv to the sheets that answer it, a change of that datum in the
sample, and the words that the change makes there. `UNANSWERED` gives the reason for every other.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import msgspec

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.store.issued import issue_edit

Change = Callable[[Project], Project]


class Answer(NamedTuple):
    sheets: str
    change: Change
    words: str


def _in(table: str, key: str, **fields: object) -> Change:
    """Change fields of a record; a name with a double underscore is a field of its part."""

    def change(project: Project) -> Project:
        found = getattr(project, table)
        record = found[key]
        for name, value in fields.items():
            outer, _, inner = name.partition("__")
            part = getattr(record, outer)
            after = msgspec.structs.replace(part, **{inner: value}) if inner else value
            record = msgspec.structs.replace(record, **{outer: after})
        return replace(project, **{table: {**found, key: record}})

    return change


def setting(**fields: object) -> Change:
    return _in("project", "project", **fields)


def piece(key: str, **fields: object) -> Change:
    return _in("equipment", key, **fields)


def run(key: str, **fields: object) -> Change:
    return _in("runs", key, **fields)


def added(table: str, *records: r.Record) -> Change:
    return lambda project: replace(
        project, **{table: {**getattr(project, table), **{each.id: each for each in records}}}
    )


def both(*changes: Change) -> Change:
    def change(project: Project) -> Project:
        for each in changes:
            project = each(project)
        return project

    return change


COVER, ONE_LINE, LOADS = "Cover", "One-line diagram", "Load calculation"
PANELS, RUNS, FAULTS = "Panel schedules", "Run schedule", "Fault current and voltage"
EQUIPMENT, GROUNDING = "Equipment list", "Grounding"
LABELS, UTILITY = "Labels, placards and inspections", "Load letter and service data"

_RODS = r.Grounding(
    id="g1", at="s1", conductor="2/0", conductor_material="cu",
    electrodes=(r.Electrode(kind="rod", count=3, spacing_m=3.048),),
)  # fmt: skip
_ONE_ROD = msgspec.structs.replace(
    _RODS, electrodes=(r.Electrode(kind="rod", count=1, resistance_ohm=18.0),)
)


def _handed_in(project: Project) -> Project:
    return project.apply(issue_edit(project, 7, "2026-04-02", "Charger three added"))


_MEASURED = r.Measured(
    kind="12-month", demand=31.0, unit="kW", interval_min=15, start="2025-01-01",
    end="2025-12-31", heaviest_leg=True, generation="none", occupied=True, seasonal_included=True,
    overcurrent_protected=True,
)  # fmt: skip
_BATTERY = both(
    added("equipment", r.Battery(id="bat", since=r.WORK, name="Store battery", energy_kwh=13.5,
                                 output_a=24.0, structure="barn")),
    added("runs", r.Run(id="run-bat", since=r.WORK, source="barn", target="bat", role="branch",
                        spaces=(28, 30), device=r.Device(rating_a=35.0), length_m=6.0)),
)  # fmt: skip


def _seen(question: str, where: str, note: str) -> Change:
    return added(
        "answers", r.Answer(id="seen", question=question, where=where, value="yes", note=note)
    )


_NEW_PANEL = added(
    "equipment", r.Panel(id="shed", since=r.WORK, name="Tool shed", bus_a=100.0, spaces=8)
)
_MANY_PANELS = added(
    "equipment", *(r.Panel(id=f"shed-{n}", since=r.WORK, name=f"Shed {n}") for n in range(30))
)
_TO_SHED = added(
    "runs",
    r.Run(id="run-shed", since=r.WORK, name="F-9", source="s1", target="shed", spaces=(9, 11),
          device=r.Device(rating_a=60.0), length_m=30.0),
)  # fmt: skip

ANSWERS: dict[str, Answer] = {
    # --- title block
    "project_address": Answer(RUNS, setting(address="77 Upper Lane"), "77 Upper Lane"),
    "parcel_or_legal_description": Answer(COVER, setting(parcel="APN 12-345"), "Parcel APN 12-345"),
    "owner_name_contact": Answer(
        COVER, setting(owner="A. Grower", owner_contact="tel. 5550100"), "A. Grower, tel. 5550100"
    ),
    "preparer_name_contact": Answer(
        COVER,
        setting(prepared_by="P. Drafter", preparer_contact="electrician, tel. 5550101"),
        "P. Drafter, electrician, tel. 5550101",
    ),
    "contractor_name_license": Answer(
        COVER,
        setting(contractor="Hill Electric Co", licence="C-10 000000"),
        "The work is done by Hill Electric Co, license C-10 000000.",
    ),
    "professional_seal_signature": Answer(ONE_LINE, setting(engineer="E. Sealer"), "E. Sealer: date"),
    "preparer_signature_no_seal": Answer(
        COVER, setting(prepared_by="P. Drafter"), "Prepared by P. Drafter. Signature and date:"
    ),
    "seal_or_review_threshold": Answer(
        COVER, setting(review_above_a=200.0), "S1, 400 A: above the office's limit of 200 A"
    ),
    "drawing_date": Answer(PANELS, _handed_in, "Revision: 7, 2026-04-02"),
    "revision_record": Answer(COVER, _handed_in, "2026-04-02 Charger three added"),
    "sheet_number": Answer(LABELS, _MANY_PANELS, "E-506 sheet"),
    "complete_title_block": Answer(PANELS, setting(name="Other orchard"), "Other orchard"),
    "code_edition": Answer(
        COVER, setting(edition="2020", local_code="Upland State Code"),
        "Code NEC 2020 (NFPA 70) State or local code Upland State Code",
    ),
    "scope_of_work": Answer(
        COVER, both(_NEW_PANEL, _TO_SHED), "F-9: S1 to Tool shed, 98.4 ft"
    ),
    "occupancy_or_use": Answer(
        COVER, setting(occupancy="R-3 dwelling and farm"), "Use R-3 dwelling and farm"
    ),
    "symbol_legend": Answer("Legend", _BATTERY, "battery storage with its inverter"),
    "equipment_designations": Answer(PANELS, piece("yp", name="LP-Y"), "Panel LP-Y (N)"),
    "sheet_size_rule": Answer(COVER, setting(paper="A3"), "Sheet: A3, 420 x 297 mm"),
    "number_of_copies": Answer(COVER, setting(copies=3), "3 sets handed in"),
    "new_versus_existing": Answer(EQUIPMENT, piece("cold", since=r.WORK), "Cold store (N)"),
    "permit_application_form": Answer(COVER, setting(permit_number="EL-88"), "Permit EL-88"),
    "owner_builder_statement": Answer(
        COVER, setting(owner_builder=True), "Owner-builder: The orchard keeper owns the property"
    ),
    # --- one-line
    "one_line_diagram": Answer(ONE_LINE, piece("cold", name="Ice store"), "Ice store (E)"),
    "utility_source_and_meter": Answer(
        ONE_LINE, piece("m1", class_a=400.0), "class 400 A, revenue"
    ),
    "service_voltage_phase": Answer(
        ONE_LINE, piece("t1", system="120/208"), "bus 400 A, 120/208 V",
    ),
    "service_rating": Answer(ONE_LINE, piece("s1", main__rating_a=350.0), "main 350 A, 22 kA"),
    "service_disconnect": Answer(
        LABELS, piece("s1", name="SD-1"), "SD-1 MAXIMUM AVAILABLE FAULT CURRENT 10.77 kA"
    ),
    "feeder_and_subpanel_structure": Answer(
        ONE_LINE, both(_NEW_PANEL, _TO_SHED), "Tool shed (N) bus 100 A"
    ),
    "overcurrent_device_ratings": Answer(
        ONE_LINE, run("run-s1-barn", device__rating_a=125.0), "F-2: 125 A 2P, 10 kA"
    ),
    "conductor_sizes": Answer(
        ONE_LINE, run("run-s1-barn", conductors__size="350"), "2-350 AL XHHW-2, 1/0 N"
    ),
    "conductor_type_material": Answer(
        ONE_LINE,
        run("run-s1-barn", conductors__insulation="RHW-2", conductors__material="cu"),
        "2-3/0 CU RHW-2, 1/0 N",
    ),
    "conduit_size_type": Answer(
        ONE_LINE, run("run-s1-barn", raceway="steel", trade_size="3"), "3 in steel"
    ),
    "wiring_method": Answer(
        RUNS, run("run-s1-barn", raceway="direct burial"), "4 AL EGC direct burial"
    ),
    "available_fault_current": Answer(
        UTILITY, piece("util", fault_ka=1.25), "Fault current at the service Utility line 1.25 kA"
    ),
    "interrupting_ratings": Answer(
        FAULTS, run("run-s1-barn", device__interrupting_ka=14.0),
        "F-2: S1 to Press barn 10.77 14 within",
    ),
    "grounding_electrode_system": Answer(
        ONE_LINE, added("grounding", _RODS), "GEC 2/0 CU: 3 rods, 10 ft apart"
    ),
    "feeder_equipment_ground_bonding": Answer(
        GROUNDING, piece("house", neutral_bonded=False),
        "Farmhouse in Farmhouse, fed from ATS: neutral apart from grounding",
    ),
    "customer_transformer_data": Answer(
        EQUIPMENT, piece("t1", owner="customer", kva=100.0), "T1 (E) transformer 100 kVA"
    ),
    "motor_ratings": Answer(
        EQUIPMENT, piece("pump", full_load_a=None, power_hp=5.0), "Well pump 5 hp 240 V"
    ),
    "transfer_equipment": Answer(
        ONE_LINE, piece("ats", automatic=False, rating_a=150.0), "150 A, manual neutral solid"
    ),
    "generator_on_diagram": Answer(ONE_LINE, piece("gen", kw=18.0), "18 kW / 22 kVA 120/240 V"),
    "pv_storage_equipment": Answer(ONE_LINE, _BATTERY, "13.5 kWh, 24 A"),
    "point_of_interconnection": Answer(
        EQUIPMENT, run("run-barn-inv", spaces=(21, 23)), "Press barn, spaces 21, 23"
    ),
    "evse_on_diagram": Answer(
        ONE_LINE, piece("c3", setting_a=40.0), "C3 (N) EVSE set to 40 A, locked nameplate 48 A"
    ),
    # --- load calculation
    "load_calculation_attached": Answer(LOADS, piece("bh", va=6500.0), "Heating 6,500 VA 1 6,500 VA"),
    "existing_and_new_loads": Answer(
        LOADS, piece("c4", setting_a=36.0, nameplate_a=36.0), "charger 8,640 VA"
    ),
    "calculation_method_named": Answer(
        LOADS, piece("house", basis="standard dwelling"), "Farmhouse standard dwelling"
    ),
    "service_adequacy": Answer(
        LOADS, piece("s1", main__rating_a=500.0), "S1 main device 500 A sizing load"
    ),
    "evse_continuous_factor": Answer(
        LOADS, piece("c2", setting_a=28.0, nameplate_a=28.0), "C2 28.0 35.0 50 adequate set to 28 A"
    ),
    "measured_demand_alternative": Answer(
        LOADS, piece("house", basis="measured", measured=_MEASURED),
        "12-month record, 31 kW 36,471 VA NEC 2023 220.87; 2025-01-01 to 2025-12-31",
    ),
    "per_panel_totals": Answer(LOADS, piece("kl1", va=480.0), "16,920"),
    "generator_load_list": Answer(
        LOADS, piece("gen", name="Diesel set"), "Loads that Diesel set carries"
    ),
    "load_shed_devices": Answer(
        LOADS, piece("ats", load_manager=True), "kept off by the load manager"
    ),
    "load_increase_percent": Answer(LOADS, piece("c5", nameplate_a=40.0, setting_a=40.0), "+359 %"),
    "panel_upgrade_if_needed": Answer(
        COVER,
        lambda p: piece("cold", was=p.equipment["cold"], since=r.WORK, bus_a=200.0)(p),
        "Cold store is replaced",
    ),
    # --- panel schedules
    "panel_schedule_attached": Answer(PANELS, both(_NEW_PANEL, _TO_SHED), "Panel Tool shed (N)"),
    "panel_voltage_phase_bus": Answer(
        PANELS, piece("barn", bus_a=225.0), "Panel Press barn (E): 120/240 V, 1 phase, 4 wires with ground, bus 225 A"
    ),
    "circuit_number_and_description": Answer(
        PANELS, both(run("run-barn-bl1", spaces=(18,)), piece("bl1", name="Vat lights")),
        "18 (E) Vat lights",
    ),
    "circuit_load_va": Answer(PANELS, piece("bh", va=6500.0), "3,250 3,250"),
    "circuit_breaker_rating": Answer(
        PANELS, run("run-barn-bm1", device__rating_a=35.0), "Press motor AB 35 A 2P"
    ),
    "spare_space_for_new_breaker": Answer(
        PANELS, piece("cold", spaces=42), "42 spaces, 12 taken by the circuits entered here"
    ),
    "protected_circuit_types": Answer(
        PANELS, run("run-barn-br1", gfci_protected=True), "Receptacles, west A 20 A 1P, 10 kA 2-12 CU THWN-2, 12 CU EGC yes"
    ),
    # --- equipment data
    "manufacturer_data_sheets": Answer(
        EQUIPMENT, piece("c1", model="Plain 48 wall unit"),
        "Data sheets and installation instructions go with this set for: Plain 48 wall unit",
    ),
    "installation_instructions": Answer(
        EQUIPMENT, piece("c2", model="Post unit 40"),
        "installation instructions go with this set for: Post unit 40",
    ),
    "listing_mark": Answer(EQUIPMENT, piece("s1", listing="UL 891"), "Listing marks stated: UL 891"),
    "evse_rating": Answer(EQUIPMENT, piece("c4", nameplate_a=44.0), "44 A, 240 V, 10.6 kW"),
    "evse_level_and_count": Answer(
        EQUIPMENT, piece("c4", structure="barn"), "5 chargers: 1 at Farmhouse, 3 at Press barn"
    ),
    "evse_maker_and_mounting": Answer(
        EQUIPMENT, piece("c2", model="Post unit 40"), "Press barn to be stated Post unit 40"
    ),
    "evse_disconnect_over_60a": Answer(
        EQUIPMENT,
        both(piece("c3", nameplate_a=80.0), run("run-barn-c3", device__lockable=True)),
        "required: breaker in Press barn, can be locked open",
    ),
    "transfer_switch_data": Answer(
        EQUIPMENT, piece("ats", model="TS 200 SE"), "Farmhouse to be stated TS 200 SE"
    ),
    "storage_listing": Answer(
        EQUIPMENT, both(_BATTERY, piece("bat", listing="UL 9540A")), "UL 9540A"
    ),
    # --- notes and labels
    "wet_and_hazardous_locations": Answer(
        COVER, both(piece("p1", location="outdoors"), piece("p2", location="outdoors")),
        "Wet places: Pedestal 1 and Pedestal 2",
    ),
    "listed_equipment_note": Answer(
        EQUIPMENT, piece("c1", model="X", listing="UL 2594"),
        "still to be confirmed for: M1, S1, ATS, C2",
    ),
    "wiring_methods_note": Answer(
        COVER, run("run-s2-m3", raceway="direct burial"), "Wiring method direct burial with at least 24 in"
    ),
    "grounding_bonding_detail": Answer(
        GROUNDING, added("grounding", _RODS), "3 rods, 10 ft apart 2/0 CU"
    ),
    "single_rod_resistance_statement": Answer(
        GROUNDING, added("grounding", _ONE_ROD), "rod, measured 18 ohm"
    ),
    "placards_and_warning_labels": Answer(
        LABELS, piece("inv", name="PV inverter", output_a=24.0), "PV INVERTER, output 24 A, 240 V, 40 A DEVICE."
    ),
    "no_energizing_before_release": Answer(
        COVER, setting(utility="Valley Power"), "Valley Power energizes after the inspection's release"
    ),
    # --- utility
    "utility_service_application": Answer(
        UTILITY, setting(utility_job="J-4711"), "The electric cooperative, J-4711"
    ),
    "utility_load_information": Answer(
        UTILITY, piece("home", floor_area_m2=222.967296), "House loads, 2,400 ft²"
    ),
    "utility_evse_count_kw": Answer(
        UTILITY, piece("c5", nameplate_a=48.0), "1, 11.5 kW by full hardware rating"
    ),
    "utility_service_ampere_requested": Answer(
        UTILITY, piece("s1", main__rating_a=350.0), "Service wanted 350 A, 120/240 V"
    ),
    "utility_voltage_phase": Answer(
        UTILITY, piece("t1", system="120/208 single-phase"),
        "Service wanted 400 A, 120/208 single-phase V",
    ),
    "utility_largest_motor": Answer(
        UTILITY, piece("bm1", full_load_a=30.0), "Largest motor Press motor, 30 A"
    ),
    "utility_one_line": Answer(ONE_LINE, piece("m1", name="M1A"), "service point: utility above M1A (N)"),
    "utility_load_sheet_per_meter": Answer(
        UTILITY, piece("m2", name="M2B"), "Load sheet for S2, meter M2B"
    ),
    "utility_date_required": Answer(
        UTILITY, setting(service_date="2026-06-15"), "Service wanted by 2026-06-15"
    ),
    "meter_location_approval": Answer(
        UTILITY, setting(meter_approval="spot ticket 12"), "Meter place approved spot ticket 12"
    ),
    "meter_equipment_standard": Answer(
        UTILITY, piece("m1", class_a=400.0), "Meter socket M1: class 400, revenue"
    ),
    "service_conduit_spec": Answer(
        UTILITY, run("run-t1-m1", trade_size="4"), "PVC 4 in 80 ft"
    ),
    "service_trench_depth": Answer(
        UTILITY, run("run-t1-m1", cover_m=0.9144, place="yard"), "80 ft 36 in"
    ),
    "service_bend_limits": Answer(UTILITY, run("run-t1-m1", bends_deg=180.0), "180 deg"),
    "call_before_dig": Answer(UTILITY, setting(dig_ticket="D-99"), "Ticket for digging (811) D-99"),
    "easement_to_utility": Answer(
        UTILITY, setting(easement="book 4 page 2"), "Easement book 4 page 2"
    ),
    "disconnect_reconnect_request": Answer(
        UTILITY, setting(outage="3 June, 8:00 to 15:00"),
        "Disconnection and reconnection 3 June, 8:00 to 15:00",
    ),
    "service_point_ownership": Answer(
        UTILITY, run("run-t1-m2", owner="customer"), "Lateral 2: T1 to M2 customer"
    ),
    "ct_metering_threshold": Answer(
        UTILITY, setting(ct_above_a=320.0), "by current transformers: the utility's limit is 320 A"
    ),
    "single_phase_limit": Answer(
        UTILITY, setting(single_phase_kva=167.0), "within the utility's 167 kVA"
    ),
    "generation_disconnect_accessible": Answer(
        EQUIPMENT, run("run-barn-inv", device__lockable=True), "Press barn, spaces 27, 29 40 A yes"
    ),
    "utility_generator_notice": Answer(
        UTILITY, piece("gen", name="Diesel set"), "Standby generator Diesel set, 22 kW, by ATS"
    ),
    "utility_letter": Answer(
        UTILITY, setting(utility_letter="will serve, 2026-02-11"),
        "Letter of the utility will serve, 2026-02-11",
    ),
    # --- inspection
    "rough_in_before_cover": Answer(
        LABELS, run("run-cold-k1", since=r.WORK, place="indoors", length_m=5.0),
        "circuit of Compressor 1",
    ),
    "trench_before_backfill": Answer(
        LABELS, run("run-s2-m3", raceway="direct burial"), "F-4, cover 36 in, least 24 in"
    ),
    "service_release_inspection": Answer(
        LABELS, piece("s1", main__rating_a=350.0), "Service, for release to the utility S1, 350 A"
    ),
    "final_inspection": Answer(
        LABELS, piece("cold", since=r.WORK), "C5, Cold store"
    ),
    "request_by_permit_holder": Answer(
        LABELS, setting(contractor="Hill Electric Co"), "Hill Electric Co asks County building office"
    ),
    "overcurrent_labeling": Answer(
        LABELS, piece("yp", name="LP-Y"), "LP-Y. 120/240 V. FED FROM M3."
    ),
    "inspection_working_clearance": Answer(
        LABELS, _seen("space-in-front", "s1", "44 in of clear depth"),
        "S1 120 V 3 ft 30 in, or the gear's 6 ft 6 in, or the gear's yes: 44 in of clear depth",
    ),
    "ready_before_calling": Answer(
        LABELS, _seen("device-handle-height", "s1", "5 ft 2 in, A. Grower"),
        "yes: 5 ft 2 in, A. Grower",
    ),
    "pull_line_and_marking_tape": Answer(
        LABELS,
        both(
            run("run-t1-m1", owner="customer", role="service", place="yard"),
            _seen("service-ribbon-laid", "run-t1-m1", "tape and 400 lb pull line"),
        ),
        "yes: tape and 400 lb pull line",
    ),
    "correction_answers": Answer(
        COVER,
        added("issues", r.Issue(id="i", number=2, date="2026-04-02", note="Item 12: see E-601")),
        "2 2026-04-02 Item 12: see E-601",
    ),
    "ground_rods": Answer(
        LABELS, added("grounding", _RODS), "S1: 3 rods, 10 ft apart"
    ),
}  # fmt: skip

_PLAN = "the site plan answers it, which has sheets of its own"
_FIXED = "holds for every set alike; no datum of the project changes it"
_PAPER = "a paper of somebody else, or a photograph, that goes with the set"
_NO_FIELD = "the project has no place for it yet"
_SITE = "done or measured on site, not drawn"

UNANSWERED: dict[str, str] = {
    "minimum_text_height": _FIXED,
    "legible_plan": _FIXED,
    "single_pdf_submittal": _FIXED,
    "plan_minimum_scale": _PLAN,
    "breaker_listed_for_panel": _SITE,
    "generator_sound_and_clearance": _NO_FIELD,
    "fuel_type_and_piping": _NO_FIELD,
    "support_and_anchorage": _NO_FIELD,
    "ventilation": _NO_FIELD,
    "utility_site_plan": _PLAN,
    "meter_height": _NO_FIELD,
    "meter_working_space": _NO_FIELD,
    "meter_gas_separation": _NO_FIELD,
    "utility_trench_separation": _PLAN,
    "inspection_release_to_utility": _PAPER,
    "installer_present_panel_open": _SITE,
    "correction_and_reinspection": _SITE,
}
