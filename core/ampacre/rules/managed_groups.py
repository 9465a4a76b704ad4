"""Managed groups of chargers: whether a group's limit counts, and whether it makes sense."""

from collections.abc import Iterator

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.rule import Finding, exceeds, found, on_project
from ampacre.study.leaves import charger_a, unconfirmed
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
    never acts (common practice).
    """
    for group in _managed(study):
        sum_a = _members_a(study, group)
        if sum_a is not None and not exceeds(sum_a, group.limit_a):
            yield found(
                "group-limit-has-effect", "project",
                "The limit of {group}, {limit_a}, never acts: its members take {sum_a} at most.",
                about=group.id, group=group.name, limit_a=group.limit_a, sum_a=sum_a,
            )  # fmt: skip


@on_project("group-nested-limit-lower", topic=TOPIC, severity="advice", cite="common practice")
def group_nested_limit_lower(study: Study) -> Iterator[Finding]:
    """A group inside another has the lower limit.

    A nested limit that is not below the outer one never acts before it (common practice).
    """
    for group in _managed(study):
        for member in group.members:
            inner = study.project.groups.get(member)
            if isinstance(inner, r.ManagedGroup) and inner.limit_a >= group.limit_a:
                yield found(
                    "group-nested-limit-lower", "project",
                    "{inner} is limited to {inner_a} inside {group}, which is limited to "
                    "{limit_a}.",
                    about=inner.id, inner=inner.name, inner_a=inner.limit_a, group=group.name,
                    limit_a=group.limit_a,
                )  # fmt: skip


def _lower_fail_safe(study: Study, finding: Finding) -> Iterator[Edit]:
    group = study.project.groups[finding.about]
    limit_a = float(finding.values["limit_a"])
    edit = alter(study.project, "groups", group.id, fail_safe_a=limit_a)
    label = f"Let {group.name} fall back to {limit_a:g} A"
    yield msgspec.structs.replace(edit, label=label)


@on_project(
    "group-fail-safe-within-limit", topic=TOPIC, severity="warning", cite="managed_group",
    remedies=_lower_fail_safe,
)  # fmt: skip
def group_fail_safe_within_limit(study: Study) -> Iterator[Finding]:
    """What a managed group falls back to lies within its limit.

    When the manager or its measurement fails, the members must not take more than the limit that
    the circuits were sized for (NEC 750.30).
    """
    for group in _managed(study):
        if group.fail_safe_a is not None and exceeds(group.fail_safe_a, group.limit_a):
            yield found(
                "group-fail-safe-within-limit", "project",
                "{group} falls back to {fail_safe_a} when its manager fails, above its limit of "
                "{limit_a}.",
                about=group.id, group=group.name, fail_safe_a=group.fail_safe_a,
                limit_a=group.limit_a,
            )  # fmt: skip
