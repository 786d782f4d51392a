"""What a parameter file may say: frozen records, each value with its type."""
