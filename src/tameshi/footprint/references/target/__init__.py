"""Our own target sheet: four markers and a frame."""
