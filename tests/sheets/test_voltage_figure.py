"""The voltage figure draws the limits that the check uses."""

from pathlib import Path

from sheets.printed import printed

from ampacre.rules.running_voltage import LEAST_A_PCT, LEAST_B_PCT
from ampacre.sheets.figures import figures
from ampacre.sheets.table import Figure
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLE = load(Path(__file__).parents[2] / "samples" / "harrow_orchard_upgraded.ampacre")


def test_limits_of_use_are_those_of_the_check():
    said = printed(Study(SAMPLE))["Figures"]
    assert "95 %, service, range A" in said
    assert f"{LEAST_A_PCT:.0f} %, use, range A" in said
    assert f"{LEAST_B_PCT:.1f} %, use, range B" in said


def test_limits_stand_at_their_height_on_the_scale():
    figure = next(
        part
        for part in figures(Study(SAMPLE), 300.0)
        if isinstance(part, Figure) and part.title.startswith("Voltage along")
    )
    at = {e.text: e.y for e in figure.elements if getattr(e, "text", "")}
    per_pct = (at["88 %"] - at["100 %"]) / 12
    for words, pct in (("90 %, use, range A", 90.0), ("86.7 %, use, range B", LEAST_B_PCT)):
        assert abs(at[words] - at["100 %"] - (100 - pct) * per_pct) < 0.01
