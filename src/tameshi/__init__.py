"""tameshi: a measuring bench for people who test martial-arts strikes."""

__version__ = "0.1.0"
