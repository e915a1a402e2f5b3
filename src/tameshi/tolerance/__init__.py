"""Published human tolerance, and what of it a measurement may be set beside."""
