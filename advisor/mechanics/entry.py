"""Getting down into the material: helix, ramp and drilled hole."""

from math import atan2, degrees, pi, radians, sqrt, tan

from advisor.mechanics.lengths import exceeds, pieces, reaches


def helix_bore(
    DC: float,
    RE: float,
    region_width: float,
    side_allowance: float,
    factor_low: float,
    factor_high: float,
    dead_centre: float = 0.0,
) -> float | None:
    r"""Return the widest bore that the cutter can helix down in [mm], or None when there is no room for one.

    .. math:: \max(f_{low} DC,\; DC + d_0) \le D_h \le \min(f_{high} DC,\; 2 (DC - RE),\; w - 2 s)

    DC: cutting diameter [mm]; RE: corner radius [mm]; region_width: w [mm]; side_allowance: s on each wall [mm];
    factor_low, factor_high: narrowest and widest bore as multiples of DC [-]; dead_centre: d_0, the diameter in the
    middle of the cutter that does not cut [mm]. Above 2 (DC - RE) a pip stands in the middle; below DC + d_0 a core
    stays under the cutter: what every turn leaves within d_0 / 2 of the cutter's centre is never cut.

    >>> helix_bore(10, 0.5, 40, 0.5, 1.3, 1.8)
    18.0
    >>> helix_bore(10, 0.5, 16, 0.5, 1.3, 1.8)
    15.0
    >>> helix_bore(10, 0.5, 13, 0.5, 1.3, 1.8) is None
    True
    >>> helix_bore(20, 0.8, 33, 0.5, 1.6, 1.9, dead_centre=12), helix_bore(20, 0.8, 33, 0.5, 1.6, 1.9, dead_centre=12.1)
    (32.0, None)

    Reference: geometry; the two factors are the caller's, from the rule base.
    """
    widest = min(factor_high * DC, 2 * (DC - RE), region_width - 2 * side_allowance)
    narrowest = max(factor_low * DC, DC + dead_centre)
    return widest if reaches(widest, narrowest) else None


def _check_bore(bore: float, DC: float) -> None:
    if not exceeds(bore, DC):
        raise ValueError(f"bore {bore} must be wider than the cutter {DC}")


def helix_angle(pitch: float, bore: float, DC: float) -> float:
    r"""Return the angle at which the cutter's centre descends on a helix of a given pitch [deg].

    .. math:: \tan\alpha = \frac{p}{\pi (D_h - DC)}

    pitch: p, descent in one turn [mm]; bore: D_h [mm]; DC: cutting diameter [mm]. Range: bore > DC.
    Raises ValueError outside the range.

    >>> round(helix_angle(31.42, 20, 10), 1)
    45.0

    Reference: the helix unrolled.
    """
    _check_bore(bore, DC)
    return degrees(atan2(pitch, pi * (bore - DC)))


def helix_pitch(bore: float, DC: float, angle: float) -> float:
    r"""Return how far the cutter descends in one turn of the helix [mm].

    .. math:: p = \pi (D_h - DC) \tan\alpha

    bore: D_h [mm]; DC: cutting diameter [mm]; angle: descent alpha of the cutter's centre [deg].
    Range: bore > DC, 0 < alpha < 90.
    Raises ValueError outside the range.

    >>> round(helix_pitch(20, 10, 45), 2)
    31.42

    Reference: the helix unrolled.
    """
    _check_bore(bore, DC)
    return pi * (bore - DC) * _slope(angle)


def helix_depth(pitch: float, bore: float, DC: float) -> float:
    r"""Return how deep a straight cut at full width removes as much as a helix in the solid, at one feed [mm].

    .. math:: a = \frac{p D_h^2}{4 DC (D_h - DC)}

    pitch: p, descent in one turn [mm]; bore: D_h [mm]; DC: cutting diameter [mm]. Range: bore > DC. The feed is that of
    the cutter's centre. A turn takes the area of the bore as deep as its pitch; in a bore of twice the cutter that is
    the pitch itself, in a narrower one the paths of the cutter overlap in the middle, and it is more.
    Raises ValueError outside the range.

    >>> helix_depth(1, 20, 10), helix_depth(1, 15, 10)
    (1.0, 1.125)

    Reference: volume of a turn over its way and the cutter's width; tests/outside compares it with the bore's volume.
    """
    _check_bore(bore, DC)
    return pitch * bore**2 / (4 * DC * (bore - DC))


def helix_time(depth: float, bore: float, DC: float, angle: float, centre_feed: float) -> float:
    r"""Return the time for helixing down [s].

    .. math:: t = 60 \, \frac{d}{p} \, \frac{\pi (D_h - DC)}{v_{f,c}}

    depth: d [mm]; bore: D_h [mm]; DC: cutting diameter [mm]; angle: descent alpha [deg]; centre_feed: feed of the
    cutter's centre, measured in the plane [mm/min]. Range: as helix_pitch, and a feed above 0. The bore's width falls
    out: the way in the plane is d / tan(alpha).
    Raises ValueError outside the range.

    >>> round(helix_time(10, 18, 10, 45, 600), 3)
    1.0

    Reference: turns times circumference over feed.
    """
    _check_feed(centre_feed)
    return 60 * depth / helix_pitch(bore, DC, angle) * pi * (bore - DC) / centre_feed


def ramp_descent(length: float, DC: float, angle: float) -> float:
    r"""Return how far the cutter descends in one stroke along a region [mm].

    .. math:: s = (L - DC) \tan\alpha

    length: L of the region [mm]; DC: cutting diameter [mm]; angle: ramp alpha [deg]. Range: L > DC, 0 < alpha < 90.
    Raises ValueError outside the range.

    >>> round(ramp_descent(60, 10, 45), 3)
    50.0

    Reference: geometry.
    """
    if not exceeds(length, DC):
        raise ValueError(f"length {length} must be more than the cutter's diameter {DC}")
    return (length - DC) * _slope(angle)


def ramp_strokes(
    depth: float, length: float, DC: float, angle: float, allowed_depth: float, clearance: float = 0.0
) -> int:
    r"""Return how many strokes to and fro bring the cutter to the bottom, with the level one that clears the last ramp.

    .. math:: N = \lceil d / \min(s,\; a_{allowed}/2) + c / s \rceil + 1, \quad
        2 \;(d \le a_{allowed},\; d + c \le s)

    depth: d in the material [mm]; length: L of the region [mm]; DC: cutting diameter [mm]; angle: ramp alpha [deg];
    allowed_depth: greatest axial depth at full width [mm]; clearance: c, height above the material where the ramp
    begins [mm]. s is the descent of a stroke; in the air nothing but the angle limits it. On the way back the cut grows
    from nothing to twice the descent, where the stroke before began; a depth that one stroke reaches has none.
    Raises ValueError as ramp_descent, and for an allowed depth that is not above 0.

    >>> ramp_strokes(12, 60, 10, 2, 5), ramp_strokes(12, 60, 10, 10, 5)
    (8, 6)
    >>> ramp_strokes(0.1, 60, 10, 2, 0.1, 0.3), ramp_strokes(0.2, 60, 10, 2, 0.1, 0.3)
    (2, 6)

    Reference: geometry; tests/outside cuts it in a section of the stock.
    """
    if not allowed_depth > 0:
        raise ValueError(f"allowed depth {allowed_depth} must be above 0")
    descent = ramp_descent(length, DC, angle)
    if reaches(allowed_depth, depth) and reaches(descent, depth + clearance):
        return 2
    step = min(descent, allowed_depth / 2)
    return pieces(depth + clearance * step / descent, step) + 1


def ramp_time(strokes: int, length: float, DC: float, feed_rate: float) -> float:
    r"""Return the time of the cutting strokes [s].

    .. math:: t = 60 \, N (L - DC) / v_f

    strokes: N [-]; length: L of the region [mm]; DC: cutting diameter [mm]; feed_rate: v_f in the plane [mm/min].
    Raises ValueError if the region is no longer than the cutter or the feed not above 0.

    >>> ramp_time(6, 60, 10, 1000)
    18.0

    Reference: way over feed.
    """
    _check_feed(feed_rate)
    if not exceeds(length, DC):
        raise ValueError(f"length {length} must be more than the cutter's diameter {DC}")
    return 60 * strokes * (length - DC) / feed_rate


def drill_point(DC: float, point_angle: float) -> float:
    r"""Return the length of a drill's point [mm].

    .. math:: l = \frac{DC}{2 \tan(\sigma/2)}

    DC: cutting diameter [mm]; point_angle: sigma [deg]. Range: 0 < sigma <= 180.
    Raises ValueError outside the range.

    >>> [round(drill_point(10, sigma), 1) for sigma in (118, 140)]
    [3.0, 1.8]

    Reference: geometry of the cone.
    """
    if not 0 < point_angle <= 180:
        raise ValueError(f"point angle {point_angle} must lie above 0 and up to 180 degrees")
    return DC / (2 * tan(radians(point_angle / 2)))


def cone_depth(hole_depth: float, point: float, hole_diameter: float, width: float) -> float:
    r"""Return the depth at which the cone of a drilled hole is as wide as a given diameter [mm].

    .. math:: z = H - l \frac{w}{D}

    hole_depth: H, of the drill's tip [mm]; point: l, length of the drill's point [mm]; hole_diameter: D [mm]; width: w
    [mm]. Range: 0 <= w <= D. At w = D it is where the full diameter ends; at the dead centre of a cutter, which does
    not cut, how deep that cutter can go straight down.
    Raises ValueError outside the range.

    >>> cone_depth(30, 5, 20, 20), cone_depth(30, 5, 20, 8), cone_depth(30, 5, 20, 0)
    (25.0, 28.0, 30.0)

    Reference: similar triangles.
    """
    if not (width >= 0 and reaches(hole_diameter, width)):
        raise ValueError(f"width {width} must lie between 0 and the hole's diameter {hole_diameter}")
    return hole_depth - point * width / hole_diameter


def corner_inset(RE: float, height: float) -> float:
    r"""Return how much narrower a square cutter with round corners is on each side, so far above its end [mm].

    .. math:: i = RE - \sqrt{RE^2 - (RE - h)^2} \;(h < RE), \quad 0 \;(h \ge RE)

    RE: corner radius [mm]; height: h above the end [mm]. Range: both not below 0.
    Raises ValueError outside the range.

    >>> corner_inset(1, 0), corner_inset(1, 1), round(corner_inset(0.8, 0.3), 3)
    (1.0, 0.0, 0.176)

    Reference: geometry of a quarter of a circle.
    """
    if min(RE, height) < 0:
        raise ValueError(f"corner radius {RE} and height {height} must not be below 0")
    return 0.0 if height >= RE else RE - sqrt(RE**2 - (RE - height) ** 2)


def _slope(angle: float) -> float:
    if not 0 < angle < 90:
        raise ValueError(f"angle of descent {angle} must lie between 0 and 90 degrees")
    return tan(radians(angle))


def _check_feed(feed: float) -> None:
    if not feed > 0:
        raise ValueError(f"feed {feed} must be above 0")
