"""How runs and their child processes begin and end."""
