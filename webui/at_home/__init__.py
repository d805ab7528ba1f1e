"""The second socket, on one private address: how it is had, and who is answered there."""
