"""A measured print: what the rest of the bench sees, stores and draws."""
