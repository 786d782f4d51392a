"""The air about the machine, computed on its outside: pressures, slow layer, neutral point."""
