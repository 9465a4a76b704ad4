"""Which fields matter for a record as it stands; the others are not shown."""

from collections.abc import Mapping

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre_gui.panels.form import FieldSpec, value_at

__all__ = ["is_relevant", "is_seldom_filled"]

_SELDOM = {
    "adjustment_locked", "ambient_c", "bends_deg", "current_transformers", "enclosure", "listing",
    "main_lugs", "model", "poles", "purpose", "service_rated", "surge", "surge_ka",
    "surge_short_circuit_ka", "clearance_m", "compressor", "cover_m", "dock",
    "drive_fed", "fault_min_ka", "fed", "gfci_protected", "ground_fault_trip_a", "highest_a",
    "impedance_basis", "kva", "legs", "nonlinear", "listed_100_pct", "location", "lockable", "maximum_device_a",
    "minimum_circuit_a", "neutral_with", "open_to_public", "overload_a", "owner", "place",
    "receptacle_a", "receptacles", "series_basis", "series_ka", "service_factor",
    "shed_on_standby", "spans", "subtransient_pct", "trade_size", "unmarked", "uses_neutral", "x_r",
}  # fmt: skip
"""Fields that most pieces and runs leave as they are."""


_OF_LOADS = {
    "floor_area_m2": {"lighting", "receptacles"},
    "occupancy": {"lighting", "receptacles"},
    "strip_m": {"multioutlet", "show window", "track lighting"},
    "used_together": {"multioutlet"},
    "duty_pct": {"welder"},
    "motor_generator": {"welder"},
}
"""Fields of a load that say something only of loads of these categories."""


def is_seldom_filled(record: r.Record, spec: FieldSpec) -> bool:
    """Tell whether a field may be kept back: seldom needed, and nothing entered in it."""
    if spec.path[-1] not in _SELDOM or isinstance(record, r.Transformer):
        return False
    value = value_at(record, spec.path)
    return value in (None, False, "", (), 0) or value == "customer"


def is_relevant(project: Project, record: r.Record, spec: FieldSpec) -> bool:
    """Tell whether a field can say anything about this record."""
    name = spec.path[0]
    if name in ("since", "until"):
        # with a single stage, the word for the work says it all
        return len(project.stages) > 1
    if isinstance(record, r.Load) and name in _OF_LOADS:
        return record.category in _OF_LOADS[name] or value_at(record, spec.path) not in (
            None,
            False,
        )
    if isinstance(record, r.Motor) and name == "conditioning":
        return record.serves is not None or _set(record, name)
    if isinstance(record, r.Pedestal) and name == "home_va":
        return record.site == "mobile home" or record.home_va is not None
    if isinstance(record, r.Pedestal) and name == "submetered":
        return record.dock or record.submetered
    if isinstance(record, r.Gear) and name in ("surge_ka", "surge_short_circuit_ka"):
        return record.surge not in (None, "none") or _set(record, name)
    if isinstance(record, r.Run):
        return _in_run(project, record, name)
    if name in ("main", "measured", "farm"):
        return _set(record, name)
    if name == "receptacle_a" and isinstance(record, r.Charger):
        return record.connection == "receptacle"
    if name == "primary_v":
        return isinstance(record, r.UtilitySource) and record.system == "primary"
    if name == "reuses":
        return _something_removed(project.equipment) or _set(record, name)
    if name == "serves":
        dwellings = (isinstance(p, r.DwellingLoad) for p in project.equipment.values())
        return any(dwellings) or _set(record, name)
    return True


def _in_run(project: Project, run: r.Run, name: str) -> bool:
    from_panel = isinstance(project.equipment.get(run.source), r.Panel)
    if name == "spaces":
        return from_panel
    if name == "legs":
        return not run.spaces
    if name == "neutral_with":
        return from_panel
    if name == "segments":
        return bool(project.raceways)
    if name == "clearance_m":
        return run.spans is not None
    if name == "lands_on":
        return isinstance(project.equipment.get(run.target), r.TransferSwitch)
    if name == "device":
        return run.protected_at != "none"
    if name == "reuses":
        return _something_removed(project.runs) or _set(run, name)
    return True


def _something_removed(table: Mapping[str, r.Standing]) -> bool:
    return any(record.until is not None for record in table.values())


def _set(record: r.Record, name: str) -> bool:
    return getattr(record, name) is not None
