"""The air about the machine, computed on its outside: pressures, the slow layer, where it leaves."""
