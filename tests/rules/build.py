"""What rule tests share: a small service to hang things on, and what a finding must do."""

from study.build import Site, wires

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.rules.review import Review
from ampacre.study.study import Study

__all__ = ["Site", "altered", "broken", "fine", "message", "remedied", "service", "wires"]

JOINT = {"length_m": 0}


def service(main_a=200, bus_a=200, kva=50, **panel):
    """A utility transformer T and a bonded main panel P, 10 m of conductors apart."""
    site = Site()
    site.add(r.UtilitySource, "line")
    site.add(
        r.Transformer, "T", "line", JOINT | {"role": "utility", "owner": "utility", "protected_at": "none"},
        owner="utility", kva=kva, impedance_pct=2.0, impedance_basis="nameplate", x_r=1.5,
    )  # fmt: skip
    site.add(
        r.Panel, "P", "T",
        {
            "role": "service", "protected_at": "load", "length_m": 10.0,
            "conductors": wires("500", "500", material="al"),
        },
        **{"bus_a": bus_a, "main": r.Device(rating_a=main_a), "neutral_bonded": True} | panel,
    )  # fmt: skip
    return site


def branch(device_a, conductors=None, length_m=10.0, **fields):
    """Fields of a branch circuit on two legs."""
    return {
        "role": "branch", "legs": "AB", "device": r.Device(rating_a=device_a),
        "conductors": conductors or r.Conductors(), "length_m": length_m,
    } | fields  # fmt: skip


def feeder(device_a, conductors=None, length_m=50.0, **fields):
    """Fields of a feeder."""
    return branch(device_a, conductors, length_m, role="feeder", legs="", **fields)


def altered(project, table, key, **values):
    """The project with fields of one record changed."""
    return project.apply(alter(project, table, key, **values))


def of_rule(project, rule):
    return [found for found in Review(Study(project)).findings if found.rule == rule]


def broken(project, rule, where):
    """The one finding of a rule, which must stand at this place."""
    found = of_rule(project, rule)
    assert [finding.where for finding in found] == [where]
    return found[0]


def fine(project, rule):
    """The rule has nothing to say."""
    assert of_rule(project, rule) == []


def message(project, rule):
    """What a rule's one finding says."""
    (finding,) = of_rule(project, rule)
    return Review(Study(project)).message(finding)


def remedied(project, rule, *labels):
    """The one finding has these remedies; each clears it, and its inverse brings it back."""
    (finding,) = of_rule(project, rule)
    edits = Review(Study(project)).remedies(finding)
    assert [edit.label for edit in edits] == list(labels)
    for edit in edits:
        after = project.apply(edit)
        assert finding.key not in [found.key for found in Review(Study(after)).findings]
        before = after.apply(edit.inverse())
        assert before == project
        assert finding in Review(Study(before)).findings
