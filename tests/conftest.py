"""Properties are tested on the same cases every time; HYPOTHESIS_PROFILE=explore draws new ones."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the commands set it; before numpy is loaded

from hypothesis import settings

settings.register_profile("fixed", derandomize=True, deadline=None, print_blob=True)
settings.register_profile("explore", derandomize=False, deadline=None, max_examples=1000, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "fixed"))
