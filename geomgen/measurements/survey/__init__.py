"""Every measurement that a model has the parts for."""
