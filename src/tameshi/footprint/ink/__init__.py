"""From paper and ink to patches and their areas."""
