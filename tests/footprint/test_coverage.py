"""Do intervals hold the truth as often as they say? Everything in the budget is really drawn."""

import numpy as np

from tameshi.demo.photo import Finish, Surface, render_scan
from tameshi.demo.prints import ContactPrint, wobbly_blob
from tameshi.footprint import Box, measure_footprint

DRAWS = 60
BOX = Box(0.0, 0.0, 0.045, 0.045)


def test_intervals_of_scans_hold_the_truth():
    rng = np.random.default_rng(20)
    held, pulls = 0, []
    for _ in range(DRAWS):
        contact = ContactPrint("one", (wobbly_blob(rng, 0.0225, 0.0225, float(rng.uniform(2e-4, 6e-4))),))
        surface = Surface(bleed=float(rng.uniform(-1e-4, 1e-4)), patchiness=0.08)
        across, down = (1.0 + float(error) for error in rng.uniform(-0.005, 0.005, 2))
        finish = Finish(blur=float(rng.uniform(0.3, 1.0)), noise=0.006, linear=bool(rng.random() < 0.5))
        scan = render_scan(contact, BOX, 150.0, rng, surface=surface, finish=finish, scale=(across, down))
        area = measure_footprint(scan, reference="scan:150").contact_area
        held += area.low <= contact.contact_area <= area.high
        pulls.append((area.value - contact.contact_area) / area.u)
    # 95 % of 60 is 57, give or take 1.7; bounds at about three times that. Sums of even distributions
    # have thinner tails than a normal one, so that all 60 may hold.
    assert held >= 52
    assert 0.75 < np.sqrt(np.mean(np.square(pulls))) < 1.25
    assert abs(np.mean(pulls)) < 0.4
