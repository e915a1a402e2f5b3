"""The interval of a quotient, which is not symmetric when its divisor is uncertain."""

import math

from tameshi.errors import UnmeasurableError
from tameshi.quantity.coverage import coverage_factor
from tameshi.quantity.number import Quantity, correlation


def ratio(numerator: Quantity, denominator: Quantity) -> Quantity:
    """Return numerator / denominator with the interval that belongs to a quotient.

    Parameters
    ----------
    numerator, denominator : Quantity
        A force and an area, say; shared sources cancel.

    Returns
    -------
    Quantity
        First-order value and budget. Its interval holds the quotients r for which
        ``numerator - r denominator`` is compatible with zero.

    Raises
    ------
    UnmeasurableError
        ``divisor-near-zero`` where the denominator cannot be told from zero: the quotient could be
        anything then.

    Notes
    -----
    Valid for errors near normal. Source: E. C. Fieller, "Some problems in interval estimation",
    J. R. Stat. Soc. B 16 (1954) 175-185 (value from memory); checked against Monte Carlo in tests.
    """
    quotient = numerator / denominator
    k = coverage_factor(quotient.dof)
    covariance = correlation(numerator, denominator) * numerator.u * denominator.u
    a = denominator.value**2 - (k * denominator.u) ** 2
    b = numerator.value * denominator.value - k * k * covariance
    c = numerator.value**2 - (k * numerator.u) ** 2
    if a <= 0.0:
        share = k * denominator.u / abs(denominator.value)
        raise UnmeasurableError(
            "divisor-near-zero",
            f"What is divided by is only known to ±{share:.0%}, so the quotient could be anything.",
            hint="Measure it better, or more often.",
        )
    spread = math.sqrt(max(0.0, b * b - a * c))
    return quotient.with_interval((b - spread) / a, (b + spread) / a)
