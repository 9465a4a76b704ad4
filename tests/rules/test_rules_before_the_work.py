"""Existing equipment that the work alone supplies."""

from rules.build import altered, feeder, fine, message, of_rule, remedied
from study.build import Site

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.study.before_after import before_and_after
from ampacre.study.study import Study

RULE = "existing-had-a-supply"
NEW = {"since": r.WORK}


def behind(since=r.WORK, **run):
    """An existing panel P with a load, behind a transformer T and a meter M of the work."""
    site = Site()
    utility = {"role": "utility", "owner": "utility", "protected_at": "none", "since": since}
    site.add(r.UtilitySource, "line")
    site.add(r.Transformer, "T", "line", utility, owner="utility", kva=50, since=since)
    service = {"role": "service", "protected_at": "none", "since": since} | run
    site.add(r.Meter, "M", "T", service, since=since)
    site.add(r.Panel, "P", "M", service | {"protected_at": "load"}, main=r.Device(rating_a=200))
    site.add(r.Load, "L", "P", {"role": "branch", "legs": "AB"}, va=4800.0, category="appliance")
    return site


def existing_va(project, key):
    return next(row.now_va for row in before_and_after(Study(project)) if row.key == key)


def test_existing_equipment_behind_new_gear_alone_is_asked_for():
    project = behind().project()
    assert existing_va(project, "P") == existing_va(project, "T") == 0
    assert [finding.where for finding in of_rule(project, RULE)] == ["M"]
    said = message(project, RULE)
    assert said.startswith("M comes with the work and supplies P, there already: what supplied it")


def test_the_remedies_mark_all_the_way_and_give_the_load_before():
    project = behind().project()
    remedied(
        project, RULE,
        "Mark T and M as existing, with the runs between",
        "Let T and M come in place of others, with the runs between",
    )  # fmt: skip
    (finding,) = of_rule(project, RULE)
    for edit in Review(Study(project)).remedies(finding):
        assert existing_va(project.apply(edit), "T") == 4800


def test_what_stood_there_before_is_its_supply():
    fine(behind(since=None).project(), RULE)
    site = behind()
    old = {"role": "service", "protected_at": "none", "until": r.WORK}
    site.add(r.Transformer, "O", "line", old | {"role": "utility"}, kva=25, until=r.WORK)
    site.join("O", "P", **old)
    fine(site.project(), RULE)


def test_new_gear_put_into_an_existing_run_leads_on_as_before():
    site = behind(since=None)
    site.add(r.Panel, "Q", "P", feeder(100), since=r.WORK)
    site.add(r.Panel, "B", "Q", feeder(100) | NEW)
    fine(site.project(), RULE)
    new_run = altered(site.project(), "runs", "P-Q", since=r.WORK)
    assert [finding.where for finding in of_rule(new_run, RULE)] == ["Q"]


def test_new_loads_on_new_gear_need_no_supply_before():
    site = behind()
    for key in ("P", "L"):
        site.pieces[key] = type(site.pieces[key])(id=key, name=key, since=r.WORK)
    fine(site.project(), RULE)


def test_the_review_follows_what_is_marked():
    project = behind().project()
    review = Review(Study(project))
    for edit in (*review.remedies(of_rule(project, RULE)[0]), None):
        now = project if edit is None else project.apply(edit)
        study = review.study
        study.follow(now)
        review.follow(study)
        assert review.findings == Review(Study(now)).findings
