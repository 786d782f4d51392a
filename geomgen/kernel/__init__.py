"""The only place that talks to the geometry kernel and holds tolerances."""
