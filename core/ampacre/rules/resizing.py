"""Remedies that several topics share: another device, larger conductors, another rating."""

from collections.abc import Iterable

import msgspec

from ampacre.codebook.conductors import SIZES, area_cmil, size_of_area
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.reading import run_name, size_word
from ampacre.sizing.conductor import smallest_size
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

__all__ = [
    "first_of",
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
        wet=facts.raceway.value in ("pvc", "direct burial"),
        sets=run.conductors.sets,
        edition=study.settings.edition,
        round_up=run.role not in ("tap", "transformer secondary"),
    )


def with_size(study: Study, facts: RunFacts, size: str) -> Edit:
    """Replace a run's conductors by larger ones of the same metal.

    An entered neutral keeps its proportion, so that the drop falls as much on it; an entered
    grounding conductor grows as far as it must (NEC 250.122(B)).
    """
    run = study.project.runs[facts.run.id]
    wires = run.conductors
    neutral: str | None = wires.neutral
    if wires.size and neutral and neutral != "none":
        wanted = area_cmil(neutral) * area_cmil(size) / area_cmil(wires.size)
        neutral = first_of(size_of_area(wanted), neutral)
        neutral = size if area_cmil(neutral) > area_cmil(size) else neutral
    enlarged = msgspec.structs.replace(wires, size=size, neutral=neutral)
    metal = _METAL.get(facts.material.value or "", "")
    words = f"Use {size_word(size)} {metal} for {run_name(study, run)}"
    return _grounded(
        study, alter(study.project, "runs", run.id, conductors=enlarged), run.id, words
    )


def with_device(study: Study, facts: RunFacts, rating_a: float) -> Edit | None:
    """Put another device at a run's supply end, and larger conductors where it needs them.

    None where no conductor of the metal may have that device.
    """
    run = study.project.runs[facts.run.id]
    device = msgspec.structs.replace(run.device or r.Device(), rating_a=rating_a)
    words = f"Fit a {rating_a:g} A device for {run_name(study, run)}"
    fitted = alter(study.project, "runs", run.id, device=device)
    wires = run.conductors
    if wires.size is not None and facts.material.value is not None:
        needed = larger_size(study, facts, rating_a)
        if needed is None:
            return None
        if area_cmil(needed) > area_cmil(wires.size):
            after = study.fork(study.project.apply(fitted))
            rewired = with_size(after, after.run(run.id), needed)
            label = f"{words}, and {size_word(needed)} {_METAL[facts.material.value]}"
            return _labelled(fitted.then(rewired), label)
    return _grounded(study, fitted, run.id, words)


def _grounded(study: Study, edit: Edit, key: str, label: str) -> Edit:
    """Complete an edit of a run so that its entered grounding conductor is still large enough."""
    after = study.fork(study.project.apply(edit))
    needed = after.run(key).grounding_needed
    wires = after.project.runs[key].conductors
    entered = wires.grounding
    if entered is None or entered in ("none", "raceway") or needed not in SIZES:
        return _labelled(edit, label)
    if area_cmil(needed) <= area_cmil(entered):
        return _labelled(edit, label)
    enlarged = msgspec.structs.replace(wires, grounding=needed)
    more = alter(after.project, "runs", key, conductors=enlarged)
    return _labelled(edit.then(more), f"{label}, grounding conductor {size_word(needed)}")


def _labelled(edit: Edit, label: str) -> Edit:
    return msgspec.structs.replace(edit, label=label)


def first_of(found: str | None, otherwise: str) -> str:
    """Give a size that was found where the trade has it as a run's conductor, else the other."""
    return found if found in SIZES else otherwise
