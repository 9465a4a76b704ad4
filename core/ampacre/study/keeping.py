"""What the study chose, entered: no later load resizes what was handed in or built."""

from collections.abc import Iterable, Mapping
from typing import Any, Final

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import changed
from ampacre.model.former import marked
from ampacre.model.naming import first_names
from ampacre.model.project import Change, Edit
from ampacre.model.standing import work_of
from ampacre.model.words import element_word
from ampacre.study.facts import RunFacts
from ampacre.study.settle import filled
from ampacre.study.study import Study

__all__ = ["CHOICES", "built", "kept"]

CHOICES: Final[Mapping[str, str]] = {
    "device.rating_a": "device",
    "device.interrupting_ka": "interrupting_ka",
    "conductors.size": "size",
    "conductors.material": "material",
    "conductors.insulation": "insulation",
    "conductors.sets": "sets",
    "conductors.neutral": "neutral",
    "conductors.grounding": "grounding",
    "conductors.grounding_material": "grounding_material",
    "raceway": "raceway",
    "terminal_c": "terminal_c",
    "trade_size": "trade_size",
    "place": "place",
    "cover_m": "cover",
}
"""Fields of a run that are chosen where they are left empty, with the fact that says how."""


def kept(study: Study, keys: Iterable[str]) -> Edit:
    """Enter what was chosen for pieces and runs; only new work has anything chosen."""
    changes: list[Change] = []
    names: list[str] = []
    for key in keys:
        own = _kept_of(study, key)
        if own:
            names.append(element_word(study.project, key))
        changes += own
    return Edit(f"Keep what was chosen for {first_names(names)}", tuple(changes))


def built(study: Study, keys: tuple[str, ...]) -> Edit:
    """Say of pieces and runs that they are there now, as they were chosen.

    What is left empty of an existing piece is not known, and the sizes of what was just built are.
    """
    keeping = kept(study, keys)
    return keeping.then(marked(study.project.apply(keeping), keys, "existing"))


def _kept_of(study: Study, key: str) -> tuple[Change, ...]:
    piece, run = study.project.equipment.get(key), study.project.runs.get(key)
    if piece is not None and key in study.found.equipment:
        return changed("equipment", piece, filled(piece, dict(study.equipment(key).chosen)))
    if run is not None and key in study.found.runs and work_of(run) == "new":
        return changed("runs", run, _with_choices(run, study.run(key)))
    return ()


def _with_choices(run: r.Run, facts: RunFacts) -> r.Run:
    parts: dict[str, Any] = {"device": run.device or r.Device(), "conductors": run.conductors}
    plain: dict[str, Any] = {}
    for path, name in CHOICES.items():
        fact = getattr(facts, name)
        if fact.how not in ("chosen", "assumed") or fact.value is None:
            continue
        part, _, field = path.rpartition(".")
        if part:
            parts[part] = msgspec.structs.replace(parts[part], **{field: fact.value})
        else:
            plain[field] = fact.value
    if parts["device"] == r.Device():
        parts["device"] = run.device
    return msgspec.structs.replace(run, **parts, **plain)
