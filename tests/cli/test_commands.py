"""The commands: what they print, and the exit status by which scripts know."""

import json
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import ampacre_samples
import pytest
from hypothesis import HealthCheck, given, settings
from pypdf import PdfReader
from strategies import SMALL_SITE, projects

from ampacre import cli
from ampacre.model import records as r
from ampacre.model.edits import put
from ampacre.model.project import Project
from ampacre.report import report
from ampacre.report_text import check_text, numbers_text
from ampacre.rules.review import Review
from ampacre.rules.rule import RULES
from ampacre.store.file import load, save
from ampacre.study.study import Study

SHIPPED = Path(str(files(ampacre_samples) / "harrow_orchard.ampacre"))
UPGRADED = Path(str(files(ampacre_samples) / "harrow_orchard_upgraded.ampacre"))


def _json(capsys, *argv):
    code = cli.main([*map(str, argv), "--json"])
    return code, json.loads(capsys.readouterr().out)


def _named(records, name):
    return next(record for record in records.values() if record["name"] == name)


def test_check_of_the_orchard_as_shipped_tells_its_overloads(capsys):
    code, told = _json(capsys, "check", SHIPPED)
    assert code == 1
    meter = next(f for f in told["findings"] if f["name"] == "M1" and f["severity"] == "violation")
    assert meter.keys() >= {
        "rule", "severity", "where", "name", "message", "values", "cite", "remedies",
    }  # fmt: skip
    assert "393.3 A" in meter["message"]
    assert meter["remedies"]


def test_check_of_the_upgraded_orchard_is_advice_only(capsys):
    code, told = _json(capsys, "check", UPGRADED)
    assert {finding["severity"] for finding in told["findings"]} == {"advice"}
    assert code == 0


def test_check_in_words_groups_by_gravity(capsys):
    assert cli.main(["check", str(SHIPPED)]) == 1
    text = capsys.readouterr().out
    assert text.startswith("Harrow Lane Orchard (NEC 2023): ")
    assert text.index("\nViolations\n") < text.index("\nWarnings\n") < text.index("\nAdvice\n")
    assert "rule meter-carries-load" in text
    assert "could be cleared: " in text
    assert max(map(len, text.splitlines())) <= 96


# The sample's figures, worked by hand from its data by the methods of NEC 2023 article 220:
# S1 (28,645 + 16,180 + 8,160 + 40,320 + 1,080) VA / 240 V; the farmhouse by 220.82, its charger
# outside the pool: (10,000 + 0.4 x 23,200 + 4,320 + 11,520) VA / 240 V.
def test_numbers_carry_units_and_both_views_of_the_load(capsys):
    code, told = _json(capsys, "numbers", SHIPPED)
    assert code == 0
    service = _named(told["equipment"], "S1")
    assert service["calculated_va"] == pytest.approx(94_385, rel=0.005)
    assert service["calculated_a"] == pytest.approx(94_385 / 240, rel=0.005)
    assert service["sizing_a"] > service["calculated_a"]
    assert service["fault"]["greatest"]["line_line_ka"] > service["fault"]["least"]["line_line_ka"]
    assert any(line["result"] for sheet in service["worksheets"] for line in sheet["lines"])
    house = told["runs"]["run-s1-ats"]
    assert (house["device_a"], house["size"], house["grounding"]) == (200, "4/0", "none")
    assert house["calculated_a"] == pytest.approx(35_120 / 240, rel=0.005)
    assert house["length_m"] == pytest.approx(310 * 0.3048)
    assert house["how"]["size"] == "entered"
    assert house["total_drop_pct"] >= house["drop_pct"] > 3


def test_numbers_in_words_are_in_the_projects_units(capsys, tmp_path):
    assert cli.main(["numbers", str(SHIPPED)]) == 0
    text = capsys.readouterr().out
    assert "310 ft" in text
    assert "393.3 A calculated" in text
    assert "18.79 kA between legs" in text
    project = load(SHIPPED)
    metric = r.Settings(id="project", units="metric")
    save(Project(**dict(project.tables()) | {"project": {"project": metric}}), tmp_path / "m")
    assert cli.main(["numbers", str(tmp_path / "m")]) == 0
    assert "94.5 m" in capsys.readouterr().out


def test_an_accepted_finding_no_longer_counts(capsys, tmp_path):
    project = load(SHIPPED)
    review = Review(Study(project))
    for number, finding in enumerate(review.findings):
        accepted = r.Accepted(
            id=f"a{number}", rule=finding.rule, where=finding.where, about=finding.about,
            reason="seen by the inspector",
        )  # fmt: skip
        project = project.apply(put("", "accepted", accepted))
    save(project, tmp_path / "site.ampacre")
    assert cli.main(["check", str(tmp_path / "site.ampacre")]) == 0
    text = capsys.readouterr().out
    assert f"{len(review.findings)} accepted" in text
    assert "accepted: seen by the inspector" in text
    assert "\nViolations\n" not in text


@pytest.mark.parametrize("command", ["check", "numbers"])
def test_an_unreadable_file_is_told_in_one_line(capsys, tmp_path, command):
    bad = tmp_path / "bad.ampacre"
    bad.write_bytes(b"\xff")
    assert cli.main([command, str(bad)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == "ampacre: bad.ampacre: is not a text file in UTF-8\n"
    assert cli.main([command, str(tmp_path / "none")]) == 2


def test_the_rulebook_lists_and_explains_every_rule(capsys):
    assert cli.main(["rules"]) == 0
    listed = [line.split()[0] for line in capsys.readouterr().out.splitlines()]
    assert listed == list(RULES)
    code, told = _json(capsys, "rules")
    assert code == 0
    assert [rule["key"] for rule in told] == listed
    assert all(rule["title"] and rule["cite"]["2023"] for rule in told)
    assert cli.main(["rules", listed[0]]) == 0
    assert capsys.readouterr().out.startswith(f"{listed[0]}: ")
    assert cli.main(["rules", listed[0][:-1]]) == 2
    assert f"did you mean {listed[0]}" in capsys.readouterr().err
    assert cli.main(["rules", "nosuch"]) == 2
    assert '"ampacre rules" lists them all' in capsys.readouterr().err


def test_the_schema_is_json(capsys):
    assert cli.main(["schema"]) == 0
    assert "Run" in json.loads(capsys.readouterr().out)["$defs"]


@pytest.mark.parametrize(
    "argv", [[], ["chekc"], ["check"], ["permit", "x"], ["check", "x", "--jsn"]]
)
def test_wrong_usage_ends_with_status_2_and_the_usage(capsys, argv):
    with pytest.raises(SystemExit) as ended:
        cli.main(argv)
    assert ended.value.code == 2
    assert "usage: ampacre" in capsys.readouterr().err


@given(projects())
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_any_sound_project_can_be_reported(project):
    review = Review(Study(project))
    told = json.dumps(report(review), allow_nan=False)
    assert json.loads(told)["equipment"].keys() <= project.equipment.keys()
    assert check_text(review)
    assert numbers_text(review.study)


def test_every_piece_and_run_that_stands_is_reported():
    told = report(Review(Study(SMALL_SITE)))
    assert told["equipment"].keys() == SMALL_SITE.equipment.keys()
    assert told["runs"].keys() == SMALL_SITE.runs.keys()


def _launched(program, *argv, **environment):
    """Run the console script's entry in a process of its own."""
    return subprocess.run(
        [sys.executable, "-c", program, *map(str, argv)],
        capture_output=True, text=True, env={"PATH": "/usr/bin:/bin", **environment}, check=False,
    )  # fmt: skip


ENTRY = "import sys; from ampacre_gui.launch import main; code = main(); "
NO_QT = ENTRY + "assert not any(name.startswith('PySide6') for name in sys.modules); sys.exit(code)"


def test_commands_run_without_qt_and_without_a_display():
    done = _launched(NO_QT, "check", SHIPPED)
    assert (done.returncode, done.stderr) == (1, "")
    assert "Harrow Lane Orchard" in done.stdout
    done = _launched(NO_QT, "rules", "no-such-rule")
    assert done.returncode == 2


def test_the_schema_needs_no_networks_and_the_rules_no_units():
    loaded = "import sys; from ampacre.cli import main; main(sys.argv[1:]); print(*sys.modules, file=sys.stderr)"
    assert not {"networkx", "numpy", "pint", "reportlab"} & set(
        _launched(loaded, "schema").stderr.split()
    )
    check = set(_launched(loaded, "check", SHIPPED).stderr.split())
    assert "networkx" in check
    assert not {"pint", "reportlab"} & check


def test_a_reader_that_stops_early_gets_no_traceback():
    done = subprocess.run(
        ["/bin/sh", "-c", '"$0" -c "$1" numbers "$2" | head -1', sys.executable, ENTRY, str(SHIPPED)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.stdout == "Harrow Lane Orchard (NEC 2023)\n"
    assert done.stderr == ""


def test_a_terminal_that_lacks_letters_gets_replacements(tmp_path):
    save(
        Project(project={"project": r.Settings(id="project", name="Ω \u2603 farm")}), tmp_path / "x"
    )
    done = _launched(NO_QT, "check", tmp_path / "x", PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert "? ? farm" in done.stdout
    assert done.stderr == ""


def test_without_a_display_the_editor_says_so():
    done = _launched(NO_QT, SHIPPED)
    assert done.returncode == 2
    assert "there is no display" in done.stderr
    assert "These work without a window: ampacre check, numbers" in done.stderr


OPENED = """
import sys, types
import ampacre_gui
from ampacre_gui import launch
lacking = sys.argv.pop(1)
launch._loads = lambda library: lacking not in library
ampacre_gui.app = sys.modules["ampacre_gui.app"] = types.ModuleType("ampacre_gui.app")
ampacre_gui.app.run = lambda argv: print("opened", argv) or 0
sys.exit(launch.main())
"""


def test_anything_but_a_command_opens_the_editor():
    assert _launched(OPENED, "nothing", DISPLAY=":7").stdout == "opened []\n"
    assert (
        _launched(OPENED, "nothing", "my.ampacre", DISPLAY=":7").stdout == "opened ['my.ampacre']\n"
    )
    assert _launched(OPENED, "cursor", QT_QPA_PLATFORM="offscreen").stdout == "opened []\n"


def test_missing_libraries_are_named_by_package():
    done = _launched(OPENED, "cursor", DISPLAY=":7")
    assert done.returncode == 2
    assert "sudo apt install libxcb-cursor0\n" in done.stderr


def test_permit_writes_a_pdf_and_says_where_it_cannot(capsys, tmp_path):
    out = tmp_path / "set.pdf"
    assert cli.main(["permit", str(UPGRADED), "-o", str(out)]) == 0
    pages = PdfReader(out).pages
    assert len(pages) >= 2
    assert "Harrow Lane Orchard" in pages[0].extract_text()
    assert cli.main(["permit", str(UPGRADED), "-o", str(tmp_path / "none" / "set.pdf")]) == 2
    assert "none/set.pdf cannot be written: there is no folder" in capsys.readouterr().err
    bad = tmp_path / "bad.ampacre"
    bad.write_bytes(b"{")
    assert cli.main(["permit", str(bad), "-o", str(out)]) == 2
