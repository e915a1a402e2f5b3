"""Units against NIST Special Publication 811 (2008), Appendix B.

Source: A. Thompson, B. N. Taylor, Guide for the Use of the International System of Units (SI), NIST SP 811,
Appendix B.8 and B.9: seven printed figures; exact factors by definition of pound, inch and standard gravity.
"""

import pytest

from tameshi.quantity import parse_quantity, parse_unit
from tests.published.as_printed import as_printed


@pytest.mark.parametrize(
    ("unit", "printed"),
    [
        ("lbf", "4.448222"),
        ("kgf", "9.80665"),
        ("kip", "4448.222"),
        ("psi", "6894.757"),
        ("ksi", "6894757"),
        ("in2", "0.00064516"),
        ("bar", "100000"),
        ("mmHg", "133.3224"),
        ("lb", "0.4535924"),
        ("in", "0.0254"),
        ("ft", "0.3048"),
        ("ft lbf", "1.355818"),
        ("in lbf", "0.1129848"),
        ("mph", "0.44704"),
        ("kgf/cm2", "98066.5"),
        ("g0", "9.80665"),
        ("N/cm2", "10000"),
    ],
)
def test_factor_agrees_with_the_printed_one(unit, printed):
    assert parse_unit(unit).factor == as_printed(printed)


@pytest.mark.parametrize(
    ("text", "kind", "exact"),
    [
        # exact by the definitions of the pound, the inch and standard gravity
        ("1000 lbf", "force", 4448.2216152605),
        ("100 psi", "pressure", 689475.7293168361),
        ("50 ft lbf", "energy", 67.79089741657),
        ("1 lbf s", "impulse", 4.4482216152605),
        ("760 mmHg", "pressure", 101325.0144354),
    ],
)
def test_converted_quantity_is_exact_to_rounding(text, kind, exact):
    assert parse_quantity(text, kind) == pytest.approx(exact, rel=1e-14)
