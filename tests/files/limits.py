"""A disk that is full: no file of this process may grow beyond a size."""

import resource
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_file_larger_than(size: int) -> Iterator[None]:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
