"""Restitution of a contact that loses energy.

K. H. Hunt, F. R. E. Crossley, Journal of Applied Mechanics 42, 440-445 (1975): F = k x^n (1 + 3/2 c v), e ~ 1
- c v for small c v (as in Simbody, HuntCrossleyForce.h). The exact relation q - ln(1 + q) = -e q - ln(1 - e
q) with q = 3/2 c v, and its table, were worked out independently of this project's code and checked by
integration.
"""

import numpy as np
import pytest

from tameshi.target.contact import DissipativeContact, damping_for, restitution
from tameshi.target.transfer import follow_contact
from tests.published.as_printed import as_printed

TABLE = {
    0.01: "0.99010",
    0.05: "0.95237",
    0.1: "0.90902",
    0.2: "0.83287",
    0.3: "0.76800",
    0.5: "0.66296",
    1.0: "0.48774",
    2.0: "0.30690",
}


@pytest.mark.parametrize(("loss", "printed"), TABLE.items())
def test_the_table(loss, printed):
    assert float(restitution(1.5 * loss)) == as_printed(printed)


@pytest.mark.parametrize(("loss", "printed"), TABLE.items())
@pytest.mark.parametrize("exponent", [1.0, 1.5])
def test_a_contact_followed_in_time_leaves_as_the_table_says(loss, printed, exponent):
    contact = DissipativeContact(stiffness=6e4, exponent=exponent, dissipation=loss / 7.0)
    met = follow_contact(1.3, np.inf, 7.0, contact)
    assert -met.striker_speed[-1] / 7.0 == as_printed(printed)


def test_for_small_loss_it_is_the_rule_of_thumb():
    assert float(restitution(1.5 * 1e-4)) == pytest.approx(1.0 - 1e-4, abs=1e-7)


def test_the_relation_and_its_inverse():
    q = np.geomspace(1e-6, 100.0, 200)
    e = restitution(q)
    assert np.all(np.diff(e) < 0.0)
    q, e = q[q < 15.0], e[q < 15.0]  # beyond, 1 - e q is nothing to the last digit
    both_sides = (q - np.log1p(q)) - (-e * q - np.log1p(-e * q))
    assert np.abs(both_sides).max() < 1e-7
    e = np.linspace(0.01, 1.0, 500)
    assert restitution(damping_for(e)) == pytest.approx(e, abs=1e-6)
