"""The air about the machine and through its bay: pressures, the slow layer, the cooling flow."""
