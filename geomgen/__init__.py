"""Parameter file in, proven solids and measured checks out, for a light twin-boom pusher.

A geometry aid, not an airworthiness approval: local codes and licensed practice come first.
"""
