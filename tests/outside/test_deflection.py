"""The closed form of the stepped beam against numerical integration.

Source: the beam's own differential equation, E I w'' = M, integrated twice from the holder outwards by scipy; nothing
of the moment-area theorem is used. And two textbook cases of a plain bar, from memory of any table of beams.
"""

from math import pi

import pytest
from scipy.integrate import quad, solve_ivp

from advisor.mechanics.deflection import cutter_segments, equivalent_projection, tip_deflection

CARBIDE = 600_000.0  # N/mm², for the sake of the check

BEAMS = [
    [(40.0, 10.0)],
    [(26.0, 9.6), (19.0, 12.0)],
    [(32.0, 12.8), (48.0, 15.4), (20.0, 16.0)],
    [(10.0, 20.0), (60.0, 14.0), (5.0, 25.0), (30.0, 20.0)],
]


def integrated(force: float, segments: list[tuple[float, float]], modulus: float, load_from_tip: float) -> float:
    """Return the deflection of the tip [mm], slope and deflection being followed from the holder outwards."""
    along = sum(length for length, _ in segments)  # distance from the tip, falling as we walk outwards
    state = [0.0, 0.0]
    for length, diameter in reversed(segments):
        stiffness = modulus * pi * diameter**4 / 64

        def change(s: float, y: list[float], start: float = along, bending: float = stiffness) -> list[float]:
            return [y[1], force * max(start - s - load_from_tip, 0.0) / bending]

        state = list(solve_ivp(change, (0, length), state, rtol=1e-9, atol=1e-13, max_step=length / 40).y[:, -1])
        along -= length
    return float(state[0])


@pytest.mark.parametrize("load_from_tip", [0.0, 6.0, 30.0])
@pytest.mark.parametrize("segments", BEAMS)
def test_the_tip_gives_way_as_the_integrated_beam(segments: list[tuple[float, float]], load_from_tip: float) -> None:
    """Source: E I w'' = M, integrated by scipy."""
    closed = tip_deflection(500, segments, CARBIDE, load_from_tip)
    assert closed == pytest.approx(integrated(500, segments, CARBIDE, load_from_tip), rel=1e-4)


@pytest.mark.parametrize("segments", BEAMS)
def test_the_tip_gives_way_as_the_energy_of_bending_says(segments: list[tuple[float, float]]) -> None:
    """Source: Castigliano's theorem, the energy integrated by scipy; load at the tip."""
    energy, near = 0.0, 0.0
    for length, diameter in segments:
        energy += quad(lambda x: x**2, near, near + length)[0] / (CARBIDE * pi * diameter**4 / 64)
        near += length
    assert tip_deflection(500, segments, CARBIDE, 0) == pytest.approx(500 * energy)


def test_a_plain_bar_gives_way_as_every_table_of_beams_says() -> None:
    """Source: tables of beams, from memory: F L³/(3 E I) at the end; F b² (3 L - b)/(6 E I) with the load at b."""
    E_I = CARBIDE * pi * 12**4 / 64
    assert tip_deflection(800, [(50, 12)], CARBIDE, 0) == pytest.approx(800 * 50**3 / (3 * E_I))
    assert tip_deflection(800, [(50, 12)], CARBIDE, 10) == pytest.approx(800 * 40**2 * (150 - 40) / (6 * E_I))


def test_holder_and_spindle_add_their_own_give() -> None:
    """Source: springs in series, force over stiffness."""
    beam = tip_deflection(500, [(40, 10)], CARBIDE, 5)
    assert tip_deflection(500, [(40, 10)], CARBIDE, 5, 25_000) == pytest.approx(beam + 0.02)
    assert tip_deflection(500, [(40, 10)], CARBIDE, 5, float("inf")) == beam


def test_a_real_cutter_lies_between_a_bar_of_its_flutes_and_one_of_its_shank() -> None:
    """Source: a stiffer piece anywhere cannot make the whole weaker."""
    real = tip_deflection(500, cutter_segments(32, 16, 15.4, 80, 92, 16, 0.8), CARBIDE, 10)
    assert tip_deflection(500, [(92, 16)], CARBIDE, 10) < real < tip_deflection(500, [(92, 12.8)], CARBIDE, 10)


@pytest.mark.parametrize("segments", BEAMS)
def test_a_plain_bar_as_long_as_is_said_gives_way_as_the_cutter_does(segments: list[tuple[float, float]]) -> None:
    """Source: E I w'' = M, integrated by scipy for the stepped cutter; F L³/(3 E I) from memory for the plain bar."""
    bar = 8.0
    long = equivalent_projection(segments, bar)
    plain = 500 * long**3 / (3 * CARBIDE * pi * bar**4 / 64)
    assert plain == pytest.approx(integrated(500, segments, CARBIDE, 0.0), rel=1e-4)


@pytest.mark.parametrize(
    ("DC", "APMX", "DN", "LU", "LPR", "DCONMS", "least", "most"),
    [
        (10, 22, None, 22, 35, 10, 2.5, 4),  # DIN 844 short lengths, from memory
        (10, 26, None, 26, 40, 10, 2.5, 4),
        (6, 13, None, 13, 21, 6, 2.5, 4),
        (12, 26, None, 26, 38, 12, 2.0, 4),
        (2, 4, 1.9, 20, 40, 6, 8, 11),  # hardly more than its neck of 10 DC, though it stands out 20 DC
        (2, 4, 1.9, 8, 28, 6, 3, 5),
    ],
)
def test_ordinary_lengths_are_stiff_and_a_small_cutter_is_as_slender_as_its_neck(
    DC: float, APMX: float, DN: float | None, LU: float, LPR: float, DCONMS: float, least: float, most: float
) -> None:
    """Source: E I w'' = M, integrated by scipy; lengths of ordinary end mills, from memory."""
    pieces = cutter_segments(APMX, DC, DN, LU, LPR, DCONMS, 0.8)
    I_bar = pi * (0.8 * DC) ** 4 / 64
    by_hand = (3 * CARBIDE * I_bar * integrated(1.0, pieces, CARBIDE, 0.0)) ** (1 / 3) / DC
    found = equivalent_projection(pieces, 0.8 * DC) / DC
    assert found == pytest.approx(by_hand, rel=1e-4)
    assert least < found < most
