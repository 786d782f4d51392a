"""What differs between two states of a machine: parameters, figures, shapes, files."""
