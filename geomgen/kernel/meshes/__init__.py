"""What is asked of meshes that are made: the nearest place, cuts, edges, what changed."""
