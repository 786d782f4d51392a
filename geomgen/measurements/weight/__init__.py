"""What is measured for masses and for standing: bodies, their skin, wheels on the ground."""
