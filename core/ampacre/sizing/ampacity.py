"""What a run's conductors may carry: where they end, and by their insulation corrected."""

from functools import lru_cache

from msgspec import Struct

from ampacre.codebook import conductors

__all__ = ["ASSUMED_INSULATION", "ConductorAmpacity", "conductor_ampacity", "end_column"]

ASSUMED_INSULATION = "XHHW-2"
"""Taken where no insulation is stated: the usual 90 C, wet-rated building wire."""


class ConductorAmpacity(Struct, frozen=True):
    """Ampacity of one line conductor [A], all its parallel sets together.

    `terminal_a` is the column `terminal_c` [C] uncorrected: that of the terminations, or the
    conductor's own where that is lower, as `ends` says in words. `corrected_a` is the insulation
    `column` [C], which gives `base_a`, times the factors, not above the cap of a cable type.
    `governs` says in words which of the two is less.
    """

    terminal_a: float
    terminal_c: int
    ends: str
    corrected_a: float
    base_a: float
    column: int
    ambient_factor: float
    bundling_factor: float
    governs: str

    @property
    def allowed_a(self) -> float:
        """The lesser of the two."""
        return min(self.terminal_a, self.corrected_a)


def end_column(insulation: str | None, wet: bool, terminal_c: int) -> int:
    """Column [C] of the ampacity before any factor: never above that of terminations or conductor.

    NEC 110.14(C), Table 310.4(1), and 334.80 and 340.80 for cables whose ampacity is that of 60 C
    conductors whatever they end in.
    """
    kind = insulation or ASSUMED_INSULATION
    own = conductors.insulation_column(kind, wet)
    return min(terminal_c, own, conductors.ampacity_cap(kind) or own)


@lru_cache(maxsize=8192)
def conductor_ampacity(
    size: str,
    material: str,
    *,
    insulation: str | None,
    terminal_c: int,
    ambient_c: float,
    wet: bool,
    sets: int = 1,
    current_carrying: int = 3,
) -> ConductorAmpacity | None:
    """Ampacity by NEC 310.14 to 310.16 and 110.14(C); None where the table has no such conductor.

    `current_carrying` counts the current-carrying conductors in each raceway or cable. Without
    `insulation` the conductor is taken as XHHW-2. At an ambient at or above the rating of the
    insulation the corrected ampacity is 0.
    """
    kind = insulation or ASSUMED_INSULATION
    column = conductors.insulation_column(kind, wet)
    end_c = end_column(kind, wet, terminal_c)
    base = conductors.ampacity(size, material, column)
    terminal = conductors.ampacity(size, material, end_c)
    if base is None or terminal is None:
        return None
    ambient = conductors.ambient_factor(ambient_c, column)
    bundling = conductors.bundling_factor(current_carrying).value
    factor = ambient.value if ambient else 0.0
    corrected_a = base.value * factor * bundling
    cap_c = conductors.ampacity_cap(kind)
    if end_c == terminal_c:
        ends = f"terminations at {terminal_c} C"
    elif end_c == cap_c:
        ends = f"{cap_c} C limit of {kind}"
    else:
        ends = f"{kind} at {column} C"
    cap = conductors.ampacity(size, material, cap_c) if cap_c else None
    if cap is not None:
        corrected_a = min(corrected_a, cap.value)
    if factor == 0.0:
        governs = f"ambient {ambient_c:g} C, too hot for {kind}"
    elif terminal.value <= corrected_a:
        governs = ends
    else:
        governs = f"{kind} at {column} C" + _causes(factor, bundling)
    return ConductorAmpacity(
        terminal_a=terminal.value * sets,
        terminal_c=end_c,
        ends=ends,
        corrected_a=corrected_a * sets,
        base_a=base.value * sets,
        column=column,
        ambient_factor=factor,
        bundling_factor=bundling,
        governs=governs,
    )


def _causes(ambient: float, bundling: float) -> str:
    causes = []
    if ambient != 1.0:
        causes.append(f"ambient factor {ambient:g}")
    if bundling != 1.0:
        causes.append(f"bundling factor {bundling:g}")
    return ", " + " and ".join(causes) if causes else ""
