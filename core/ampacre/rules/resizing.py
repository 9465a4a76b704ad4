"""Remedies that several topics share: another device, larger conductors, another rating."""

from collections.abc import Iterable

import msgspec

from ampacre.codebook.conductors import SIZES, area_cmil, size_of_area, size_word
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.reading import an, run_name
from ampacre.sizing.conductor import smallest_size
from ampacre.sizing.grounding import grounding_size
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

__all__ = [
    "grounding_needed",
    "larger_size",
    "step_up",
    "with_device",
    "with_size",
]

_METAL = {"cu": "copper", "al": "aluminum"}


def step_up(needed: float, ratings: Iterable[float]) -> float | None:
    """Smallest of some ratings that is not below what is needed; None where all are."""
    return min((rating for rating in ratings if rating >= needed * (1 - 1e-9)), default=None)


def larger_size(study: Study, facts: RunFacts, device_a: float | None) -> str | None:
    """Smallest size of a run's metal for its load and this device [A]; None where none will do.

    Motor circuits, services and generator outputs are not sized by the device (NEC 240.4(G),
    230.90, 445.13).
    """
    run = facts.run
    if facts.material.value is None:
        return None
    by_device = run.role not in ("service", "utility", "generator output") and not isinstance(
        study.standing.equipment[run.target], r.Motor
    )
    return smallest_size(
        facts.sizing_a,
        facts.calculated_a,
        device_a if by_device else None,
        facts.material.value,
        insulation=facts.insulation.value,
        terminal_c=facts.terminal_c.value,
        ambient_c=study.settings.ambient_c if run.ambient_c is None else run.ambient_c,
        wet=facts.raceway.value in ("pvc", "pvc 80", "direct burial"),
        sets=facts.sets.value,
        edition=study.settings.edition,
        round_up=run.role not in ("tap", "transformer secondary"),
    )


def with_size(study: Study, facts: RunFacts, size: str) -> Edit:
    """Replace a run's conductors by larger ones of the same metal, in as many sets.

    An entered neutral keeps its proportion, so that the drop falls as much on it; an entered
    grounding conductor grows as far as it must (NEC 250.122(B)).
    """
    run = study.project.runs[facts.run.id]
    wires = _rewired(run.conductors, size)
    if facts.sets.value > 1:
        wires = msgspec.structs.replace(wires, sets=facts.sets.value)
    return _refitted(study, facts, wires, run.device, facts.protecting_a)


def with_device(study: Study, facts: RunFacts, rating_a: float) -> Edit | None:
    """Put another device at a run's supply end, and larger conductors where it needs them.

    None where no conductor of the metal may have that device.
    """
    run = study.project.runs[facts.run.id]
    device = msgspec.structs.replace(run.device or r.Device(), rating_a=rating_a)
    wires = run.conductors
    if wires.size is not None and facts.material.value is not None:
        needed = larger_size(study, facts, rating_a)
        if needed is None:
            return None
        if area_cmil(needed) > area_cmil(wires.size):
            wires = _rewired(wires, needed)
    return _refitted(study, facts, wires, device, rating_a)


def _rewired(wires: r.Conductors, size: str) -> r.Conductors:
    neutral: str | None = wires.neutral
    if wires.size and neutral and neutral != "none":
        wanted = size_of_area(area_cmil(neutral) * area_cmil(size) / area_cmil(wires.size))
        neutral = wanted if wanted in SIZES else size
        neutral = min(neutral, size, key=area_cmil)
    return msgspec.structs.replace(wires, size=size, neutral=neutral)


def _refitted(
    study: Study, facts: RunFacts, wires: r.Conductors, device: r.Device | None,
    device_a: float | None,
) -> Edit:  # fmt: skip
    """Give a run these conductors and this device, its grounding conductor as they ask for."""
    run = study.project.runs[facts.run.id]
    said = []
    if device is not None and device != run.device:
        said.append(an(f"{device.rating_a:g} A device"))
    if wires.size is not None and wires.size != run.conductors.size:
        metal = _METAL.get(facts.material.value or "", "")
        said.append(f"{size_word(wires.size)} {metal}".strip())
    needed = grounding_needed(study, facts, wires, device_a, facts.grounding_material.value)
    entered = wires.grounding
    if entered in SIZES and needed in SIZES and area_cmil(needed) > area_cmil(entered):
        wires = msgspec.structs.replace(wires, grounding=needed)
        said.append(an(f"{size_word(needed)} grounding conductor"))
    edit = alter(study.project, "runs", run.id, conductors=wires, device=device)
    label = f"Fit {run_name(study, run)} with {' and '.join(said)}"
    return msgspec.structs.replace(edit, label=label)


def grounding_needed(
    study: Study, facts: RunFacts, wires: r.Conductors, device_a: float | None, metal: str | None
) -> str | None:
    """Give the grounding conductor of this metal that a run needs with these wires and device."""
    size, hot_metal = wires.size or facts.size.value, facts.material.value
    if not (size and hot_metal and metal and device_a):
        return None
    enough = larger_size(study, facts, device_a) or size
    found = grounding_size(
        device_a,
        metal,
        hot_size=size,
        hot_material=hot_metal,
        hot_needed_size=min(enough, size, key=area_cmil),
        hot_sets=facts.sets.value,
    )
    return found.size if found else None
