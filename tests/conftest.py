"""Set-up for all tests: no screen is needed, and nothing is read from or left in a home folder."""

import os

from hypothesis import settings

os.environ["QT_QPA_PLATFORM"] = "offscreen"

# How long an example takes says more about the machine than about the program.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


def pytest_configure(config):
    # the offscreen platform says this of sizes, stacking and grabs, which it does not have
    config.addinivalue_line("qt_log_ignore", "This plugin does not support")
