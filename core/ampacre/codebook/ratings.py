"""Ratings that equipment is sold in: panel buses, switches and meter sockets (common practice)."""

from functools import cache

from ampacre.codebook.tables import rows

__all__ = ["BUS_A", "METER_A", "SWITCH_A"]


@cache
def _ratings(table: str, column: str) -> tuple[float, ...]:
    return tuple(sorted(float(row[column]) for row in rows(table) if row[column]))


BUS_A = _ratings("panel_bus_ratings", "bus_rating_a")
METER_A = _ratings("meter_socket_ratings", "continuous_a")
SWITCH_A = (30.0, 60.0, 100.0, 200.0, 400.0, 600.0, 800.0, 1200.0)
"""Enclosed switches and transfer switches (common practice, from memory)."""
