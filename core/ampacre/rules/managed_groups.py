"""Managed groups of chargers: whether a group's limit counts, and whether it makes sense."""

import math
from collections.abc import Iterator

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_project
from ampacre.study.facts import EquipmentFacts, Watched
from ampacre.study.leaves import charger_a, chargers_in, strays, unconfirmed
from ampacre.study.study import Study

TOPIC = "chargers"


def _managed(study: Study) -> Iterator[r.ManagedGroup]:
    for key in sorted(study.project.groups):
        group = study.project.groups[key]
        if isinstance(group, r.ManagedGroup):
            yield group


@on_project("group-limit-confirmed", topic=TOPIC, severity="warning", cite="managed_group")
def group_limit_confirmed(study: Study) -> Iterator[Finding]:
    """A managed group's limit counts once its listing, access and fail-safe are confirmed.

    The limit of an energy management system stands for the load it controls where the system is
    listed, its setting kept from users, and what it falls back to known (NEC 220.70, 750.30).
    """
    for group in _managed(study):
        lacking = unconfirmed(group)
        if lacking:
            yield found(
                "group-limit-confirmed", "project",
                "The limit of {group}, {limit_a}, is not counted: confirm {lacking}.",
                about=group.id, group=group.name, limit_a=group.limit_a,
                lacking=_and(lacking),
            )  # fmt: skip


def _and(things: tuple[str, ...]) -> str:
    *first, last = things
    return f"{', '.join(first)} and {last}" if first else last


def _parents(study: Study, group: r.ManagedGroup) -> dict[str, str]:
    """What feeds each of a group's chargers, and what feeds that, up to the source."""
    parents: dict[str, str] = {}
    for charger in chargers_in(study.project, group):
        at = charger
        while at in study.standing.equipment and at not in parents:
            parent = study.equipment(at).parent
            if parent is None:
                break
            parents[at] = at = parent
    return parents


@on_project("group-members-measured", topic=TOPIC, severity="warning", cite="managed_group")
def group_members_measured(study: Study) -> Iterator[Finding]:
    """A system that holds all load at a place has its chargers behind that place.

    It can keep the load where it measures under its limit only by turning down what is fed through
    there (NEC 750.30); otherwise its limit does not count.
    """
    for group in _managed(study):
        if group.measured_at is None:
            continue
        elsewhere = strays(study.project, group, _parents(study, group))
        if elsewhere:
            names = tuple(study.project.equipment[key].name for key in elsewhere)
            yield found(
                "group-members-measured", "project",
                "The limit of {group}, {limit_a}, is not counted: it measures at {place}, and "
                "{chargers} {are} not fed through there.",
                about=group.id, group=group.name, limit_a=group.limit_a,
                place=study.project.equipment[group.measured_at].name, chargers=_and(names),
                are="is" if len(names) == 1 else "are",
            )  # fmt: skip


@on_piece(
    "group-uncontrolled-load-within-limit",
    r.Transformer, r.Meter, r.Disconnect, r.Panel, r.TransferSwitch, r.Junction,
    topic=TOPIC, severity="violation", cite="managed_group", utility=True,
)  # fmt: skip
def group_uncontrolled_load_within_limit(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """What a system does not control stays below the limit that it holds all load to.

    It turns its members down, to nothing at the least. Load that it does not control and that is
    above the limit by itself goes on, and what the limit was counted on to protect is overloaded
    (NEC 750.30).
    """
    for watched in facts.watched:
        if exceeds(watched.uncontrolled_a, watched.limit_a):
            group = study.project.groups[watched.group]
            yield found(
                "group-uncontrolled-load-within-limit", facts.piece.id,
                "{group} can't hold {piece} to {limit_a}: the load that it does not control is "
                "{load_a}.",
                about=group.id, group=group.name, piece=facts.piece.name,
                limit_a=watched.limit_a, load_a=watched.uncontrolled_a,
            )  # fmt: skip


def _watched(study: Study, group: r.ManagedGroup) -> Watched | None:
    """What a group faces where it holds all load; None where it does not."""
    at = group.measured_at
    if group.holds == "members" or at is None or at not in study.standing.equipment:
        return None
    faced = (each for each in study.equipment(at).watched if each.group == group.id)
    return next(faced, None)


def _members_a(study: Study, group: r.ManagedGroup) -> float | None:
    """What a group's members would take without its limit [A]; None where one is not known."""
    total = 0.0
    for member in group.members:
        inner = study.project.groups.get(member)
        if isinstance(inner, r.ManagedGroup):
            inside_a = _members_a(study, inner)
            taken = None if inside_a is None else min(inside_a, inner.limit_a)
        else:
            piece = study.standing.equipment.get(member)
            taken = charger_a(piece) if isinstance(piece, r.Charger) else 0.0
        if taken is None:
            return None
        total += taken
    return total


@on_project("group-limit-has-effect", topic=TOPIC, severity="advice", cite="common practice")
def group_limit_has_effect(study: Study) -> Iterator[Finding]:
    """A managed group's limit lies below what its members take without it.

    A limit at or above the sum of the members' settings and of the limits of groups inside it
    never acts, nor does one that holds all load at a place and is at or above that load (common
    practice).
    """
    for group in _managed(study):
        if group.holds == "all load":
            yield from _idle_at_its_place(study, group)
            continue
        sum_a = _members_a(study, group)
        if sum_a is not None and not exceeds(sum_a, group.limit_a):
            yield found(
                "group-limit-has-effect", "project",
                "The limit of {group}, {limit_a}, never acts: its members take {sum_a} at most.",
                about=group.id, group=group.name, limit_a=group.limit_a, sum_a=sum_a,
            )  # fmt: skip


def _idle_at_its_place(study: Study, group: r.ManagedGroup) -> Iterator[Finding]:
    watched = _watched(study, group)
    if watched is not None and group.measured_at and not exceeds(watched.load_a, group.limit_a):
        yield found(
            "group-limit-has-effect", "project",
            "The limit of {group}, {limit_a}, never acts: the load at {piece} is {load_a} with its "
            "members at their settings.",
            about=group.id, group=group.name, limit_a=group.limit_a,
            piece=study.project.equipment[group.measured_at].name, load_a=watched.load_a,
        )  # fmt: skip


@on_project("group-nested-limit-lower", topic=TOPIC, severity="advice", cite="common practice")
def group_nested_limit_lower(study: Study) -> Iterator[Finding]:
    """A group inside another has the lower limit.

    A nested limit that is not below the outer one never acts before it (common practice). One on
    all load at a place is not compared with one on chargers alone.
    """
    for group in _managed(study):
        for member in group.members:
            inner = study.project.groups.get(member)
            if not isinstance(inner, r.ManagedGroup):
                continue
            if inner.holds == "all load" and group.holds == "members":
                continue
            if inner.limit_a >= group.limit_a:
                yield found(
                    "group-nested-limit-lower", "project",
                    "{inner} is limited to {inner_a} inside {group}, which is limited to "
                    "{limit_a}.",
                    about=inner.id, inner=inner.name, inner_a=inner.limit_a, group=group.name,
                    limit_a=group.limit_a,
                )  # fmt: skip


def _lower_fail_safe(study: Study, finding: Finding) -> Iterator[Edit]:
    group = study.project.groups[finding.about]
    least_a = float(finding.values["limit_a"]) - float(finding.values.get("load_a", 0.0))
    # whole amperes, as such systems are set
    fallback_a = float(math.floor(least_a + 1e-9))
    if fallback_a <= 0:
        return
    edit = alter(study.project, "groups", group.id, fail_safe_a=fallback_a)
    label = f"Let {group.name} fall back to {fallback_a:g} A"
    yield msgspec.structs.replace(edit, label=label)


@on_project(
    "group-fail-safe-within-limit", topic=TOPIC, severity="warning", cite="managed_group",
    remedies=_lower_fail_safe,
)  # fmt: skip
def group_fail_safe_within_limit(study: Study) -> Iterator[Finding]:
    """What a managed group falls back to lies within its limit.

    When the manager or its measurement fails, the members must not take more than the limit that
    the circuits were sized for (NEC 750.30); where all load at a place is held, no more than the
    load that is not controlled leaves of it.
    """
    for group in _managed(study):
        if group.holds == "all load":
            yield from _fallback_beside_load(study, group)
            continue
        if group.fail_safe_a is not None and exceeds(group.fail_safe_a, group.limit_a):
            yield found(
                "group-fail-safe-within-limit", "project",
                "{group} falls back to {fail_safe_a} when its manager fails, above its limit of "
                "{limit_a}.",
                about=group.id, group=group.name, fail_safe_a=group.fail_safe_a,
                limit_a=group.limit_a,
            )  # fmt: skip


def _fallback_beside_load(study: Study, group: r.ManagedGroup) -> Iterator[Finding]:
    watched = _watched(study, group)
    if watched is None or group.fail_safe_a is None or group.measured_at is None:
        return
    if exceeds(group.fail_safe_a + watched.uncontrolled_a, group.limit_a):
        yield found(
            "group-fail-safe-within-limit", "project",
            "{group} falls back to {fail_safe_a} when its manager fails; with the {load_a} at "
            "{piece} that it does not control, that is above its limit of {limit_a}.",
            about=group.id, group=group.name, fail_safe_a=group.fail_safe_a,
            load_a=watched.uncontrolled_a, limit_a=group.limit_a,
            piece=study.project.equipment[group.measured_at].name,
        )  # fmt: skip
