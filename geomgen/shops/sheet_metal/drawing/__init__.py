"""The blank drawn: at full size, to scale, details, datum, grain."""
