"""What people are told an element is called, and the few words that describe it."""

from collections.abc import Sequence

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.words import kind_of
from ampacre.quantity import UnitSystem, show
from ampacre_gui.phrases import said

__all__ = ["counted_elements", "element_name", "rating_words", "record_of", "whole_name"]


def record_of(project: Project, key: str) -> r.AnyEquipment | r.Run | None:
    """Give the piece or run of an id, None for anything else."""
    return project.equipment.get(key) or project.runs.get(key)


def element_name(project: Project, key: str) -> str:
    """Give the tag of a piece, or where a run leads; "the project" for anything else."""
    piece = project.equipment.get(key)
    if piece:
        return piece.name or said(kind_of(piece))
    run = project.runs.get(key)
    if not run:
        return "the project"
    return run.name or f"run to {element_name(project, run.target)}"


def whole_name(project: Project, key: str) -> str:
    """Give the name of an element, and of a run its two ends too, which tell it from others."""
    run = project.runs.get(key)
    if not run:
        return element_name(project, key)
    ends = f"from {element_name(project, run.source)} to {element_name(project, run.target)}"
    return f"{run.name or 'run'} {ends}"


def counted_elements(records: Sequence[r.AnyEquipment | r.Run]) -> str:
    """Say how many of what: "4 runs", "3 panels", "2 pieces", "5 pieces and runs"."""
    kinds = {"run" if isinstance(record, r.Run) else kind_of(record) for record in records}
    if len(kinds) > 1:
        return f"{len(records)} pieces{' and runs' if 'run' in kinds else ''}"
    (kind,) = kinds
    if kind.endswith("y"):
        return f"{len(records)} {kind[:-1]}ies"
    return f"{len(records)} {kind}{'es' if kind.endswith('ch') else 's'}"


def rating_words(piece: r.Equipment, units: UnitSystem) -> str:
    """Give the rating that people know a piece by, "" where none is entered."""
    rating: tuple[float | None, str] = (None, "")
    match piece:
        case r.Transformer():
            rating = (piece.kva, "kva")
        case r.Meter():
            rating = (piece.class_a, "a")
        case r.Disconnect() | r.Panel() if piece.main and piece.main.rating_a:
            rating = (piece.main.rating_a, "a")
        case r.Panel():
            rating = (piece.bus_a, "a")
        case r.Disconnect() | r.TransferSwitch():
            rating = (piece.rating_a, "a")
        case r.Generator():
            rating = (piece.kw, "kw")
        case r.Inverter() | r.Battery():
            rating = (piece.output_a, "a")
        case r.Charger():
            rating = (piece.setting_a if piece.setting_locked else piece.nameplate_a, "a")
        case r.Motor():
            rating = (piece.full_load_a, "a") if piece.full_load_a else (piece.power_hp, "hp")
        case r.Load():
            rating = (piece.va, "va")
        case r.DwellingLoad():
            rating = (piece.floor_area_m2 or None, "m2")
        case r.Pedestal():
            return " + ".join(f"{amperes} A" for amperes in piece.receptacles_a)
    value, unit = rating
    return "" if value is None else show(value, unit, units)
