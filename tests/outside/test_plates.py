"""How far a thin wall and a thin floor give way, against tables of beams, an integrated plate, and the trade's order.

The plate is worked out here by the method of Ritz: the energy of bending of a thin plate that is held along one edge
and free elsewhere, least over polynomials of the height and of the length. It imports nothing from what it checks.
"""

import numpy as np
import pytest
from numpy.polynomial.legendre import Legendre, leggauss
from scipy.integrate import quad

from advisor.mechanics.plates import floor_deflection, wall_deflection, wall_strip
from tests.jobs.small import ALUMINIUM, STEEL, asked, best, solid

E_ALUMINIUM = 70_000.0  # N/mm², of any handbook, from memory
NU = 0.3
UP, ALONG = 8, 22  # polynomials of the height and of the length


def integrated_plate(height: float, length: float, load_height: float, rigidity: float) -> float:
    """Return how far the top of a wall gives way over a force of 1 N in the middle of its length [mm/N]."""
    nodes, weights = leggauss(40)
    x, wx = (nodes + 1) / 2 * height, weights * height / 2
    y, wy = leggauss(70)
    wy = wy * length / 2
    powers = [[(x / height) ** (m + 2) for m in range(UP)]]
    powers.append([(m + 2) * (x / height) ** (m + 1) / height for m in range(UP)])
    powers.append([(m + 2) * (m + 1) * (x / height) ** m / height**2 for m in range(UP)])
    waves = [[Legendre.basis(n).deriv(d)(y) * (2 / length) ** d for n in range(ALONG)] for d in (0, 1, 2)]

    def up(one: int, other: int) -> np.ndarray:
        return np.einsum("ai,bi,i->ab", np.array(powers[one]), np.array(powers[other]), wx)

    def along(one: int, other: int) -> np.ndarray:
        return np.einsum("ai,bi,i->ab", np.array(waves[one]), np.array(waves[other]), wy)

    energy = np.kron(up(2, 2), along(0, 0)) + np.kron(up(0, 0), along(2, 2))
    energy += NU * (np.kron(up(2, 0), along(0, 2)) + np.kron(up(0, 2), along(2, 0)))
    energy += 2 * (1 - NU) * np.kron(up(1, 1), along(1, 1))

    def shapes(at: float) -> np.ndarray:
        heights = [(at / height) ** (m + 2) for m in range(UP)]
        return np.kron(heights, [Legendre.basis(n)(0.0) for n in range(ALONG)])

    return float(np.linalg.solve(rigidity * energy, shapes(load_height)) @ shapes(height))


@pytest.mark.parametrize("load_height", [4.0, 12.5, 25.0])
def test_a_wall_gives_way_as_a_cantilever_strip(load_height: float) -> None:
    """Source: Castigliano with a second force at the top, the energy of bending integrated by scipy."""
    stiffness = E_ALUMINIUM * 40 * 3**3 / 12
    energy, _ = quad(lambda x: (load_height - x) * (25 - x) / stiffness, 0, load_height)
    assert wall_deflection(200, 25, 3, E_ALUMINIUM, load_height, 40) == pytest.approx(200 * energy)


def test_the_integrated_plate_is_the_one_of_the_books() -> None:
    """Source: 0.168 P c²/D for a long cantilever plate loaded at its edge, Jaramillo 1950 and Timoshenko and
    Woinowsky-Krieger, from memory; and a square plate stands like a strip as wide as itself.
    """
    assert integrated_plate(1.0, 4.0, 1.0, 1.0) == pytest.approx(0.168, rel=0.03)
    assert integrated_plate(1.0, 1.0, 1.0, 1.0) == pytest.approx(1 / 3 / (1 - NU**2), rel=0.05)


@pytest.mark.parametrize("length", [1.0, 2.0, 4.0, 6.0])
@pytest.mark.parametrize("load", [0.5, 1.0])
def test_the_strip_that_is_reckoned_with_bends_no_less_than_the_plate_and_not_half_as_much_again(
    length: float, load: float
) -> None:
    """Source: the plate integrated above, lengths as multiples of the height; Poisson's ratio left out of the strip."""
    height, thickness = 10.0, 1.0
    rigidity = E_ALUMINIUM * thickness**3 / (12 * (1 - NU**2))
    plate = integrated_plate(height, length * height, load * height, rigidity)
    strip = wall_strip(height, length * height)
    ours = wall_deflection(1, height, thickness, E_ALUMINIUM, load * height, strip)
    assert 0.85 * plate <= ours <= 1.5 * plate


@pytest.mark.parametrize(("sides", "coefficient"), [(1.0, 0.00560), (1.4, 0.00691), (2.0, 0.00722)])
def test_a_floor_bends_no_less_than_a_plate_held_all_round(sides: float, coefficient: float) -> None:
    """Source: centre load on a clamped rectangular plate, w = alpha P w²/D, Timoshenko and Woinowsky-Krieger, from
    memory, for lengths of 1, 1.4 and 2 widths; ours is that of a long one.
    """
    rigidity = E_ALUMINIUM * 2**3 / (12 * (1 - NU**2))
    book = coefficient * 90 * 80**2 / rigidity
    assert book <= floor_deflection(90, 80, 2, E_ALUMINIUM) <= 1.3 * book, sides


def test_a_wall_twice_as_thick_gives_way_an_eighth_and_twice_as_high_in_its_level_four_times() -> None:
    """Source: the strip, whose width grows with its height."""

    def give(height: float, thickness: float) -> float:
        return wall_deflection(1, height, thickness, E_ALUMINIUM, height / 2, wall_strip(height, 1000))

    assert give(10, 4) == pytest.approx(give(10, 2) / 8)
    assert give(20, 2) == pytest.approx(give(10, 2) * 4)


POCKET = {"kind": "closed_pocket", "length": 110, "width": 70, "depth": 24, "corner_radius": 8, "floor": True}
CRIB = [solid(12, 26, ZEFP=3)]
WALLS = [40.0, 12.0, 6.0, 3.0, 2.9, 2.0, 1.5, 1.0, 0.6]


@pytest.mark.parametrize("material", [ALUMINIUM, STEEL])
def test_a_thinner_wall_never_gets_deeper_levels_or_less_stock(material: str) -> None:
    """Source: common practice, no source."""
    found = [best(POCKET | {"thinnest_wall": wall}, CRIB, material).plan for wall in WALLS]
    assert all(plan is not None for plan in found)
    depths = [plan.axial_depth for plan in found if plan is not None]
    sides = [plan.side_allowance for plan in found if plan is not None]
    assert depths == sorted(depths, reverse=True)
    assert sides == sorted(sides)
    assert (sides[0], sides[-1]) == (0.5, 1.0)
    assert all(depth <= 4 * wall for depth, wall in zip(depths, WALLS, strict=True) if wall <= 2.9)


def test_a_wall_is_thin_from_eight_times_as_high_as_thick() -> None:
    """3 mm at 24 mm are 8 times, and not yet thin; 2.9 mm are."""
    thick, thin = (asked(POCKET | {"thinnest_wall": wall}, CRIB).facts for wall in (3.0, 2.9))
    assert "wall_kind" not in thick
    assert thin["wall_kind"] == "thin"


def test_a_short_wall_is_thin_only_where_it_is_some_times_as_high_as_thick() -> None:
    """1.5 mm at 4 mm is a stout rib, at 5 mm it is not."""
    facts = [asked(POCKET | {"depth": depth, "thinnest_wall": 1.5}, CRIB).facts for depth in (4.4, 4.5)]
    assert ["wall_kind" in one for one in facts] == [False, True]


def test_the_wall_bends_the_more_the_softer_its_material() -> None:
    """Source: the moduli, 45 against 70 against 110 kN/mm², at the same force."""
    give = {}
    for material in ("UNS M11916", ALUMINIUM, "Ti-6Al-4V"):
        facts = best(POCKET | {"thinnest_wall": 2}, [solid(12, 26, ZEFP=5)], material).facts
        give[material] = float(facts["wall_deflection"]) / float(facts["force"]) / float(facts["axial_depth"]) ** 2
    assert give["UNS M11916"] / give[ALUMINIUM] == pytest.approx(70 / 45, rel=0.01)
    assert give[ALUMINIUM] / give["Ti-6Al-4V"] == pytest.approx(110 / 70, rel=0.01)


def test_what_the_wall_gives_is_held_against_its_allowance() -> None:
    """Tip and wall together: without the wall's thickness the same cut bends less."""
    known, unknown = (best(POCKET | more, CRIB).facts for more in ({"thinnest_wall": 4}, {}))
    assert float(known["wall_deflection"]) > 0
    assert float(known["deflection"]) / float(known["force"]) > float(unknown["deflection"]) / float(unknown["force"])


THIN_FLOOR = {"depth": 20, "floor_thickness": 2}


def test_a_thin_floor_keeps_a_millimetre_and_nothing_goes_straight_down_onto_it() -> None:
    """70 mm over 1 mm are 70 times; over 4 mm 17.5 times, and there a drill may open the way."""
    from tests.jobs.small import drill

    crib = [*CRIB, drill(13)]
    thin, stout = (asked(POCKET | THIN_FLOOR | {"floor_thickness": floor}, crib) for floor in (1, 4))
    assert thin.best is not None
    assert stout.best is not None
    assert (thin.best.facts["bottom_allowance"], stout.best.facts["bottom_allowance"]) == (1.0, 0.5)
    grades = {(one.method, one.entry): one.grade for one in thin.candidates}
    down = [grade for (method, entry), grade in grades.items() if entry in ("predrilled_hole", "axial_plunge")]
    assert set(down) == {"forbidden"}
    assert any(one.entry == "predrilled_hole" and one.grade != "forbidden" for one in stout.candidates)


@pytest.mark.parametrize(("width", "told"), [(100, False), (600, True)])
def test_a_floor_that_bends_more_than_its_allowance_covers_speaks_against_the_way(width: float, told: bool) -> None:
    """Source: the plate. With some 100 N down 600 mm of 1.5 mm aluminium, 2.5 mm as roughed, bend by some 2 mm."""
    feature = POCKET | THIN_FLOOR | {"width": width, "length": width, "floor_thickness": 1.5}
    found = best(feature, CRIB)
    assert ("floor-bends-too-far" in {rule.id for rule in found.fired}) is told
