"""How far past the bottom there is to cut, in how many levels, and how deep each."""

from advisor.mechanics.lengths import exceeds, pieces


def overcut(RE: float, least: float, beyond_radius: float) -> float:
    r"""Return how far the cutter goes past the bottom so that its corner leaves no skin [mm].

    .. math:: o = \max(o_{least},\; RE + b)

    RE: corner radius [mm]; least: smallest overcut [mm]; beyond_radius: b, how far the corner radius goes past [mm].

    >>> overcut(0.25, 1, 0.5), overcut(3, 1, 0.5)
    (1, 3.5)

    Reference: common practice, no source; both figures are the caller's, from the rule base.
    """
    return max(least, RE + beyond_radius)


def levels(depth_to_cut: float, allowed: float) -> int:
    r"""Return the least number of equal levels.

    .. math:: N = \lceil d_c / a_{p,allowed} \rceil

    depth_to_cut: d_c [mm]; allowed: greatest axial depth of a level [mm]. Range: both above 0.
    Raises ValueError outside the range.

    >>> levels(27.5, 8), levels(4.2, 0.7)
    (4, 6)

    Reference: counting.
    """
    if not (depth_to_cut > 0 and allowed > 0):
        raise ValueError(f"depth {depth_to_cut} and allowed depth {allowed} must be above 0")
    return max(1, pieces(depth_to_cut, allowed))


def level_depth(depth_to_cut: float, count: int, handy_step: float, limit: float) -> float:
    r"""Return the axial depth of each of count equal levels, rounded up to a handy step within the limit [mm].

    .. math:: a_p = \lceil (d_c / N) / s \rceil \, s \;\text{ if that is within the limit, else }\; d_c / N

    depth_to_cut: d_c [mm]; count: N [-]; handy_step: s [mm]; limit: greatest a_p [mm]. One level is as deep as there is
    to cut, and is not rounded. The last level takes what is left.
    Raises ValueError if even equal levels are deeper than the limit, or count or step are not above 0.

    >>> level_depth(27.5, 4, 0.5, 8), level_depth(27.5, 4, 0.5, 6.9), level_depth(27.3, 1, 0.5, 30)
    (7.0, 6.875, 27.3)

    Reference: common practice, no source.
    """
    if not (count >= 1 and handy_step > 0):
        raise ValueError(f"count {count} must be 1 or more, and handy step {handy_step} above 0")
    equal = depth_to_cut / count
    if exceeds(equal, limit):
        raise ValueError(f"{count} levels of {equal} mm are deeper than the limit {limit}")
    handy = round(pieces(equal, handy_step) * handy_step, 9)
    return handy if count > 1 and handy > 0 and not exceeds(handy, limit) else equal
