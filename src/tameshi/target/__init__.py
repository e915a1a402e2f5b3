"""What a strike meets: bodies it is passed on to, and things that break under it."""
