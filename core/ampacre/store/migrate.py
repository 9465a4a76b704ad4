"""Older files made current: one step for each version, on plain JSON objects.

A step takes the whole file as a plain dict and gives it as the next version writes it. Records of
old versions are never decoded, so a step does not depend on what the record types are today.
"""

from collections.abc import Callable, Mapping
from typing import Any

__all__ = ["STEPS", "migrated"]

Plain = dict[str, Any]

STEPS: dict[int, Callable[[Plain], Plain]] = {}
"""The step from each version to the next; there is only one version so far."""


def migrated(
    plain: Plain, upto: int, steps: Mapping[int, Callable[[Plain], Plain]] = STEPS
) -> Plain:
    """Bring a plain file from the version it says it has up to another."""
    while plain["version"] < upto:
        version = plain["version"]
        plain = {**steps[version](plain), "version": version + 1}
    return plain
