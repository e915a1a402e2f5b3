"""The picture itself: its arrays, its light, how sharp its edges are, and what is looked for in it once."""
