"""Whether the pilot fits, and what he sees."""
