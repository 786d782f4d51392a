"""What this process is: the one that was started, or a child that does jobs for it.

A child does its jobs on one thread: a forked one has none of its parent's, and would wait for them
for ever. It has no children of its own either.
"""

_child: list[bool] = []


def threads_allowed() -> bool:
    """Say whether the kernel may run an operation on threads here: not in a child.

    >>> threads_allowed()
    True
    """
    return not _child


def may_have_children() -> bool:
    """Say whether this process may start others: not one that is a child itself."""
    return not _child


def be_a_child() -> None:
    """Note that this process is a child, without threads and children of its own."""
    _child.append(True)
