"""What is measured for masses and standing: bodies, their skin, room in tanks, wheels on ground."""
