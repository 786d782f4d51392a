"""Fittings on what carries them, room of the controls, ways of a hand."""
