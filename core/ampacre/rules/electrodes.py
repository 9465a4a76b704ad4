"""Grounding electrodes: whether there are any, how many, how long, how deep."""

from collections.abc import Iterator
from typing import Final, NamedTuple

import msgspec

from ampacre.codebook.conductors import area_cmil, size_word
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import METRES_PER_FT, relabelled
from ampacre.rules.rule import Finding, Remedies, exceeds, found, on_project
from ampacre.rules.supplies import service_ids, structures_served, supplies, supply_ids
from ampacre.study.study import Study

TOPIC = "grounding"

SPACING_M: Final = 6 * METRES_PER_FT
ENOUGH_OHM: Final = 25.0
RING_SIZE: Final = "2"
BURIED_M: Final = 30 * 0.0254
PLATE_M2: Final = 2 * METRES_PER_FT**2
TWO_RODS: Final = r.Electrode(kind="rod", count=2, spacing_m=SPACING_M, length_m=8 * METRES_PER_FT)


class Grounded(NamedTuple):
    """A grounding record, the place that findings about it stand at, and the name of it."""

    where: str
    name: str
    record: r.Grounding


def grounded(study: Study) -> Iterator[Grounded]:
    """Give the grounding records; those of a structure are told where its supply comes in."""
    if not study.project.grounding:
        return
    heads: dict[str, str] = {}
    for service in service_ids(study):
        for key in structures_served(study, service):
            first = (service.disconnects or (service.entry,))[0]
            heads.setdefault(key, first)
    for supply in supply_ids(study):
        heads.setdefault(supply.structure, supply.head)
    for record in study.project.grounding.values():
        structure = study.project.structures.get(record.at)
        if structure is not None:
            yield Grounded(heads.get(record.at, "project"), structure.name, record)
        elif record.at in study.standing.equipment:
            yield Grounded(record.at, study.standing.equipment[record.at].name, record)


def electrodes(study: Study) -> Iterator[tuple[Grounded, int, r.Electrode]]:
    """Give every kind of electrode at every place, with its number in the record."""
    for place in grounded(study):
        for number, electrode in enumerate(place.record.electrodes):
            yield place, number, electrode


def _about(place: Grounded, number: int) -> str:
    return f"{place.record.id} {number}"


def _altered(study: Study, finding: Finding, label: str, **values: object) -> Edit:
    """Change one electrode of the record that a finding is about."""
    key, _, number = finding.about.rpartition(" ")
    record = study.project.grounding[key]
    changed = list(record.electrodes)
    changed[int(number)] = msgspec.structs.replace(changed[int(number)], **values)
    return relabelled(study, "grounding", key, label, electrodes=tuple(changed))


def _changed(label: str, **values: object) -> Remedies:
    """Give a remedy that changes one electrode."""
    return lambda study, finding: iter([_altered(study, finding, label, **values)])


def _needs_no_electrode(study: Study, place: Grounded) -> bool:
    """A structure that one branch circuit with a grounding conductor supplies (NEC 250.32(A))."""
    into = [supply for supply in supplies(study) if supply.structure == place.record.at]
    if len(into) != 1 or into[0].run.run.role != "branch":
        return False
    return into[0].run.grounding.value not in (None, "none")


def _drive_two_rods(study: Study, finding: Finding) -> Iterator[Edit]:
    record = study.project.grounding[finding.about]
    label = f"drive two rods 6 ft apart at {finding.values['place']}"
    both = (*record.electrodes, TWO_RODS)
    yield relabelled(study, "grounding", record.id, label, electrodes=both)


@on_project(
    "electrode-present", topic=TOPIC, severity="violation", cite="electrode_system",
    remedies=_drive_two_rods,
)  # fmt: skip
def electrode_present(study: Study) -> Iterator[Finding]:
    """A service, a separate source and a structure that a feeder supplies have an electrode.

    All that are present are used and bonded together; where there is none, one is installed (NEC
    250.50, 250.32(A)). A structure of one branch circuit with a grounding conductor needs none.
    """
    for place in grounded(study):
        if not place.record.electrodes and not _needs_no_electrode(study, place):
            yield found(
                "electrode-present", place.where, "There is no grounding electrode at {place}.",
                about=place.record.id, place=place.name,
            )  # fmt: skip


@on_project(
    "rod-not-alone", topic=TOPIC, severity="violation", cite="second_rod",
    remedies=_changed("drive a second rod, 6 ft apart", count=2, spacing_m=SPACING_M),
)  # fmt: skip
def rod_not_alone(study: Study) -> Iterator[Finding]:
    """A single rod or plate has a second electrode beside it, or 25 ohms or less to earth.

    One that nobody has measured is supplemented, by any other kind too (NEC 250.53(A)(2)).
    """
    for place, number, electrode in electrodes(study):
        together = sum(each.count for each in place.record.electrodes)
        ohm = electrode.resistance_ohm
        if electrode.kind not in ("rod", "plate") or together > 1:
            continue
        if ohm is None or exceeds(ohm, ENOUGH_OHM):
            yield found(
                "rod-not-alone", place.where,
                "One {kind} is the only electrode at {place}, {shown}.",
                about=_about(place, number), kind=electrode.kind, place=place.name,
                shown="not measured" if ohm is None else f"measured at {ohm:g} ohms, above 25",
            )  # fmt: skip


@on_project(
    "rod-spacing", topic=TOPIC, severity="warning", cite="rod_spacing",
    remedies=_changed("drive them 6 ft apart", spacing_m=SPACING_M),
)  # fmt: skip
def rod_spacing(study: Study) -> Iterator[Finding]:
    """Rods and plates of one system are 6 ft apart or more.

    Nearer ones share the same earth; twice the length of a rod is better (NEC 250.53(A)(3)).
    """
    for place, number, electrode in electrodes(study):
        if electrode.kind not in ("rod", "plate") or electrode.count < 2:
            continue
        if electrode.spacing_m is not None and exceeds(SPACING_M, electrode.spacing_m):
            yield found(
                "rod-spacing", place.where,
                "The {kind}s at {place} are {spacing_m} apart; {least_m} is the least.",
                about=_about(place, number), kind=electrode.kind, place=place.name,
                spacing_m=electrode.spacing_m, least_m=SPACING_M,
            )  # fmt: skip


def _too_short(study: Study, rule: str, kind: str, least_m: float) -> Iterator[Finding]:
    for place, number, electrode in electrodes(study):
        length_m = electrode.length_m
        if electrode.kind == kind and length_m is not None and exceeds(least_m, length_m):
            yield found(
                rule, place.where,
                "The {kind} at {place} is in contact over {length_m}; {least_m} is the least for "
                "an electrode.",
                about=_about(place, number), kind=kind, place=place.name, length_m=length_m,
                least_m=least_m,
            )  # fmt: skip


def _longer(study: Study, finding: Finding) -> Iterator[Edit]:
    least_m = float(finding.values["least_m"])
    kind = finding.values["kind"]
    feet = least_m / METRES_PER_FT
    yield _altered(study, finding, f"make the {kind} {feet:.0f} ft long", length_m=least_m)


@on_project("rod-length", topic=TOPIC, severity="violation", cite="rod_length", remedies=_longer)
def rod_length(study: Study) -> Iterator[Finding]:
    """A rod is in contact with earth over 8 ft or more.

    Driven at a slant or laid in a trench where rock is met (NEC 250.52(A)(5), 250.53).
    """
    yield from _too_short(study, "rod-length", "rod", 8 * METRES_PER_FT)


def _with_rods(study: Study, finding: Finding) -> Iterator[Edit]:
    key = finding.about.rpartition(" ")[0]
    record = study.project.grounding[key]
    label = f"drive two rods 6 ft apart at {finding.values['place']}"
    both = (*record.electrodes, TWO_RODS)
    yield relabelled(study, "grounding", key, label, electrodes=both)


@on_project(
    "water-pipe-length", topic=TOPIC, severity="warning", cite="water_pipe_electrode",
    remedies=_longer,
)  # fmt: skip
def water_pipe_length(study: Study) -> Iterator[Finding]:
    """A metal water pipe is an electrode with 10 ft or more of it in the earth.

    A shorter one is bonded and counts for nothing (NEC 250.52(A)(1)).
    """
    yield from _too_short(study, "water-pipe-length", "metal water pipe", 10 * METRES_PER_FT)


@on_project(
    "water-pipe-not-alone", topic=TOPIC, severity="violation", cite="water_pipe_electrode",
    remedies=_with_rods,
)  # fmt: skip
def water_pipe_not_alone(study: Study) -> Iterator[Finding]:
    """A water pipe is never the only electrode.

    Pipes are replaced by plastic; another electrode of any other kind stands beside it (NEC
    250.53(D)).
    """
    for place, number, electrode in electrodes(study):
        if electrode.kind == "metal water pipe" and len(place.record.electrodes) == 1:
            yield found(
                "water-pipe-not-alone", place.where,
                "A metal water pipe is the only electrode at {place}.",
                about=_about(place, number), place=place.name,
            )  # fmt: skip


@on_project(
    "encased-electrode-length", topic=TOPIC, severity="violation", cite="encased_electrode",
    remedies=_longer,
)  # fmt: skip
def encased_electrode_length(study: Study) -> Iterator[Finding]:
    """Steel or copper in a footing is an electrode with 20 ft or more of it in the concrete.

    1/2 in bars or 4 AWG copper, in concrete that touches the earth (NEC 250.52(A)(3)).
    """
    yield from _too_short(study, "encased-electrode-length", "concrete-encased", 20 * METRES_PER_FT)


@on_project(
    "ring-length", topic=TOPIC, severity="violation", cite="ring_electrode", remedies=_longer
)
def ring_length(study: Study) -> Iterator[Finding]:
    """A ground ring has 20 ft or more of bare copper in the earth.

    It goes around the building and touches the earth all along (NEC 250.52(A)(4), from memory).
    """
    yield from _too_short(study, "ring-length", "ring", 20 * METRES_PER_FT)


@on_project(
    "ring-size", topic=TOPIC, severity="violation", cite="ring_electrode",
    remedies=_changed("lay a ring of 2 AWG copper", size=RING_SIZE),
)  # fmt: skip
def ring_size(study: Study) -> Iterator[Finding]:
    """A ground ring is of 2 AWG copper or larger.

    Smaller wire in the earth corrodes away (NEC 250.52(A)(4), from memory).
    """
    for place, number, electrode in electrodes(study):
        if electrode.kind != "ring" or electrode.size is None:
            continue
        if area_cmil(electrode.size) < area_cmil(RING_SIZE):
            yield found(
                "ring-size", place.where,
                "The ring at {place} is {size}; {least} is the least.",
                about=_about(place, number), place=place.name, size=size_word(electrode.size),
                least=size_word(RING_SIZE),
            )  # fmt: skip


@on_project(
    "electrode-depth", topic=TOPIC, severity="violation", cite="electrode_depth",
    remedies=_changed("bury it 30 in deep", depth_m=BURIED_M),
)  # fmt: skip
def electrode_depth(study: Study) -> Iterator[Finding]:
    """A ground ring and a plate lie 30 in deep or more.

    Below frost and drought, as far as a trench goes (NEC 250.53, from memory).
    """
    for place, number, electrode in electrodes(study):
        depth_m = electrode.depth_m
        if electrode.kind not in ("ring", "plate") or depth_m is None:
            continue
        if exceeds(BURIED_M, depth_m):
            yield found(
                "electrode-depth", place.where,
                "The {kind} at {place} lies {depth_m} deep; {least_m} is the least.",
                about=_about(place, number), kind=electrode.kind, place=place.name,
                depth_m=depth_m, least_m=BURIED_M,
            )  # fmt: skip


@on_project(
    "plate-area", topic=TOPIC, severity="violation", cite="plate_electrode",
    remedies=_changed("bury a plate of 2 square feet", area_m2=PLATE_M2),
)  # fmt: skip
def plate_area(study: Study) -> Iterator[Finding]:
    """A plate touches the earth with 2 square feet or more.

    Both sides of it count; steel 1/4 in thick, or other metal 0.06 in (NEC 250.52(A)(7), from
    memory).
    """
    for place, number, electrode in electrodes(study):
        area_m2 = electrode.area_m2
        if electrode.kind == "plate" and area_m2 is not None and exceeds(PLATE_M2, area_m2):
            yield found(
                "plate-area", place.where,
                "The plate at {place} touches the earth with {area_m2}; {least_m2} is the least.",
                about=_about(place, number), place=place.name, area_m2=area_m2,
                least_m2=PLATE_M2,
            )  # fmt: skip
