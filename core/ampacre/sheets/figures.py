"""Figures for those who would rather look than read: loads, voltage along a path, leg balance."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.picture.lettering import shorten, wrap
from ampacre.picture.primitives import Element
from ampacre.quantity import show
from ampacre.rules.running_voltage import LEAST_A_PCT, LEAST_B_PCT, SERVICE_A_PCT
from ampacre.sheets.panel_schedule import leg_va
from ampacre.sheets.pen import CAPITALS_MM, THICK_MM, THIN_MM, Pen
from ampacre.sheets.table import Figure, Part
from ampacre.sheets.wording import number, tree_order
from ampacre.study.capacity import Faced, tightest
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

__all__ = ["figures"]

_ROW = 8.0
_NAME = 58.0
_BAR = 4.0
_MOST_ROWS = 14
# a longer bar is broken off, so that one gross overload does not squeeze all others to nothing
_MOST_SHARE = 3.0
_LIMITS = (
    (SERVICE_A_PCT, "service, range A"),
    (LEAST_A_PCT, "use, range A"),
    (LEAST_B_PCT, "use, range B"),
)
_PROFILE_HEIGHT, _MARK_ROOM = 62.0, 10.0


def figures(study: Study, width: float) -> Iterator[Part]:
    """Draw the figures in this width [mm]; those without anything to show are left out."""
    yield from _loads(study, width)
    yield from _profile(study, width)
    yield from _balance(study, width)


def _name(pen: Pen, y: float, words: str) -> None:
    pen.text(0, y + CAPITALS_MM, shorten(words, _NAME - 2.0, CAPITALS_MM))


def _loads(study: Study, width: float) -> Iterator[Part]:
    """A bar for each rated point: its load as a share of the rating that is tightest."""
    points = [
        (facts.piece.name, faced)
        for facts in tree_order(study)
        if (faced := tightest(facts)) and _loaded(facts)
    ]
    whole = min(_MOST_SHARE, max([1.0, *(faced.load / faced.rating for _, faced in points)]))
    scale = (width - _NAME - 62.0) / whole
    for first in range(0, len(points), _MOST_ROWS):
        out: list[Element] = []
        pen = Pen(out, 0, 0, "symbol", THIN_MM)
        part = points[first : first + _MOST_ROWS]
        for place, (name, faced) in enumerate(part):
            _load_bar(pen, name, faced, place * _ROW, scale)
        foot = len(part) * _ROW
        limit = _NAME + scale
        Pen(out, 0, 0, "symbol", THICK_MM).line((limit, -1.0), (limit, foot))
        pen.text(_NAME, foot + 5.0, "0")
        pen.letters(limit, foot + 5.0, "rating, 100 %")
        title = "Load against rating, level by level" + (", continued" if first else "")
        yield Figure(title, tuple(out), width, foot + 7.0)


def _loaded(facts: EquipmentFacts) -> bool:
    return bool(facts.demand and facts.demand.connected_va)


def _load_bar(pen: Pen, name: str, faced: Faced, y: float, scale: float) -> None:
    share = faced.load / faced.rating
    _name(pen, y, name)
    end = _NAME + min(share, _MOST_SHARE) * scale
    shade = 0.75 if share <= 1 else 0.35
    pen.fill((_NAME, y), (end, y), (end, y + _BAR), (_NAME, y + _BAR), shade=shade)
    if share > _MOST_SHARE:
        for x in (end - 4.0, end - 2.5):
            pen.line((x - 1.0, y + _BAR + 1.0), (x + 1.0, y - 1.0))
    unit = faced.unit.lower()
    words = f"{number(faced.load, unit)} of {number(faced.rating, unit)} {faced.unit}, {100 * share:.0f} %"
    pen.text(max(end, _NAME + scale) + 2.0, y + CAPITALS_MM + 0.3, words)


def _profile(study: Study, width: float) -> Iterator[Part]:
    """Voltage from the source to the far end of the path with the lowest voltage."""
    lowest_pct = {
        facts.piece.id: voltage.lowest_pct
        for facts in study.all_equipment()
        if (voltage := study.voltage(facts.piece.id)) is not None
    }
    ends = [study.equipment(key) for key in lowest_pct if study.equipment(key).feed]
    if not ends:
        return
    last = min(ends, key=lambda facts: lowest_pct[facts.piece.id])
    path = [last]
    while path[-1].parent:
        path.append(study.equipment(path[-1].parent))
    path = [facts for facts in reversed(path) if facts.piece.id in lowest_pct]
    distance = 0.0
    places: list[tuple[float, float, EquipmentFacts]] = []
    for facts in path:
        length_m = study.run(facts.feed).run.length_m if facts.feed and places else 0.0
        distance += length_m or 0.0
        places.append((distance, lowest_pct[facts.piece.id], facts))
    yield _profile_figure(study, places, width)


def _profile_figure(
    study: Study, places: list[tuple[float, float, EquipmentFacts]], width: float
) -> Figure:
    out: list[Element] = []
    pen = Pen(out, 0, 0, "symbol", THIN_MM)
    left, right, foot = 22.0, width - 64.0, _PROFILE_HEIGHT
    lowest = min(pct for _, pct, _ in places)
    floor = min(84.0, 2.0 * int(lowest // 2) - 2.0)
    ceiling = max(104.0, max(pct for _, pct, _ in places) + 2.0)
    step = next(step for step in (4, 10, 20, 50, 1000) if (ceiling - floor) / step <= 12)
    longest = places[-1][0] or 1.0

    def at(distance: float, pct: float) -> tuple[float, float]:
        x = left + (right - left) * distance / longest
        return x, foot * (ceiling - pct) / (ceiling - floor)

    for line_pct in range(step * int(floor // step + 1), int(ceiling) + 1, step):
        y = at(0, line_pct)[1]
        pen.line((left - 1.5, y), (right, y), dash=(0.5, 1.5))
        pen.text(0, y + CAPITALS_MM / 2, f"{line_pct} %")
    for pct, words in _LIMITS if step == 4 else _LIMITS[:1]:
        y = at(0, pct)[1]
        pen.line((left, y), (right, y), dash=(4.0, 2.0))
        pen.text(right + 5.0, y + CAPITALS_MM / 2, f"{show(pct, 'pct')}, {words}")
    thick = Pen(out, 0, 0, "symbol", THICK_MM)
    corners = [at(distance, pct) for distance, pct, _ in places]
    if len(corners) > 1:
        thick.line(*corners)
    together: list[int] = []
    for place, (x, base) in enumerate(corners):
        pen.disc(x, base, 0.9)
        together.append(place + 1)
        if place == len(corners) - 1 or corners[place + 1][0] - x > _MARK_ROOM:
            first, last = together[0], together[-1]
            pen.letters(x, base - 3.5, str(last) if first == last else f"{first}-{last}")
            together.clear()
    pen.text(left - 1.5, foot + 4.5, "0")
    pen.letters(right, foot + 4.5, show(longest, "m", study.settings.units))
    key = ", ".join(
        f"{place} {facts.piece.name} {pct:.1f} %" for place, (_, pct, facts) in enumerate(places, 1)
    )
    y = foot + 11.0
    for line in wrap(key, width, CAPITALS_MM):
        pen.text(0, y, line)
        y += 5.0
    title = f"Voltage along the path to {places[-1][2].piece.name}, everything on"
    return Figure(title, tuple(out), width, y - 5.0)


def _balance(study: Study, width: float) -> Iterator[Part]:
    """Two or three bars for each panel: what is connected to its legs."""
    panels = [
        (facts, leg_va(study, facts))
        for facts in tree_order(study)
        if isinstance(facts.piece, r.Panel)
    ]
    panels = [(facts, legs) for facts, legs in panels if any(legs.values())]
    most = max((max(legs.values()) for _, legs in panels), default=0.0)
    scale = (width - _NAME - 50.0) / most if most else 0.0
    rows = [(facts, leg, va) for facts, legs in panels for leg, va in legs.items()]
    for first in range(0, len(rows), 2 * _MOST_ROWS):
        out: list[Element] = []
        pen = Pen(out, 0, 0, "symbol", THIN_MM)
        y = 0.0
        for facts, leg, va in rows[first : first + 2 * _MOST_ROWS]:
            if leg == "A" or y == 0.0:
                _name(pen, y, facts.piece.name)
            end = _NAME + 6.0 + va * scale
            pen.text(_NAME, y + CAPITALS_MM, leg)
            pen.fill((_NAME + 6, y), (end, y), (end, y + 3.4), (_NAME + 6, y + 3.4), shade=0.75)
            pen.text(end + 2.0, y + CAPITALS_MM, f"{number(va, 'va')} VA")
            y += 5.6
        title = "Connected load on the legs of each panel" + (", continued" if first else "")
        yield Figure(title, tuple(out), width, y)
