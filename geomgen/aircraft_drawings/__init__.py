"""Drawings of the whole machine from its solids: views, sections, the engine bay."""
