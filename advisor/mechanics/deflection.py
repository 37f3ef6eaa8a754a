"""How far the cutter's tip gives way: a stepped beam held in the holder."""

from collections.abc import Sequence
from math import isinf, pi

from advisor.mechanics.lengths import exceeds


def tip_deflection(
    force: float,
    segments: Sequence[tuple[float, float]],
    modulus: float,
    load_from_tip: float,
    series_stiffness: float = 0.0,
) -> float:
    r"""Return how far the tip of the cutter is pushed aside [mm].

    .. math:: \delta = \sum_i \frac{64 F}{\pi E d_i^4} \int_{\max(x_i, a)}^{x_{i+1}} (x - a)\, x \, dx + \frac{F}{k}

    force: F square to the cutter [N]; segments: (length, diameter) of each piece of the cutter, from the tip to the
    holder [mm]; modulus: E [N/mm²]; load_from_tip: a, where the force acts [mm]; series_stiffness: k of holder and
    spindle [N/mm], 0 or infinite for rigid. x runs from the tip to the holder, where the beam is clamped.
    Range: slender bodies, small deflections; shear is left out, and the tilt of the holder too. A force that acts
    within the holder bends nothing.
    Raises ValueError if E, a diameter or a length is not above 0, or a is negative.

    A bar as long as L = 100 mm loaded at its end gives F L³ / (3 E I); with d⁴ = 64 x 10⁴/pi its I is 10⁴ mm⁴:

    >>> round(tip_deflection(30, [(60, 21.244), (40, 21.244)], 200_000, 0), 5)
    0.005

    Reference: Mohr's moment-area theorem, integrated exactly over each piece.
    """
    if not (modulus > 0 and load_from_tip >= 0):
        raise ValueError(f"modulus {modulus} must be above 0, and the load's place {load_from_tip} not negative")
    near, bending = 0.0, 0.0
    for length, diameter in segments:
        if not (length > 0 and diameter > 0):
            raise ValueError(f"a piece of {length} mm by {diameter} mm must have sizes above 0")
        far = near + length
        start = max(near, load_from_tip)
        if far > start:
            area_moment = (far**3 - start**3) / 3 - load_from_tip * (far**2 - start**2) / 2
            bending += area_moment / diameter**4
        near = far
    rigid = series_stiffness == 0 or isinf(series_stiffness)
    return force * (64 * bending / (pi * modulus) + (0.0 if rigid else 1 / series_stiffness))


def equivalent_projection(segments: Sequence[tuple[float, float]], bar_diameter: float) -> float:
    r"""Return how long a plain bar is that bends as much at its tip as the real cutter does [mm].

    .. math:: L_{eq} = \sqrt[3]{3 E I c}, \quad I = \frac{\pi d^4}{64}, \quad c = \delta / F

    segments: (length, diameter) of each piece of the cutter, from the tip to the holder [mm]; bar_diameter: d of the
    plain bar [mm]. Bar and cutter are of the same material, so its modulus drops out. The force acts at the tip; holder
    and spindle are rigid. Range: slender bodies, small deflections; shear is left out.
    Raises ValueError if a diameter or a length is not above 0.

    A plain bar is as long as itself, and a thick shank adds little:

    >>> round(equivalent_projection([(40, 8)], 8), 6)
    40.0
    >>> round(equivalent_projection([(20, 2), (20, 6)], 2), 1)
    20.6

    Reference: tip of a bar under an end load, F L^3 / (3 E I), solved for L.
    """
    if not bar_diameter > 0:
        raise ValueError(f"diameter {bar_diameter} of the plain bar must be above 0")
    compliance = tip_deflection(1.0, segments, 1.0, 0.0)
    return float((3 * pi * bar_diameter**4 / 64 * compliance) ** (1 / 3))


def cutter_segments(
    APMX: float, DC: float, DN: float | None, LU: float, LPR: float, DCONMS: float, flute_share: float
) -> list[tuple[float, float]]:
    """Return the pieces of a cutter from its tip to the holder, each (length, diameter that carries) [mm].

    Flutes over APMX carry as a round bar of flute_share x DC; a neck of DN, if there is one, from APMX to LU; the
    shank of DCONMS up to LPR, or what carries in its place. What would lie within the holder is left away, so the
    lengths always add up to LPR.

    APMX: greatest depth of cut [mm]; DC: cutting diameter [mm]; DN: neck diameter [mm] or None; LU: usable length [mm];
    LPR: projection from the holder [mm]; DCONMS: shank diameter [mm]; flute_share: diameter that the flutes carry as,
    as a share of DC [-].
    Raises ValueError for a projection that is not above 0.

    >>> cutter_segments(32, 16, 15.5, 60, 75, 16, 0.8)
    [(32.0, 12.8), (28, 15.5), (15, 16)]
    >>> cutter_segments(32, 16, None, 32, 45, 16, 0.8)
    [(32.0, 12.8), (13, 16)]

    Reference: common practice, no source; symbols of ISO 13399.
    """
    if not LPR > 0:
        raise ValueError(f"projection {LPR} must be above 0")
    ends = [(APMX, flute_share * DC), (LU if DN is not None else APMX, DN or DCONMS), (LPR, DCONMS)]
    pieces: list[tuple[float, float]] = []
    reached = 0.0
    for end, diameter in ends:
        upto = min(end, LPR)
        if exceeds(upto, reached):
            pieces.append((upto - reached, diameter))
            reached = upto
    return pieces
