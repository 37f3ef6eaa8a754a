"""The figures that numbers have in JSON."""

FIGURES = 6


def figures(value: float) -> float:
    """A number to six significant figures."""
    return float(f"{value:.{FIGURES}g}")
