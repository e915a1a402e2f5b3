"""The invented scenario and its simulator: recordings and photos whose truth is known."""
