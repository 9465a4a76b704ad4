"""A disk that takes no more, by the limit that the system can set on the size of files."""

import resource
from contextlib import contextmanager


@contextmanager
def files_limited_to(size):
    """Let the system refuse to write more than so many bytes to a file, as a full disk would."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
