"""What gives a print its scale: a folder for each kind, and the registry that chooses one."""
