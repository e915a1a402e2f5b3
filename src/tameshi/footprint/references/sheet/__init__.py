"""A plain sheet of A4 or Letter, by its four edges."""
