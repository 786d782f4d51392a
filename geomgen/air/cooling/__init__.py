"""The cooling air from the mouths to the exit: how much goes through, how warm, what decides it.

`balance.solve` is the way in.
"""
