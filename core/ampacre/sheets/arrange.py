"""Arranges a forest: how much room each branch takes and where its parts stand in it.

Everything hangs from a bus (or a joint) at height 0 and is measured around its line at x = 0, with
y downward: first the lead, the stretch of line that carries the run's device and words, then the
head with the symbol and the piece's words, then what hangs from the piece. Rooms stand side by side
and never overlap, so neither lines nor texts can. All lengths in mm.
"""

from ampacre.model import records as r
from ampacre.sheets import spots as s
from ampacre.sheets.pen import LINE_MM
from ampacre.sheets.rooms import RESERVED, Reserved, arriving_words, leaving_words
from ampacre.sheets.run_labels import goes_beside
from ampacre.sheets.symbols import DEVICE_MM, SYMBOLS, symbol_of
from ampacre.sheets.tree import Branch, Chain, Jump, in_order

__all__ = ["arrange", "device_end", "stub_width"]


def arrange(root: Branch, room: Reserved = RESERVED) -> s.Spot:
    """Measure a tree, leaves first, and set its parts in their places."""
    spots: dict[Branch, s.Spot] = {}
    for branch in reversed(tuple(root.walk())):
        hung: list[s.Hung] = [*_lists(branch, room)]
        hung += (
            _leaving(below, room) if isinstance(below, Jump) else spots[below]
            for below in in_order(branch)
        )
        if branch.hidden:
            hung.append(s.Folded(height=s.LIST_TOP + LINE_MM + 1.0, count=branch.hidden))
        spots[branch] = _spot(branch, hung, _second_ways(branch, room), room)
    return spots[root]


def _second_ways(branch: Branch, room: Reserved) -> list[s.Hung]:
    """Measure what stands beside a piece, the nearest first.

    The farthest joins lowest, so what lands on a standby contact, at the right, comes last.
    """
    ways: list[tuple[bool, s.Hung]] = [
        (chain.run.lands_on == "standby", _chain(chain, room)) for chain in branch.chains
    ]
    ways += [
        (jump.run is not None and jump.run.lands_on == "standby", _arriving(jump, room))
        for jump in branch.arriving
    ]
    return [part for _, part in sorted(ways, key=lambda way: way[0])]


def device_end(run: r.Run, upper: r.Equipment) -> s.DeviceEnd:
    """Say at which end the device of a run is drawn, "" for none; `upper` is the piece above.

    Conductors that a disconnect's own device protects show no second one.
    """
    if run.protected_at == "none":
        return ""
    if isinstance(upper, r.Disconnect) and upper.main is not None and run.device is None:
        return ""
    at = run.source if run.protected_at == "supply" else run.target
    return "upper" if at == upper.id else "lower"


def _lists(branch: Branch, room: Reserved) -> list[s.Hung]:
    """Split the loads of a panel into lists of about equal length."""
    count = len(branch.rows)
    lists = -(-count // s.LONGEST_LIST)
    parts = [
        tuple(branch.rows[count * part // lists : count * (part + 1) // lists])
        for part in range(lists)
    ]
    return [
        s.Listed(
            right=s.RUN_INDENT + sum(columns),
            height=s.LIST_TOP + len(rows) * LINE_MM,
            rows=rows,
            columns=columns,
        )
        for rows, columns in zip(parts, map(room.columns, parts), strict=True)
    ]


def _leaving(jump: Jump, room: Reserved) -> s.Interrupted:
    device = device_end(jump.run, jump.source.piece) if jump.run else ""
    if device == "lower":
        # a second way has no other place where its device is shown
        device = "" if jump.target.entry is jump else "upper"
    deep = device == "upper" or isinstance(jump.source.piece, r.Panel)
    top = (s.BOX_DEPTH if deep else 1.0) + s.OUTLINE_PAD + 2.0
    width = room.mark(leaving_words(jump))
    beside = room.device(jump.run) if jump.run and device else 0.0
    right = max(s.MARK_INDENT + width, s.RUN_INDENT + beside)
    return s.Interrupted(
        right=right,
        height=top + s.MARK_MM,
        jump=jump,
        width=width,
        device=device,
        device_width=beside,
        top=top,
    )


def stub_width(jump: Jump, room: Reserved) -> float:
    """Give the room that the upper end of an interrupted line takes beside others [mm]."""
    part = _leaving(jump, room)
    return part.left + part.right


def _arriving(jump: Jump, room: Reserved) -> s.Interrupted:
    width = room.mark(arriving_words(jump))
    return s.Interrupted(right=s.MARK_INDENT + width, height=s.MARK_MM, jump=jump, width=width)


def _chain(chain: Chain, room: Reserved) -> s.Spot:
    """Measure a chain, with the run that leads on from it hung from its last piece."""
    lead = _lead(chain.run, chain.end.piece, None, room)
    right = s.RUN_INDENT + lead.label.width
    outlet = s.Outlet(right=right, height=lead.height, run=chain.run, lead=lead)
    spot = _spot(chain.end, [outlet], [], room)
    above = chain.end.parent
    while above is not None:
        spot = _spot(above, [spot], [], room)
        above = above.parent
    return spot


def _lead(
    run: r.Run,
    upper: r.Equipment,
    structure: str | None,
    room: Reserved,
    *,
    service: bool = False,
    entry: Jump | None = None,
) -> s.Lead:
    """Lay out the stretch of a run that leads to a piece in `structure`, past the service point.

    Where it comes from elsewhere its mark stands at the top, and the device of the upper end there.
    """
    device = device_end(run, upper)
    if entry and device == "upper":
        device = ""
    panel = isinstance(upper, r.Panel)
    outlined = upper.structure is not None and upper.structure != structure
    pad = s.OUTLINE_PAD if outlined else 0.0
    top = s.BOX_DEPTH if device == "upper" or panel else 1.0
    words_y = LINE_MM + 1.4 if entry else top + pad + 1.0
    label = room.run(
        run,
        named=bool(run.name) and not ((device or entry) and goes_beside(run.name)),
        device=bool(device),
        service=service,
    )
    end = words_y + label.lines * LINE_MM
    service_y = end if service else None
    end += s.SERVICE_MM if service else 0.0
    device_y = s.DEVICE_TOP + (0.0 if panel else pad)
    if device == "lower":
        device_y = end + 1.0
        end = device_y + DEVICE_MM + 0.5
    return s.Lead(
        device=device,
        device_y=device_y,
        words_y=words_y,
        label=label,
        entry=room.entry(entry) if entry else 0.0,
        service_y=service_y,
        height=end + 1.5,
    )


def _spot(branch: Branch, hung: list[s.Hung], beside: list[s.Hung], room: Reserved) -> s.Spot:
    piece = branch.piece
    symbol = SYMBOLS[symbol_of(piece)]
    panel = isinstance(piece, r.Panel)
    names, label = room.names(branch), room.piece(branch)
    lines = len(names) + label.lines

    _hang(hung)
    head = lines * LINE_MM + (3.0 if panel else 1.0)
    if not panel and not branch.continued:
        head = max(head, symbol.height_mm)
    foot = head
    if not panel and len(hung) > 1:
        head += s.OUTLINE_PAD + 1.5
    lead = _whole_lead(branch, room)
    spot = s.Spot(
        branch=branch,
        symbol=symbol,
        lead=lead,
        names=names,
        label=label,
        drop=0.0,
        head=head,
        foot=foot,
        hung=hung,
        beside=beside,
        height=0.0,
    )
    if branch.structure_starts and piece.structure is not None:
        spot.title_width = room.title(piece.structure)
    _stand_beside(spot)
    _give_room(spot)
    return spot


def _stand_beside(spot: s.Spot) -> None:
    """Set second ways at the right of the lead, high enough to come down to the piece."""
    lead = spot.lead
    spot.beside_y = lead.words_y or 2.0
    below = spot.join + spot.title
    depth = max((part.height for part in spot.beside), default=0.0)
    spot.drop = max(lead.height, spot.beside_y + depth if spot.beside else 0.0) + below
    words = s.RUN_INDENT + spot.label.width if spot.is_panel else 0.0
    edge = max(lead.reach, words, 2.0 + spot.title_width) + s.CHAIN_GAP
    for part in spot.beside:
        part.x = edge + part.left
        edge = part.x + part.right + s.CHAIN_GAP


def _whole_lead(branch: Branch, room: Reserved) -> s.Lead:
    """Lay out the lead of a branch: from its bus, from a mark at the top, or none at a root."""
    if branch.feed is None and branch.entry is None:
        return s.Lead(height=s.ROOT_MM, label=room.bare())
    above = branch.entry.source if branch.entry else branch.parent
    if branch.feed is None or above is None:
        width = room.mark(arriving_words(branch.entry)) if branch.entry else 0.0
        return s.Lead(height=s.MARK_MM, label=room.bare(), entry=width)
    service = branch.feed.until is None and above.piece.owner == "utility"
    service = service and branch.piece.owner == "customer"
    structure = branch.piece.structure
    return _lead(branch.feed, above.piece, structure, room, service=service, entry=branch.entry)


def _hang(hung: list[s.Hung]) -> None:
    """Set what hangs from one bus side by side, symbols level, centred on the line above."""
    spots = [part for part in hung if isinstance(part, s.Spot)]
    level = max((spot.drop for spot in spots), default=0.0)
    for spot in spots:
        spot.height += level - spot.drop
        spot.drop = level
    edge = 0.0
    for part in hung:
        part.x = edge + part.left
        edge = part.x + part.right + s.SIBLING_GAP
    if hung:
        middle = (hung[0].x + hung[-1].x) / 2
        for part in hung:
            part.x -= middle


def _give_room(spot: s.Spot) -> None:
    """Work out how far a spot reaches, and the box of a panel."""
    width = spot.label.width
    hung, beside = spot.hung, spot.beside
    piece = spot.branch.piece
    # the outline of a structure reaches below what stands in it, and below nothing else
    pad = s.OUTLINE_PAD + 1.0 if piece.structure is not None else 0.0
    depths = [part.height + (pad if isinstance(part, s.Listed) else 0.0) for part in hung]
    if spot.is_panel:
        bus_left = min([part.x for part in hung], default=0.0) - s.BUS_OVERHANG
        taps = [part.x + min(part.right, s.BESIDE_LAST) for part in hung]
        taps += [part.x + 6 for part in beside]
        right = max([s.RUN_INDENT + width, *taps]) + s.BOX_SIDE
        bottom = spot.head + (s.BOX_DEPTH if hung else 4.0)
        spot.box = (bus_left - s.GROUND_ROOM, right, bottom)
        left = -spot.box[0] + 1.0
    else:
        bottom = spot.foot
        left = spot.symbol.left_mm + 1.0
        if hasattr(piece, "neutral_bonded"):
            left = max(left, spot.symbol.left_mm + s.GROUND_ROOM)
        right = max(spot.symbol.right_mm, 6.5) + s.PIECE_GAP + width
    spot.own = (max(s.LEFT, left), max(right, 2.0 + spot.title_width, spot.lead.reach))
    side = s.OUTLINE_PAD + 1.0 if spot.branch.structure_starts else 0.0
    spot.left = max([spot.own[0], *(part.left - part.x for part in hung)]) + side
    spot.right = max([spot.own[1], *(part.x + part.right for part in (*hung, *beside))]) + side
    spot.height = spot.drop + spot.head + max([0.0, bottom + pad - spot.head, *depths])
