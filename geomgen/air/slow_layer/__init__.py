"""The slow layer along a line of the air on a surface: how thick, laminar or turbulent, where off.

`following.follow` is the way in; `streamlines.upstream` finds the line.
"""
