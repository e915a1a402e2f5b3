"""A ruler that lies beside the print."""
