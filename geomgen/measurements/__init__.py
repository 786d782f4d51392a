"""How big is it really? Measured on solids, seeds, planes and axes; never on parameters."""
