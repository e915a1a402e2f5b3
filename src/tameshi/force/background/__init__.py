"""What a recording is while nothing happens: level, drift, hum, noise, and the zero of each event."""
