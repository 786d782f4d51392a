"""How parts fit: room round the engine, parts that meet, parts that are joined."""
