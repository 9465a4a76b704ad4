"""What rules of every topic read of a project: names in words, known values, which runs count."""

from collections.abc import Iterator
from typing import Final, TypeVar

from ampacre.model import records as r
from ampacre.model.words import run_word
from ampacre.rules.handfuls import gathered
from ampacre.rules.recall import recalled
from ampacre.rules.rule import Severity
from ampacre.study.facts import Chosen, EquipmentFacts, Fault, RunFacts
from ampacre.study.study import Study

__all__ = [
    "an",
    "assumed_terminals",
    "how_far",
    "ids_of",
    "is_circuit",
    "known",
    "main_of",
    "of_kind",
    "place_name",
    "run_name",
    "supply_device_a",
    "target_of",
]

T = TypeVar("T")

_USUAL_C: Final = 75


@gathered
def _kinds(study: Study, key: str) -> Iterator[tuple[type[r.Equipment], r.Owner, str]]:
    piece = study.standing.equipment[key]
    yield type(piece), piece.owner, key


@recalled
def _sorted_out(study: Study) -> dict[tuple[type[r.Equipment], r.Owner], list[str]]:
    found: dict[tuple[type[r.Equipment], r.Owner], list[str]] = {}
    for kind, owner, key in _kinds(study):
        found.setdefault((kind, owner), []).append(key)
    return found


def ids_of(study: Study, kinds: tuple[type[r.Equipment], ...], *owners: r.Owner) -> tuple[str, ...]:
    """Give the ids of all standing pieces of these kinds that belong to these owners, in order."""
    return _ids_of(study, kinds, owners)


@recalled
def _ids_of(
    study: Study, kinds: tuple[type[r.Equipment], ...], owners: tuple[r.Owner, ...]
) -> tuple[str, ...]:
    return tuple(
        sorted(
            key
            for (kind, owner), keys in _sorted_out(study).items()
            if issubclass(kind, kinds) and owner in owners
            for key in keys
        )
    )


def of_kind(study: Study, *kinds: type[r.Equipment]) -> Iterator[EquipmentFacts]:
    """Give the facts of all standing pieces of these kinds, in id order."""
    return (study.equipment(key) for key in ids_of(study, kinds, "customer", "utility"))


def known(chosen: Chosen[T | None]) -> T | None:
    """Give a value that was entered or chosen; None where it is an assumption or not known."""
    return chosen.value if chosen.how in ("entered", "chosen") else None


def target_of(study: Study, run: r.Run) -> r.Equipment:
    """Give the piece that a run supplies as drawn."""
    return study.standing.equipment[run.target]


def run_name(study: Study, run: r.Run) -> str:
    """Name a run: by its own name, or by what it supplies."""
    return run_word(study.project, run)


def place_name(study: Study, where: str) -> str:
    """Name the place of a finding: a piece, a run, or the project."""
    piece = study.project.equipment.get(where)
    if piece is not None:
        return piece.name
    run = study.project.runs.get(where)
    return run_name(study, run) if run else study.settings.name


def is_circuit(study: Study, facts: RunFacts) -> bool:
    """Whether a run is one set of conductors.

    A length of 0 is a joint by bus, and a run to a dwelling's load stands for its many circuits.
    """
    return facts.run.length_m != 0 and type(target_of(study, facts.run)) is not r.DwellingLoad


def an(words: str) -> str:
    """Put the article before words that begin with a number: an 80 A bus, a 100 A bus."""
    eighty = words.startswith("8") or words.split(maxsplit=1)[0] in ("11", "18")
    return f"{'an' if eighty else 'a'} {words}"


def main_of(piece: r.Equipment) -> r.Device | None:
    """Give the main device of a panel or disconnect, where it has one of known rating."""
    if isinstance(piece, (r.Panel, r.Disconnect)) and piece.main and piece.main.rating_a:
        return piece.main
    return None


def assumed_terminals(facts: RunFacts) -> str:
    """Say, as a sentence to add, that an ampacity rests on the 60 C column, which nobody read off."""
    carried, column = facts.ampacity, facts.terminal_c
    if carried is None or column.how != "assumed" or column.value >= _USUAL_C:
        return ""
    if carried.governs != f"terminations at {column.value} C":
        return ""
    return f" Its terminals were not read and are taken at {column.value} C: verify in field."


def how_far(fault: Fault) -> tuple[Severity, str]:
    """Say that a fault reaches a figure, or how much it is at most, and how grave it is to exceed.

    A rating below an upper bound may do: it is a warning until what is not known was read off.
    """
    if fault.at_most:
        return "warning", "is, as conductors or length on the way are not known, at most"
    return "violation", "reaches"


def supply_device_a(facts: RunFacts) -> float | None:
    """Rating of a run's own device at its supply end [A]; None where there is none or not known."""
    return known(facts.device) if facts.run.protected_at == "supply" else None
