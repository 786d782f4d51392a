"""What a terminal shows, and how it is written to and asked. Made from records only."""
