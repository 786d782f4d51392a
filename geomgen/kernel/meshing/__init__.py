"""From a shape to a mesh that keeps its tolerance, and the measure of how far it is off."""
