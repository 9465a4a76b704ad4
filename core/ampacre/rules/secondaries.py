"""What a transformer's secondary supplies: its conductors, and the panel behind them."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import end_main, feed_of, has_main, next_larger, protected_a
from ampacre.rules.reading import known, run_name
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.rules.supplies import fit_main
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "transformers"

SMALLEST_DEVICE_A = 15.0


def _fit_main(study: Study, finding: Finding) -> Iterator[Edit]:
    return fit_main(study, finding.where, SMALLEST_DEVICE_A)


@on_piece(
    "panel-protected-behind-transformer", r.Panel,
    topic=TOPIC, severity="violation", cite="panel_transformer", remedies=_fit_main,
)  # fmt: skip
def panel_protected_behind_transformer(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A panel behind a transformer has its device on the secondary side.

    The primary device does not protect it, but for two-wire and delta-delta transformers (NEC
    408.36(B)).
    """
    if facts.device_ahead_a is not None or has_main(facts.piece) or not facts.supplied:
        return
    at = facts
    while at.feed is not None and at.parent is not None:
        run = study.run(at.feed)
        if run.run.protected_at == "supply" or has_main(at.piece):
            return
        at = study.equipment(at.parent)
        if isinstance(at.piece, r.Transformer):
            break
    if not isinstance(at.piece, r.Transformer) or at.piece.owner != "customer":
        return
    if at.system is not None and at.system.neutral:
        yield found(
            "panel-protected-behind-transformer", facts.piece.id,
            "{piece} is fed by {transformer} with no device between; the one on the primary does "
            "not protect it.",
            piece=facts.piece.name, transformer=at.piece.name,
        )  # fmt: skip


def _larger_secondary(study: Study, finding: Finding) -> Iterator[Edit]:
    return next_larger(study, study.run(finding.where), float(finding.values["needed_a"]))


@on_run(
    "secondary-within-its-rule", topic=TOPIC, severity="violation", cite="secondary",
    roles=("transformer secondary",), remedies=_larger_secondary,
)  # fmt: skip
def secondary_within_its_rule(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A transformer's secondary conductors are as large as their length asks for.

    By the primary device times the ratio of voltages: a tenth of it to 10 ft, a third to 25 ft;
    beyond that only outdoors (NEC 240.21(C)(2), (4) and (6)).
    """
    source = study.equipment(facts.run.source)
    run = facts.run
    if facts.ampacity is None or known(facts.size) is None or not run.length_m:
        return
    feed = feed_of(study, source)
    primary_a = protected_a(study, feed) if feed else None
    if run.protected_at == "supply" or feed is None or primary_a is None or source.system is None:
        return
    seen_a = primary_a * feed.volts / source.system.line_v
    carried_a = facts.ampacity.allowed_a
    if facts.tap is None:
        needed_a, why = seen_a, "no rule allows that length indoors"
    else:
        needed_a, why = facts.tap.least_a, f"it must carry {facts.tap.why}"
    if exceeds(needed_a, carried_a):
        yield found(
            "secondary-within-its-rule", run.id,
            "{run} runs {length_m} from a transformer behind {primary_a}, {seen_a} at its voltage, "
            "and carries {carried_a}: {why}, {needed_a}.",
            run=run_name(study, run), length_m=run.length_m, primary_a=primary_a, seen_a=seen_a,
            carried_a=carried_a, why=why, needed_a=needed_a,
        )  # fmt: skip


@on_run(
    "secondary-ends-in-device", topic=TOPIC, severity="violation", cite="secondary_device",
    roles=("transformer secondary",), remedies=end_main,
)  # fmt: skip
def secondary_ends_in_device(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A transformer's secondary conductors end in a device.

    The primary device protects them only behind a two-wire or a delta-delta transformer (NEC
    240.4(F), 240.21(C)(1)).
    """
    run, target = facts.run, study.standing.equipment[facts.run.target]
    system = study.equipment(run.source).system
    if run.protected_at == "supply" or system is None or not system.neutral or not run.length_m:
        return
    if has_main(target) or isinstance(target, r.Panel) or facts.ampacity is None:
        return
    yield found(
        "secondary-ends-in-device", run.id,
        "{run} ends in {piece} without a device; its conductors carry {carried_a}.",
        run=run_name(study, run), piece=target.name, carried_a=facts.ampacity.allowed_a,
    )  # fmt: skip
