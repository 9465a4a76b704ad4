"""Design drop against the project's limits."""

import pytest
from rules.build import altered, branch, broken, feeder, fine, remedied, service, wires

from ampacre.model import records as r

FOOT_M = 0.3048


def far(length_ft, va=12_000.0, size="2", neutral=None, grounding=None):
    """50 A over aluminum in plastic conduit."""
    site = service()
    site.add(
        r.Panel, "sub", "P",
        feeder(
            90, wires(size, neutral, grounding, material="al"), length_ft * FOOT_M,
            terminal_c=75, raceway="pvc",
        ),
    )  # fmt: skip
    site.add(r.Load, "load", "sub", branch(60, length_m=0.0), va=va, continuous=False)
    return site.project()


def test_a_feeder_beyond_three_per_cent():
    # NEC Chapter 9 Table 9: 2 AWG aluminum in PVC 0.32 ohm per 1000 ft;
    # 2 x 50 A x 0.32 x 0.225 / 240 V = 3.00 %
    fine(far(224), "feeder-drop-within-limit")
    finding = broken(far(230), "feeder-drop-within-limit", "P-sub")
    assert finding.severity == "advice"
    assert finding.values["drop_pct"] == pytest.approx(2 * 50 * 0.32 * 0.23 / 240 * 100)
    remedied(far(230), "feeder-drop-within-limit", "Fit the run to sub with 1 AWG aluminum")


def test_the_limit_is_the_projects():
    loose = altered(far(230), "project", "project", feeder_drop_pct=3.5)
    fine(loose, "feeder-drop-within-limit")


def test_a_larger_conductor_takes_its_grounding_conductor_with_it():
    # 2 x 90 A x 0.32 x 0.32 / 240 V = 7.68 %, which 4/0 (0.100 ohm) brings to 2.4 %. NEC 250.122:
    # 6 AWG aluminum behind 90 A; 26 240 x 211 600 / 66 360 = 83 671 cmil, 1 AWG (83 690 cmil)
    project = far(320, va=90 * 240.0, neutral="2", grounding="6")
    finding = broken(project, "feeder-drop-within-limit", "P-sub")
    assert finding.values["drop_pct"] == pytest.approx(7.68)
    remedied(
        project, "feeder-drop-within-limit",
        "Fit the run to sub with 4/0 AWG aluminum and a 1 AWG grounding conductor",
    )  # fmt: skip


def test_a_branch_beyond_its_own_limit():
    # 12 AWG copper in PVC 2.0 ohm per 1000 ft: 2 x 16 A x 2.0 x 0.06 / 120 V = 3.2 %
    site = service()
    twelve = r.Conductors(size="12", material="cu")
    site.add(
        r.Load, "heater", "P", branch(20, twelve, 60 * FOOT_M, legs="A", raceway="pvc"),
        va=1920.0, continuous=False,
    )  # fmt: skip
    project = site.project()
    finding = broken(project, "branch-drop-within-limit", "P-heater")
    assert finding.values["drop_pct"] == pytest.approx(3.2)
    remedied(project, "branch-drop-within-limit", "Fit the run to heater with 10 AWG copper")
    fine(altered(project, "runs", "P-heater", length_m=50 * FOOT_M), "branch-drop-within-limit")
    fine(project, "feeder-drop-within-limit")


def path(first_ft, last_ft):
    """A feeder of 2 AWG aluminum and behind it a branch of 6 AWG copper, 50 A through both."""
    project = far(first_ft)
    return altered(
        project, "runs", "sub-load",
        length_m=last_ft * FOOT_M, raceway="pvc",
        conductors=r.Conductors(size="6", material="cu"), terminal_c=75,
    )  # fmt: skip


def test_the_path_beyond_five_per_cent():
    # 2.93 % of the feeder and 2 x 50 x 0.49 x 0.105 / 240 = 2.14 % of the branch
    project = path(220, 105)
    finding = broken(project, "total-drop-within-limit", "sub-load")
    assert finding.values["total_pct"] == pytest.approx(2.933 + 2.144, abs=0.005)
    remedied(project, "total-drop-within-limit", "Fit the run to load with 4 AWG copper")
    fine(path(220, 100), "total-drop-within-limit")


def test_the_path_is_said_once_where_it_passes_the_limit():
    # the feeder alone drops 6.1 %: its own finding says so, and the branch is not blamed for it
    project = path(460, 50)
    broken(project, "feeder-drop-within-limit", "P-sub")
    fine(project, "total-drop-within-limit")
    loose = altered(project, "project", "project", feeder_drop_pct=8.0)
    broken(loose, "total-drop-within-limit", "P-sub")
