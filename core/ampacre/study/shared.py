"""Raceways, cables and trenches that several runs share: grounding, fill, trade size, cover."""

from collections.abc import Mapping
from typing import Final

from ampacre.codebook.articles import cite
from ampacre.codebook.conductors import area_cmil, size_word
from ampacre.codebook.dimensions import Outside, insulated_wire
from ampacre.codebook.raceways import NIPPLE_M
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.sizing.ampacity import ASSUMED_INSULATION
from ampacre.sizing.grounding import GroundingSize, shared_grounding
from ampacre.study.circuit import Circuit, runs_in
from ampacre.study.facts import Chosen, Line, RacewayFacts, Worksheet
from ampacre.study.ground import grounding_in
from ampacre.study.memo import Memo
from ampacre.study.room import cover_of, trade_size_of, wires_in
from ampacre.study.wires import Wires, regrounded

__all__ = ["companions", "raceway_facts", "with_shared_grounding"]

_WITHOUT: Final[tuple[r.Role, ...]] = ("utility", "service", "transformer secondary")


def companions(run: r.Run, inside: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """The other runs that lie in a raceway with this one, in id order.

    `inside` are the runs in each raceway.
    """
    found = {key for segment in run.segments for key in inside[segment.raceway]}
    return tuple(sorted(found - {run.id}))


def with_shared_grounding(
    project: Project, circuits: Mapping[str, Circuit], wires: Mapping[str, Wires], memo: Memo
) -> dict[str, Wires]:
    """Give runs that have no grounding conductor of their own the one that their raceway shares.

    Stated for the raceway, or for new runs chosen: the largest that any of its circuits asks for
    (NEC 250.122(C)). A run in several raceways takes the largest of theirs.
    """
    found = dict(wires)
    for key, runs in runs_in(project).items():
        raceway = project.raceways[key]
        present = [run for run in runs if run in circuits and _may_share(circuits[run])]
        metal = _metal(raceway, present, wires)
        needed = _needed(circuits, wires, present, metal)
        for run in present:
            circuit, known = circuits[run], found[run]
            if circuit.run.conductors.grounding is not None:
                continue
            if raceway.grounding is not None:
                shared: Chosen[str | None] = Chosen(
                    raceway.grounding, "entered", f"shared in {raceway.name}"
                )
            elif needed is not None and circuit.work == "new" and len(present) > 1:
                shared = Chosen(needed.size, "chosen", f"shared in {raceway.name}")
            else:
                continue
            if _is_larger(shared, known):
                made_from = (circuit, known, shared, metal)
                found[run] = memo.of(("grounded", key, run), made_from, regrounded)
    return found


def _may_share(circuit: Circuit) -> bool:
    return circuit.run.role not in _WITHOUT and not circuit.bundle


def _is_larger(shared: Chosen[str | None], known: Wires) -> bool:
    """Whether a shared conductor takes the place of the one that the run would have by itself."""
    own = known.grounding.value
    if own is None or own in ("none", "raceway") or shared.how == "entered":
        return True
    return area_cmil(shared.value or "") >= area_cmil(own)


def _metal(raceway: r.Raceway, runs: list[str], wires: Mapping[str, Wires]) -> str:
    if raceway.grounding_material is not None:
        return raceway.grounding_material
    aluminum = all(wires[run].material.value == "al" for run in runs)
    return "al" if aluminum else "cu"


def _needed(
    circuits: Mapping[str, Circuit], wires: Mapping[str, Wires], runs: list[str], metal: str
) -> GroundingSize | None:
    """Grounding conductor that serves all these runs; None where one of them is not known."""
    found: list[GroundingSize] = []
    for run in runs:
        known = wires[run]
        size = grounding_in(
            circuits[run], known.hots, known.material.value, known.protecting_a, metal
        )
        if size is None:
            return None
        found.append(size)
    return shared_grounding(found)


def raceway_facts(
    project: Project, circuits: Mapping[str, Circuit], wires: Mapping[str, Wires], memo: Memo
) -> dict[str, RacewayFacts]:
    """Facts of every raceway of the project, from the runs of all islands."""
    found: dict[str, RacewayFacts] = {}
    for key, runs in runs_in(project).items():
        inside = tuple(project.runs[run] for run in runs)
        own_circuits = {run: circuits[run] for run in runs if run in circuits}
        own_wires = {run: wires[run] for run in own_circuits}
        made_from = (project.settings, project.raceways[key], inside, own_circuits, own_wires)
        found[key] = memo.of(("raceway", key), made_from, _facts)
    return found


def _facts(
    settings: r.Settings,
    raceway: r.Raceway,
    inside: tuple[r.Run, ...],
    circuits: Mapping[str, Circuit],
    wires: Mapping[str, Wires],
) -> RacewayFacts:
    runs = tuple(run.id for run in inside)
    present = [run for run in runs if run in circuits]
    sharing = [run for run in present if _may_share(circuits[run])]
    new = bool(present) and all(circuits[run].work == "new" for run in present)
    kind: Chosen[str | None] = Chosen(raceway.kind)
    if raceway.kind is None:
        kind = Chosen("pvc", "chosen", "common practice outdoors and underground")
        if not new:
            kind = Chosen(None, "assumed", "taken as plastic raceway")
    metal = _metal(raceway, sharing, wires)
    needed = _needed(circuits, wires, sharing, metal) if len(sharing) > 1 else None
    outsides = _outsides(raceway, runs, circuits, wires, metal)
    longest_m = max(
        (s.length_m for run in inside for s in run.segments if s.raceway == raceway.id),
        default=0.0,
    )
    size, fill = trade_size_of(
        kind.value, raceway.trade_size, new, outsides,
        nipple=longest_m <= NIPPLE_M, exposed=raceway.place is not None,
    )  # fmt: skip
    covered = cover_of(raceway.place, kind.value, raceway.cover_m, settings, new=new)
    lines = list(covered.lines)
    if fill is not None:
        lines.append(
            Line(
                f"Fill of trade size {fill.trade_size} in", None, None, fill.fill_pct, "%",
                cite("fill_table", settings.edition),
                f"{len(outsides or ())} conductors, {fill.limit_pct:g} % allowed",
            )
        )  # fmt: skip
    if needed is not None:
        lines.append(
            Line(
                f"One grounding conductor for all: {size_word(needed.size)} or larger", None, None,
                needed.needed_cmil, "cmil", cite("egc_shared", settings.edition),
                "largest device, then the largest enlargement",
            )
        )  # fmt: skip
    counted = sum(circuits[run].current_carrying * wires[run].sets.value for run in present)
    return RacewayFacts(
        raceway=raceway,
        runs=runs,
        current_carrying=counted,
        kind=kind,
        trade_size=size,
        fill=fill,
        cover=covered.cover,
        cover_needed_m=covered.needed_m,
        grounding_needed=needed.size if needed else None,
        grounding_material=metal if needed else None,
        worksheet=Worksheet(raceway.name, tuple(lines)),
    )


def _outsides(
    raceway: r.Raceway,
    runs: tuple[str, ...],
    circuits: Mapping[str, Circuit],
    wires: Mapping[str, Wires],
    metal: str,
) -> list[Outside] | None:
    """Outsides of all conductors in a raceway; None where one is not known.

    A grounding conductor that the raceway shares counts once.
    """
    found: list[Outside] = []
    shared: list[tuple[str, str]] = []
    for run in runs:
        if run not in circuits:
            return None
        known = wires[run]
        own = circuits[run].run.conductors.grounding
        if own is None and known.grounding.value is not None:
            if known.grounding.value not in ("none", "raceway"):
                shared.append((known.grounding.value, known.insulation.value or ASSUMED_INSULATION))
            own = "none"
        one_set = wires_in(
            circuits[run], known.size.value, known.material.value, known.insulation.value,
            known.neutral.value, own, known.grounding_material.value,
        )  # fmt: skip
        if one_set is None:
            return None
        found += [wire for wire, _, _ in one_set] * known.sets.value
    if shared:
        size, kind = max(shared, key=lambda one: area_cmil(one[0]))
        wire = insulated_wire(raceway.grounding or size, metal, kind)
        if wire is None:
            return None
        found.append(wire.value)
    return found
