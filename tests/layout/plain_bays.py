"""A bay in plain numbers: holes counted one by one along a stock rail, for square-cut rails."""

from math import hypot


def holes_along(length, pitch, baluster, margin=None):
    """Hole centres of a stock rail: from the margin on, or as many as fit, centred."""
    first = baluster / 2 if margin is None else margin
    count = 0
    while first + count * pitch + baluster / 2 <= length + 1e-9:
        count += 1
    if margin is None:
        first = (length - (count - 1) * pitch) / 2
    return [first + number * pitch for number in range(count)]


def end_gaps(clear, slope, panel, bracket, stock, way):
    """Level gaps beside the two posts of a rail cut from a stock length; None if it is too short.

    The rail lies midway in the bay; moved half a pitch, its pattern goes towards the upper post.
    """
    along = hypot(1, slope)
    rail = (clear - 2 * float(bracket.pivot_offset)) * along - 2 * float(bracket.rail_setback)
    pitch, baluster = float(panel.pitch), float(panel.baluster)
    over = pitch / 2 if way == "half-pitch" else 0.0
    spare = stock - rail
    if spare / 2 < over - 1e-9:
        return None
    half = baluster / 2 * along
    margin = None if panel.end_margin is None else float(panel.end_margin)
    inside = [
        hole + over - spare / 2
        for hole in holes_along(stock, pitch, baluster, margin)
        if half - 1e-9 <= hole + over - spare / 2 <= rail - half + 1e-9
    ]
    if not inside:
        return clear, clear
    face = (clear - rail / along) / 2
    return (
        face + inside[0] / along - baluster / 2,
        face + (rail - inside[-1]) / along - baluster / 2,
    )


def ways_of(clear, slope, panel, bracket):
    """End gaps and stock by way, each from the shortest stock that reaches."""
    found = {}
    for way in ("even", "half-pitch"):
        for stock in sorted(map(float, panel.stock)):
            gaps = end_gaps(clear, slope, panel, bracket, stock, way)
            if gaps is not None:
                found[way] = (*gaps, stock)
                break
    return found
