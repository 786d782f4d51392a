"""The machine on its wheels: attitudes of the ground, angles to the centre, the pilot's sight."""
