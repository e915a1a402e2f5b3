"""What one contact looks like: levels, top, area; the cell's response undone; faults of the signal."""
