"""Locks on open files that go with the process that holds them, on every system."""


def lock(handle: int) -> bool:
    """Lock an open file unless another process has; say whether it is ours now.

    It is ours until the file is closed, or the process ends. On Windows nobody else can read its
    first byte meanwhile. OSError where files can't be locked.
    """
    # Imported late: nothing of it is needed for help or a refused file.
    from filelock import lock_descriptor

    return bool(lock_descriptor(handle, blocking=False))
