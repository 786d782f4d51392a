"""From single parts to the aircraft: the steps, the joints, places to measure at."""
