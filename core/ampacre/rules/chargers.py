"""Vehicle chargers: what each may take from its circuit, and when its setting counts."""

from collections.abc import Iterator

import msgspec

from ampacre.codebook.conductors import size_word
from ampacre.codebook.devices import next_standard, standard_below
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.reading import assumed_terminals, known
from ampacre.rules.resizing import larger_size, with_device, with_size
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.leaves import charger_a
from ampacre.study.study import Study

TOPIC = "chargers"

CONTINUOUS = 1.25
"""A charger is a continuous load (NEC 625.41): its current is at most 80 % of its circuit."""
LEAST_A = 6.0
"""The least current that the control pilot of a charger can offer (SAE J1772)."""


def _draws(charger: r.Charger) -> tuple[float | None, str]:
    """Current that a charger may take from its circuit [A], and where that is stated."""
    counted = charger_a(charger)
    if counted is None:
        return charger.setting_a, "by its setting"
    if charger.setting_locked and charger.setting_a == counted:
        return counted, "by its locked setting"
    if charger.setting_a is not None and not charger.setting_locked:
        return counted, "by its nameplate, as its setting is not locked"
    return counted, "by its nameplate"


def _device_share_a(run: RunFacts) -> float | None:
    """What a charger may take from the device of its circuit [A]; None where it is not known."""
    if known(run.device) is None and run.run.protected_at == "supply":
        return None
    if run.protecting_a is None:
        return None
    own = run.run.device if run.run.protected_at == "supply" else None
    return run.protecting_a if own and own.listed_100_pct else run.protecting_a / CONTINUOUS


def _wire_share_a(run: RunFacts) -> float | None:
    """What a charger may take from the conductors of its circuit [A]; None if not known."""
    if run.ampacity is None or known(run.size) is None:
        return None
    return min(run.ampacity.terminal_a / CONTINUOUS, run.ampacity.corrected_a)


def _lower_setting(study: Study, finding: Finding) -> Iterator[Edit]:
    """Set the charger as high as device, conductors and nameplate allow, and lock it there."""
    charger = study.project.equipment[finding.where]
    facts = study.equipment(finding.where)
    assert isinstance(charger, r.Charger)
    shares = [charger.nameplate_a]
    if facts.feed is not None:
        run = study.run(facts.feed)
        shares += [_device_share_a(run), _wire_share_a(run)]
    limit_a = min(share for share in shares if share is not None)
    setting_a = standard_below(limit_a * CONTINUOUS, study.settings.edition) / CONTINUOUS
    if setting_a < LEAST_A:
        return
    edit = alter(study.project, "equipment", charger.id, setting_a=setting_a, setting_locked=True)
    yield msgspec.structs.replace(edit, label=f"Set {charger.name} to {setting_a:g} A and lock it")


def _within_device(study: Study, finding: Finding) -> Iterator[Edit]:
    yield from _lower_setting(study, finding)
    feed = study.equipment(finding.where).feed
    rating = next_standard(CONTINUOUS * float(finding.values["draw_a"]), study.settings.edition)
    if feed is None or rating is None or study.run(feed).run.protected_at != "supply":
        return
    edit = with_device(study, study.run(feed), rating)
    if edit is not None:
        yield edit


@on_piece(
    "charger-within-device", r.Charger,
    topic=TOPIC, severity="violation", cite="evse_continuous", remedies=_within_device,
)  # fmt: skip
def charger_within_device(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A charger takes at most 80 % of its circuit's device.

    A continuous load: the device is rated 125 % of the charger's output or more (NEC 625.41). The
    output is the setting where it is locked against users, else the nameplate (625.42).
    """
    charger = facts.piece
    assert isinstance(charger, r.Charger)
    draw_a, stated = _draws(charger)
    if draw_a is None or facts.feed is None:
        return
    run = study.run(facts.feed)
    share_a = _device_share_a(run)
    if share_a is not None and exceeds(draw_a, share_a):
        yield found(
            "charger-within-device", charger.id,
            "{piece} takes {draw_a} {stated}; its {device_a} device allows {share_a}.",
            piece=charger.name, draw_a=draw_a, stated=stated, share_a=share_a,
            device_a=run.protecting_a or 0.0,
        )  # fmt: skip


def _within_wire(study: Study, finding: Finding) -> Iterator[Edit]:
    yield from _lower_setting(study, finding)
    feed = study.equipment(finding.where).feed
    if feed is None:
        return
    run = study.run(feed)
    size = larger_size(study, run, run.protecting_a)
    if size is not None and size != run.run.conductors.size:
        yield with_size(study, run, size)


@on_piece(
    "charger-within-wire", r.Charger,
    topic=TOPIC, severity="violation", cite="evse_continuous", remedies=_within_wire,
)  # fmt: skip
def charger_within_wire(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A charger takes at most 80 % of what its conductors carry uncorrected.

    The termination column, or the conductor's own where that is lower, carries 125 % of the
    continuous output, the corrected ampacity the output itself (NEC 210.19(A)(1), 334.80, 625.41).
    """
    charger = facts.piece
    assert isinstance(charger, r.Charger)
    draw_a, stated = _draws(charger)
    if draw_a is None or facts.feed is None:
        return
    run = study.run(facts.feed)
    share_a = _wire_share_a(run)
    if share_a is not None and run.ampacity is not None and exceeds(draw_a, share_a):
        yield found(
            "charger-within-wire", charger.id,
            "{piece} takes {draw_a} {stated}; its {size} conductors ({wire_a}, {governs}) allow "
            "{share_a}.{assumed}",
            piece=charger.name, draw_a=draw_a, stated=stated, share_a=share_a,
            size=size_word(run.size.value or ""), wire_a=run.ampacity.allowed_a,
            governs=run.ampacity.governs, assumed=assumed_terminals(run),
        )  # fmt: skip


@on_piece(
    "charger-within-nameplate", r.Charger,
    topic=TOPIC, severity="violation", cite="charger_nameplate", remedies=_lower_setting,
)  # fmt: skip
def charger_within_nameplate(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A charger is not set above its nameplate.

    The setting of a unit lies within what its maker marked it for.
    """
    charger = facts.piece
    assert isinstance(charger, r.Charger)
    if charger.setting_a is None or charger.nameplate_a is None:
        return
    if exceeds(charger.setting_a, charger.nameplate_a):
        yield found(
            "charger-within-nameplate", charger.id,
            "{piece} is set to {setting_a}; its nameplate says {nameplate_a}.",
            piece=charger.name, setting_a=charger.setting_a, nameplate_a=charger.nameplate_a,
        )  # fmt: skip


def _lock(study: Study, finding: Finding) -> Iterator[Edit]:
    charger = study.project.equipment[finding.where]
    edit = alter(study.project, "equipment", charger.id, setting_locked=True)
    yield msgspec.structs.replace(edit, label=f"Lock the setting of {charger.name}")


@on_piece(
    "charger-setting-locked", r.Charger,
    topic=TOPIC, severity="advice", cite="evse_setting", remedies=_lock,
)  # fmt: skip
def charger_setting_locked(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A charger set below its nameplate counts at the setting only where that is locked.

    The setting stands for the rating where users can't change it and the unit is marked with it
    (NEC 625.42); otherwise the nameplate counts.
    """
    charger = facts.piece
    assert isinstance(charger, r.Charger)
    if charger.setting_locked or charger.setting_a is None or charger.nameplate_a is None:
        return
    if exceeds(charger.nameplate_a, charger.setting_a):
        yield found(
            "charger-setting-locked", charger.id,
            "{piece} is set to {setting_a} but counts at its nameplate, {nameplate_a}, as the "
            "setting is not locked.",
            piece=charger.name, setting_a=charger.setting_a, nameplate_a=charger.nameplate_a,
        )  # fmt: skip
