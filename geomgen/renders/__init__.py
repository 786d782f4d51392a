"""Pictures of the machine for people, made from its meshes without a display."""
