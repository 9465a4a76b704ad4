"""The words people read for kinds, fields and choices: screen, edits, findings and sheets."""

from typing import Any

import msgspec

from ampacre.model import records as r
from ampacre.model.project import Project

__all__ = [
    "KINDS",
    "element_word",
    "field_word",
    "kind_of",
    "kind_word",
    "run_word",
    "signed",
    "unit_of",
    "value_word",
]

KINDS: dict[str, type[r.Equipment]] = {
    "utility source": r.UtilitySource,
    "transformer": r.Transformer,
    "meter": r.Meter,
    "disconnect": r.Disconnect,
    "panel": r.Panel,
    "transfer switch": r.TransferSwitch,
    "generator": r.Generator,
    "inverter": r.Inverter,
    "battery": r.Battery,
    "charger": r.Charger,
    "motor": r.Motor,
    "load": r.Load,
    "dwelling load": r.DwellingLoad,
    "pedestal": r.Pedestal,
    "junction": r.Junction,
}

_FIELDS: dict[str, str] = {
    "access_restricted": "setting kept from users",
    "adjustment_locked": "adjustment kept from users",
    "ambient_c": "ambient temperature",
    "appliances": "appliances",
    "basis": "load computed by",
    "bends_deg": "bends between pull points, in degrees",
    "branch_drop_pct": "drop limit, branch circuits",
    "bus_a": "bus rating",
    "class_a": "socket class",
    "clearance_m": "clearance below",
    "compressor": "sealed refrigerant compressor",
    "conditioning": "heating or cooling of rooms",
    "connection": "connected by",
    "cover_m": "cover",
    "dock": "on a dock",
    "energy_kwh": "storage",
    "fail_safe_a": "current when the manager fails",
    "fault_ka": "utility fault current, greatest",
    "fault_min_ka": "utility fault current, least",
    "fed": "main stands at",
    "feeder_drop_pct": "drop limit, feeders",
    "floor_area_m2": "floor area",
    "full_load_a": "full-load current",
    "gfci_protected": "ground-fault protection for people",
    "ground_fault_trip_a": "ground-fault trip of equipment",
    "grounding": "grounding conductor",
    "grounding_material": "grounding conductor metal",
    "highest_a": "highest setting",
    "holds": "holds to the limit",
    "impedance_basis": "impedance read from",
    "impedance_pct": "impedance",
    "interrupting_ka": "interrupting rating",
    "kva": "rating in kVA",
    "kw": "rating in kW",
    "lands_on": "lands on",
    "least_cover_m": "least cover, by local amendment",
    "legs": "legs",
    "length_m": "length",
    "limit_a": "limit",
    "livestock_or_dust": "livestock or corrosive dust",
    "listed": "listed for the purpose",
    "listed_100_pct": "listed for 100 % load",
    "load_manager": "load manager",
    "local_code": "state or local code, and amendments",
    "lockable": "can be locked open",
    "locked_rotor_a": "locked-rotor current",
    "main": "main device",
    "maximum_device_a": "marked maximum device",
    "minimum_circuit_a": "marked minimum circuit ampacity",
    "mixed_optional": "dwelling by the optional method, beside other loads",
    "nameplate_a": "nameplate current",
    "neutral_bonded": "neutral bonded here",
    "neutral_switched": "neutral switched",
    "neutral_with": "shares its neutral with",
    "open_to_public": "open to the public",
    "optional_chargers": "chargers under the optional method",
    "output_a": "output current",
    "overload_a": "overload protection set to",
    "place": "where it lies",
    "power_hp": "power",
    "primary_v": "primary voltage",
    "protected_at": "protected at",
    "rating_a": "rating",
    "receptacle_a": "receptacle rating",
    "receptacles": "receptacles on the circuit",
    "receptacles_a": "all receptacles of each site",
    "series_basis": "series rating stated by",
    "series_ka": "series rating with the device ahead",
    "service_factor": "service factor",
    "required_insulation": "conductor type required locally",
    "required_material": "conductor metal required locally",
    "resistance_ohm": "resistance, ohms",
    "setting_a": "setting",
    "setting_locked": "setting locked",
    "short_circuit_ka": "short-circuit rating",
    "since": "stands from",
    "spaces": "spaces",
    "spans": "spans",
    "subtransient_pct": "subtransient reactance",
    "system": "voltage system",
    "terminal_c": "terminals rated",
    "total_drop_pct": "drop limit, in total",
    "unmarked": "no interrupting rating marked",
    "until": "removed in",
    "uses_neutral": "uses the neutral",
    "va": "nameplate load",
    "volts": "rated voltage",
    "why_not_farm": "why the farm method was not used",
    "cooking": "household cooking by Table 220.55",
    "duty_pct": "duty cycle",
    "electric_grain_drying": "grain is dried electrically",
    "end": "record ends",
    "existing_hvac": "existing heating and cooling under 220.83(A)",
    "farm": "farm load",
    "function": "function shared with other buildings",
    "generation": "generation or load shaving in the record",
    "heaviest_leg": "taken on the heaviest leg",
    "home_va": "largest home that the lot takes",
    "interval_min": "interval, minutes",
    "measured": "measured demand",
    "measured_at": "measures at",
    "measured_solar": "measured demand with generation behind the meter",
    "motor_generator": "motor-generator welder",
    "noncoincident_motor": "25 % of a motor that its noncoincident group leaves out",
    "nonlinear": "nonlinear load",
    "occupied": "building occupied during the record",
    "overcurrent_protected": "overcurrent protection in place",
    "seasonal_included": "heating, cooling and seasonal load accounted for",
    "seasonal_va": "seasonal load not in the record",
    "simultaneous_va": "load that runs together",
    "spacing_m": "spacing",
    "start": "record starts",
    "strip_m": "length of window, track or assembly",
    "submetered": "a meter at every slip",
    "typical": "usual figure, not read off",
    "unnamed_leg": "120 V loads of a dwelling, on the neutral",
    "used_together": "outlets used together",
    "area_m2": "area in the earth",
    "bond_material": "metal of these bonds",
    "bonding_jumper": "bonding jumper",
    "bonding_jumper_material": "bonding jumper metal",
    "bonding_terminals": "terminals for communication bonds",
    "conductor": "electrode conductor",
    "conductor_material": "electrode conductor metal",
    "current_transformers": "measures by current transformers",
    "depth_m": "depth",
    "east_m": "east of the site's zero",
    "enclosure": "enclosure it shares",
    "main_lugs": "main lugs only",
    "metal_water_pipe": "metal water pipes",
    "north_m": "north of the site's zero",
    "poles": "poles of main or switch",
    "purpose": "ahead of the service as",
    "service_rated": "suitable as service equipment",
    "several_supplies": "reason for several supplies",
    "steel_bond": "bond of the steel frame",
    "steel_frame": "steel frame",
    "surge": "surge protective device",
    "surge_ka": "surge device, nominal discharge current",
    "surge_short_circuit_ka": "surge device, short-circuit rating",
    "was": "what stood here before",
    "water_pipe_bond": "bond of the water pipes",
    "contractor": "contractor's name and address",
    "copies": "sets handed in",
    "ct_above_a": "utility meters by current transformers above",
    "dig_ticket": "ticket for digging (811)",
    "easement": "easement to the utility",
    "engineer": "sealed by",
    "licence": "license class and number",
    "listing": "listing mark",
    "meter_approval": "meter place approved by the utility",
    "model": "maker and type",
    "occupancy": "use, or occupancy",
    "outage": "disconnection wanted",
    "owner_builder": "the owner does the work",
    "owner_contact": "owner's address and telephone",
    "paper": "sheet size",
    "parcel": "parcel or legal description",
    "permit_number": "permit or application number",
    "preparer_contact": "preparer's trade, address and telephone",
    "review_above_a": "office wants a seal or review above",
    "service_date": "service wanted by",
    "single_phase_kva": "utility's largest single-phase service",
    "utility_job": "utility's job number",
    "utility_letter": "letter of the utility",
    "x_r": "X/R ratio",
}

_UNITS = ("_mm", "_m2", "_m", "_va", "_kva", "_kwh", "_kw", "_ka", "_a", "_v", "_hp", "_c", "_pct")
_UNIT_FIELDS = {
    "kva": "kva",
    "kw": "kw",
    "va": "va",
    "volts": "v",
    "primary_v": "v",
    "terminal_c": "c",
    "listed_100_pct": "",
    "interval_min": "",
}
_CHOICES: dict[Any, str] = {
    "members": "what its members draw",
    "all load": "all load where it measures",
    "cu": "copper",
    "al": "aluminum",
    True: "yes",
    False: "no",
    None: "not entered",
    "pvc": "PVC conduit",
    "pvc 80": "PVC conduit, Schedule 80",
    "steel": "rigid steel conduit",
    "aluminum": "rigid aluminum conduit",
    "imc": "intermediate metal conduit (IMC)",
    "emt": "thin-wall tubing (EMT)",
    "fmc": "flexible metal conduit (FMC)",
    "lfmc": "liquidtight flexible metal conduit (LFMC)",
    "lfnc": "liquidtight flexible plastic conduit (LFNC)",
    "ent": "flexible plastic tubing (ENT)",
}


def kind_of(piece: r.Equipment) -> str:
    """Give the kind of a piece as the file says it, such as "transfer switch"."""
    return str(type(piece).__struct_config__.tag)


def kind_word(kind: type[r.Equipment]) -> str:
    """Give the word for a class of equipment."""
    return str(kind.__struct_config__.tag)


def field_word(name: str) -> str:
    """Give the words for a field, such as "bus rating" for `bus_a`."""
    return _FIELDS.get(name, name.replace("_", " "))


def unit_of(name: str) -> str:
    """Give the unit suffix of a field ("m", "a", "ka" ...), or "" where it has none."""
    if name in _UNIT_FIELDS:
        return _UNIT_FIELDS[name]
    return next((unit[1:] for unit in _UNITS if name.endswith(unit)), "")


def value_word(value: Any) -> str:
    """Give a choice in words; numbers and text come back as they are."""
    if isinstance(value, msgspec.Struct):
        return "entered"
    if isinstance(value, (bool, type(None), str)):
        return _CHOICES.get(value, str(value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def signed(record: r.Accepted | r.Answer) -> str:
    """Tell by whom and when something was said; "" where neither is known."""
    return ", ".join(filter(None, (record.who, record.when)))


def run_word(project: Project, run: r.Run) -> str:
    """Name a run: by its own name, or by what it supplies."""
    return run.name or f"the run to {project.equipment[run.target].name}"


def element_word(project: Project, key: str) -> str:
    """Name a piece or a run; a piece without a tag by its kind."""
    piece = project.equipment.get(key)
    if piece is not None:
        return piece.name or kind_of(piece)
    return run_word(project, project.runs[key])
