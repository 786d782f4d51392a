"""Two bodies: whether they share space, how deep, where they are near, their seat."""
