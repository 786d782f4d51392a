"""The live page: what it shows now, the server that hands it out, what guards it."""
