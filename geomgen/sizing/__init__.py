"""What should it be? Targets with their formula, inputs, band and source."""
