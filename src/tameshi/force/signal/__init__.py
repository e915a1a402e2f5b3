"""What is done to samples before anything is measured: averages, filters, lines fitted, their noise."""
