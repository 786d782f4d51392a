"""Ways of the air between bodies: open cells of a grid, the narrowest place, planes across."""
