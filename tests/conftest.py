"""Set-up for all tests: no screen is needed, and nothing is read from or left in a home folder."""

import os

from hypothesis import settings

os.environ["QT_QPA_PLATFORM"] = "offscreen"

# How long an example takes says more about the machine than about the program. The same examples
# come up in every run, so that a run can be repeated; `--hypothesis-profile=search` looks for more.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None)
settings.load_profile("steady")


def pytest_configure(config):
    # the offscreen platform says this of sizes, stacking and grabs, which it does not have
    config.addinivalue_line("qt_log_ignore", "This plugin does not support")
