"""A parameter file to start from: what may be chosen, one set of dimensions, the examples."""
