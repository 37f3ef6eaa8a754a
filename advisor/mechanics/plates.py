"""How far a thin wall or a thin floor gives way: a strip of plate held at its foot, and a plate held all round."""

POISSON = 0.3  # of metals
CENTRE_COEFFICIENT = 0.00725  # of a long plate held all round, loaded in its middle
STRIP_HEIGHTS = 2.0  # effective width of a wall, in heights


def wall_strip(height: float, length: float) -> float:
    """Return the width of the strip of a wall that carries a force at one place [mm].

    A force spreads along the wall; in the middle of a long one it is carried by 2.2 to 2.3 heights of it, of which
    2 are taken, and no more than there is. Near a free end of the wall it is about half as much.

    height: of the wall that stands free [mm]; length: of the wall [mm]

    >>> wall_strip(10, 100)
    20.0
    >>> wall_strip(10, 8)
    8

    Reference: cantilever plate of infinite length, loaded at its edge: 0.168 P c²/D (Jaramillo 1950; quoted in
    Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells; from memory).
    """
    return min(length, STRIP_HEIGHTS * height)


def wall_deflection(
    force: float, height: float, thickness: float, modulus: float, load_height: float, width: float
) -> float:
    r"""Return how far the top of a wall that is held at its foot is pushed aside [mm].

    .. math:: \delta = \frac{F a^2 (3 h - a)}{6 E I}, \quad I = \frac{b t^3}{12}

    force: F square to the wall [N]; height: h from foot to top [mm]; thickness: t [mm]; modulus: E [N/mm²];
    load_height: a, where the force acts above the foot, 0 to h [mm]; width: b of the strip that carries it [mm].
    Range: thin walls, small deflections; shear and the foot's own give are left out.
    Raises ValueError for a size or modulus that is not above 0, or a load beyond the wall.

    Loaded at the top it is F h³/(3 E I); a strip 12 mm wide and 1 mm thick has an I of 1 mm⁴:

    >>> round(wall_deflection(3, 10, 1, 1000, 10, 12), 6)
    1.0

    Reference: tables of beams, cantilever with a load between its ends; from memory.
    """
    if min(height, thickness, modulus, width) <= 0 or not 0 <= load_height <= height:
        raise ValueError(f"a wall {height} mm high, {thickness} mm thick, loaded at {load_height} mm")
    inertia = width * thickness**3 / 12
    return force * load_height**2 * (3 * height - load_height) / (6 * modulus * inertia)


def floor_deflection(force: float, width: float, thickness: float, modulus: float) -> float:
    r"""Return how far the middle of a floor that is held all round is pushed down or pulled up [mm].

    .. math:: \delta = 0.00725 \frac{F w^2}{D}, \quad D = \frac{E t^3}{12 (1 - \nu^2)}

    force: F square to the floor, in its middle [N]; width: w, the shorter side [mm]; thickness: t [mm];
    modulus: E [N/mm²]. Range: thin plates much longer than wide; a square one gives 0.0056 instead, a quarter less.
    A floor that lies on something does not bend.
    Raises ValueError for a size or modulus that is not above 0.

    With E t³ = 12 (1 - 0.3²) D is 1 N mm:

    >>> round(floor_deflection(1, 10, 1, 10.92), 6)
    0.725

    Reference: clamped rectangular plate, load in the centre; Timoshenko and Woinowsky-Krieger, Theory of Plates and
    Shells; from memory.
    """
    if min(width, thickness, modulus) <= 0:
        raise ValueError(f"a floor {width} mm wide and {thickness} mm thick")
    rigidity = modulus * thickness**3 / (12 * (1 - POISSON**2))
    return CENTRE_COEFFICIENT * force * width**2 / rigidity
