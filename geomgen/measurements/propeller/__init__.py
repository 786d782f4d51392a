"""What the propeller sweeps, and what comes near it."""
