"""One aircraft from parameters to verdict: what is made, what is kept, what is asked."""
