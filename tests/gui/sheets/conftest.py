"""Windows of the sheets for the tests, without drawing the same set again and again."""

import hashlib
import subprocess
import sys

import pytest
from sheets_windows import drawn, opened_file, orchard_file

from ampacre.sheets.making import framed
from ampacre.store.issued import issue_set
from ampacre_gui.sheets import maker
from ampacre_gui.sheets.maker import Maker

_SEND_AGAIN = (
    "import sys; sys.stdin.buffer.read(); sys.stdout.buffer.write(open(sys.argv[1], 'rb').read())"
)


@pytest.fixture(scope="session")
def recordings(tmp_path_factory):
    """Give a function that names the file with all that a worker sends for a job."""
    folder = tmp_path_factory.mktemp("recordings")

    def recording(job):
        path = folder / hashlib.sha256(framed(job)).hexdigest()
        if not path.exists():
            worker = [sys.executable, *maker._WORKER]
            path.write_bytes(
                subprocess.run(worker, input=framed(job), stdout=subprocess.PIPE, check=True).stdout
            )
        return path

    return recording


@pytest.fixture
def recorded(recordings, monkeypatch):
    """Have sheets that were drawn for an earlier test sent again by a process that just does that.

    Files are written by a true worker each time.
    """
    start = Maker.start

    def start_recorded(self, job):
        with monkeypatch.context() as patch:
            if job.target is None:
                sender = ["-I", "-S", "-c", _SEND_AGAIN, str(recordings(job))]
                patch.setattr(maker, "_WORKER", sender)
            start(self, job)

    monkeypatch.setattr(Maker, "start", start_recorded)


@pytest.fixture
def opened_live(show, qtbot):
    """Give a function that opens the sheets of a project; a true worker draws them."""
    windows = []

    def opening(project, wait=True):
        window = show(project)
        windows.append(window)
        window.commands["sheets"].trigger()
        if wait:
            drawn(window, qtbot)
        return window, window.files.sheets

    yield opening
    for window in windows:
        window.files.sheets.close()


@pytest.fixture
def opened(recorded, opened_live):
    """Give a function that opens the sheets of a project and waits until they are there."""
    return opened_live


@pytest.fixture
def handed_in(recorded, show, qtbot, tmp_path):
    """The sheets of a file of which a set was handed in before, with its project and sheets kept."""
    path = orchard_file(tmp_path)
    issue_set(
        path,
        "2026-03-01",
        "First",
        lambda _, sheets: sheets.write_bytes(b"sheets of the first set"),
    )
    window, sheets = opened_file(show, path, qtbot)
    yield window, sheets
    sheets.close()
