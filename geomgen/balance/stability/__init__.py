"""Where the neutral point lies: an estimate from measured planforms."""
