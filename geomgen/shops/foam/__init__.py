"""The pod as a stack of foam slabs, with templates."""
